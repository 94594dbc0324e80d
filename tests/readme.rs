//! What README and help tell a newcomer to type is what the checks run and what the program understands.
#![allow(clippy::disallowed_methods, reason = "tests read the source tree")]

mod binary;

use binary::Place;

const README: &str = include_str!("../README.md");
const DEVELOPERS: &str = include_str!("../DEVELOPERS.md");
const CHECKS: &str = include_str!("../.ci/run");

/// Lines of the fenced shell blocks, without their remarks.
fn shell_lines(text: &str) -> Vec<String> {
    let mut lines = Vec::new();
    let mut is_shell = false;
    for line in text.lines() {
        match line.trim() {
            "```sh" => is_shell = true,
            "```" => is_shell = false,
            line if is_shell && !line.is_empty() => {
                lines.push(line.split(" #").next().unwrap_or_default().trim().to_string());
            }
            _ => {}
        }
    }
    lines
}

/// `inline code`.
fn code_spans(text: &str) -> Vec<String> {
    let outside_blocks: String =
        text.split("```").step_by(2).flat_map(|part| part.chars().chain(['\n'])).collect();
    outside_blocks.split('`').skip(1).step_by(2).map(|span| span.replace('\n', " ")).collect()
}

/// A command of the checks as a person would type it: they only add that nothing else may change or be printed.
fn as_typed(line: &str) -> String {
    let words = line.split_whitespace().filter(|word| *word != "--quiet");
    let is_run = line.starts_with("cargo run");
    words.filter(|word| !(is_run && *word == "--locked")).collect::<Vec<_>>().join(" ")
}

#[test]
fn the_two_commands_are_the_ones_that_the_checks_call() {
    let commands: Vec<String> = shell_lines(README).into_iter().take(2).collect();
    assert_eq!(commands.len(), 2, "the two commands stand first: {commands:?}");
    let checks: Vec<String> = CHECKS.lines().map(as_typed).collect();
    let called = |command: &str| checks.iter().any(|line| line == command);
    let [run, test] = &commands[..] else { unreachable!("two, see above") };
    assert!(test.starts_with("cargo test") && called(test), "{test}: {checks:#?}");
    // The checks have no terminal: they call the form that the README names for that.
    let walk = format!("{run} --walkthrough");
    assert!(code_spans(README).contains(&walk), "README names no \"{walk}\"");
    assert!(called(&walk), "{walk}: {checks:#?}");
}

/// Words of a command line; quotes hold words together. What the shell does with the output is not the program's.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    let line = line.split(" > ").next().and_then(|line| line.split(" | ").next()).unwrap_or_default();
    let (mut word, mut is_quoted, mut is_begun) = (String::new(), false, false);
    for letter in line.chars() {
        match letter {
            '"' => (is_quoted, is_begun) = (!is_quoted, true),
            letter if letter.is_whitespace() && !is_quoted => {
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
    if is_begun {
        words.push(word);
    }
    words
}

fn is_example(text: &str) -> bool {
    text == "spanwise" || text.starts_with("spanwise ")
}

/// Examples that stand on lines of their own in a help text; what they do follows after two blanks.
fn help_examples(help: &str) -> Vec<String> {
    help.lines()
        .map(|line| line.trim_start().split("  ").next().unwrap_or_default().to_string())
        .filter(|line| is_example(line))
        .collect()
}

#[test]
fn the_program_understands_every_example() {
    let place = Place::demo();
    let help = place.bare(["--help"]).expect(0).out;
    let mut examples: Vec<String> = [README, DEVELOPERS]
        .iter()
        .flat_map(|text| code_spans(text))
        .filter(|span| is_example(span))
        .collect();
    examples.extend(shell_lines(README).into_iter().filter(|line| is_example(line)));
    let of_help = help_examples(&help);
    assert!(of_help.len() >= 3, "the help shows how: {help}");
    examples.extend(of_help);
    assert!(examples.len() > 12, "{examples:?}");
    for example in examples {
        // What a shell takes for itself is none of the program's.
        let typed = example.split(" > ").next().unwrap_or_default().split(" #").next().unwrap_or_default();
        let mut arguments = words(typed).split_off(1);
        if let [name] = &arguments[..]
            && !name.starts_with('-')
        {
            // Only the command's name: that there is one is all it says.
            arguments.push("--help".to_string());
        }
        // Each in a place of its own: an example may begin, sign or write.
        let output = Place::empty().command().args(&arguments).output().expect("it starts");
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_ne!(output.status.code(), Some(2), "`{example}` is not understood: {told}");
        assert!(output.status.code().is_some() && !told.contains("panicked"), "`{example}`: {told}");
    }
}

#[test]
fn the_exit_codes_are_those_of_the_help() {
    let help = Place::empty().bare(["--help"]).expect(0).out;
    let told =
        README.split("Exit codes:").nth(1).and_then(|rest| rest.split('.').next()).expect("README tells");
    for item in told.split(',') {
        let (code, words) = item.trim().split_once(' ').expect("a code and its words");
        let first = words.split_whitespace().next().expect("a word");
        let line = help.lines().find(|line| line.trim_start().starts_with(&format!("{code}  ")));
        let line = line.unwrap_or_else(|| panic!("{code} is missing in {help}"));
        let has_word = words.split_whitespace().any(|word| line.contains(word));
        assert!(has_word, "{code}: README says \"{first} …\", the help \"{line}\"");
    }
}

/// Files that the README tells of in the hangar folder are the ones that the demo writes.
#[test]
fn the_hangar_folder_is_as_described() {
    let place = Place::demo();
    for name in ["airframes/XX-VA7.toml", "people.toml", "instruments.toml", "checklists", "sessions"] {
        assert!(place.path(name).exists(), "{name}");
        let first = name.split('/').next().unwrap_or_default();
        assert!(README.contains(first), "README does not tell of {first}");
    }
    let session = place.session_folder("XX-DR4");
    for name in ["plan.json", "journal.jsonl", "evidence"] {
        assert!(session.join(name).exists() && README.contains(name), "{name}");
    }
}
