//! Help, manual pages and completions: each command has all of them, and what they show can be typed.

use std::collections::BTreeMap;
use std::process::{Command, Stdio};

use crate::binary::{GLIDER, Place};

/// The words of each command and its page, as `man` writes them.
pub fn pages(place: &Place) -> BTreeMap<String, String> {
    let folder = place.beside("pages");
    let told = place.bare(["man", "--into", &folder.to_string_lossy(), "--json"]).expect(0).json();
    let names = told["pages"].as_array().expect("a list of pages");
    let page = |name: &str| std::fs::read_to_string(folder.join(name)).expect("a page");
    names
        .iter()
        .map(|name| {
            let text = page(name.as_str().expect("a name"));
            let synopsis = text.split(".SH SYNOPSIS\n").nth(1).expect("a synopsis");
            let words = synopsis.trim_start_matches("\\fBspanwise").split("\\fR").next().unwrap_or_default();
            (words.trim().replace("\\-", "-"), text)
        })
        .collect()
}

/// Lines that are typed, with those that go on in the next one joined.
fn examples(help: &str) -> Vec<String> {
    let mut joined: Vec<String> = Vec::new();
    for line in help.lines().skip_while(|line| !line.starts_with("Example")) {
        match joined.last_mut().filter(|last| last.ends_with('\\')) {
            Some(last) => {
                last.pop();
                last.push_str(line.trim());
            }
            None => joined.push(line.trim().to_string()),
        }
    }
    joined.retain(|line| line.starts_with("spanwise "));
    joined.iter().map(|line| line.split("  ").next().unwrap_or_default().to_string()).collect()
}

/// As a shell parts them; what it does with the output is not the program's.
fn words(line: &str) -> Vec<String> {
    let (mut words, mut word, mut is_quoted, mut is_begun) = (Vec::new(), String::new(), false, false);
    for letter in line.split(" > ").next().unwrap_or_default().chars().chain([' ']) {
        match letter {
            '"' => (is_quoted, is_begun) = (!is_quoted, true),
            ' ' if !is_quoted => {
                if std::mem::take(&mut is_begun) {
                    words.push(std::mem::take(&mut word));
                }
            }
            letter => {
                is_begun = true;
                word.push(letter);
            }
        }
    }
    words
}

#[test]
fn the_help_of_every_command_shows_examples_that_can_be_typed() {
    let place = Place::empty();
    for command in pages(&place).keys() {
        let help = place.bare(command.split_whitespace().chain(["--help"])).expect(0).out;
        let examples = examples(&help);
        assert!(!examples.is_empty(), "`spanwise {command} --help` shows no example: {help}");
        assert!(help.contains("Exit codes"), "`spanwise {command} --help` tells no exit codes: {help}");
        for example in examples {
            let typed = words(&example).split_off(1);
            // Each in a place of its own: an example may begin, sign or write.
            let output = Place::empty().command().args(&typed).output().expect("it starts");
            let told = String::from_utf8_lossy(&output.stderr).into_owned();
            assert_ne!(output.status.code(), Some(2), "`{example}` is not understood: {told}");
            assert!(output.status.code().is_some() && !told.contains("panicked"), "`{example}`: {told}");
        }
    }
}

#[test]
fn every_command_has_a_page_that_the_formatter_takes_without_a_warning() {
    let place = Place::empty();
    let pages = pages(&place);
    let help = place.bare(["--help"]).expect(0).out;
    let listed = help.split("Commands:").nth(1).and_then(|rest| rest.split("\n\n").next()).expect("commands");
    for command in listed.lines().filter(|line| line.starts_with("  ") && !line.starts_with("   ")) {
        let name = command.split_whitespace().next().unwrap_or_default();
        assert!(name == "help" || pages.contains_key(name), "{name} has no page");
    }
    for (command, text) in &pages {
        for title in ["EXIT STATUS", "EXAMPLES", "FILES", "ENVIRONMENT"] {
            assert!(
                text.contains(&format!(".SH \"{title}\"")) || text.contains(&format!(".SH {title}")),
                "{command}: {title}"
            );
        }
    }
    let has = |name: &str| {
        Command::new(name).arg("--version").stdout(Stdio::null()).stderr(Stdio::null()).status().is_ok()
    };
    if !has("groff") {
        println!("SKIPPED: there is no groff here, so no page was formatted");
        return;
    }
    let folder = place.beside("pages");
    for file in std::fs::read_dir(folder).expect("listed").flatten() {
        let output = Command::new("groff")
            .args(["-man", "-Tutf8", "-ww", "-z"])
            .arg(file.path())
            .output()
            .expect("groff starts");
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert!(output.status.success() && told.is_empty(), "{}: {told}", file.path().display());
    }
    let page = place.beside("pages").join("spanwise-defect-raise.1");
    let shown =
        Command::new("groff").args(["-man", "-Tascii", "-P-c"]).arg(page).output().expect("groff starts");
    let shown = String::from_utf8_lossy(&shown.stdout).into_owned();
    for words in ["--station", "spanwise defect raise XX-VA7", "refused, nothing was recorded"] {
        assert!(shown.contains(words), "\"{words}\" is missing in {shown}");
    }
}

/// Whether a shell takes the script, without running it. `None` where the shell is not here.
fn takes(shell: &str, arguments: &[&str], script: &str, place: &Place) -> Option<(bool, String)> {
    let file = place.beside("script");
    std::fs::write(&file, script).expect("written");
    let output = Command::new(shell).args(arguments).arg(&file).output().ok()?;
    Some((output.status.success(), String::from_utf8_lossy(&output.stderr).into_owned()))
}

#[test]
fn completion_scripts_are_taken_by_their_shells() {
    let place = Place::empty();
    for (shell, check) in [
        ("bash", &["-n"][..]),
        ("zsh", &["-n"]),
        ("fish", &["--no-execute"]),
        ("powershell", &[]),
        ("elvish", &["-compileonly"]),
    ] {
        for more in [&[][..], &["--static"]] {
            let script = place.bare([&["completions", shell], more].concat()).expect(0).out;
            assert!(script.contains("spanwise"), "{shell}: {script}");
            if shell == "powershell" {
                continue;
            }
            match takes(shell, check, &script, &place) {
                Some((is_taken, told)) => assert!(is_taken, "{shell} {more:?}: {told}"),
                None => println!("SKIPPED: there is no {shell} here"),
            }
        }
    }
    place.bare(["completions", "tcsh"]).tells(2, &["bash", "elvish"]);
}

/// What bash would offer behind these words.
fn offered(place: &Place, typed: &[&str]) -> String {
    let output = place
        .command()
        .env("SPANWISE_HANGAR", place.root())
        .env("SPANWISE_COMPLETE", "bash")
        .env("_CLAP_COMPLETE_INDEX", typed.len().to_string())
        .env("_CLAP_COMPLETE_COMP_TYPE", "9")
        .env("_CLAP_COMPLETE_SPACE", "true")
        .env("_CLAP_IFS", "\n")
        .args(["--", "spanwise"].iter().chain(typed))
        .output()
        .expect("it starts");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).expect("UTF-8")
}

#[test]
fn names_of_the_hangar_are_offered() {
    let place = Place::begun();
    let sid = place.session_folder(GLIDER).file_name().expect("a name").to_string_lossy().into_owned();
    for (typed, wanted) in [
        (&["sta"][..], "status"),
        (&["begin", "XX"], GLIDER),
        (&["status", "XX"], GLIDER),
        (&["status", &sid[..4]], sid.as_str()),
        (&["answer", GLIDER, "records.id"], "records.identity"),
        (&["note", GLIDER, "x", "--by", "tam"], "tamsin-orrel"),
        (&["read", GLIDER, "x", "y", "--instrument", "dial"], "dial-25"),
        (&["compare-plans", "XX"], ""),
    ] {
        let told = offered(&place, typed);
        assert!(told.contains(wanted), "{typed:?}: {told}");
    }
    // No hangar at all is no reason to fail while somebody types.
    assert_eq!(offered(&Place::empty(), &["status", "XX"]).trim(), "");
}
