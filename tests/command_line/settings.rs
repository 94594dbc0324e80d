//! Config file and log: where a value comes from, what faults do, what is kept and what never is.

use std::path::PathBuf;

use crate::binary::{Answer, GLIDER, INSPECTOR, PASSPHRASE, Place, SECOND};

/// Without --hangar and --by: settings alone.
fn run(place: &Place, variables: &[(&str, &str)], args: &[&str]) -> Answer {
    let output = place.command().envs(variables.iter().copied()).args(args).output().expect("it starts");
    let text = |bytes: Vec<u8>| String::from_utf8(bytes).expect("UTF-8");
    Answer {
        code: output.status.code().expect("no signal"),
        out: text(output.stdout),
        err: text(output.stderr),
    }
}

fn config_file(place: &Place) -> PathBuf {
    place.bare(["config", "--path"]).expect(0).out.trim_end().into()
}

fn write_config(place: &Place, text: &str) {
    let path = config_file(place);
    std::fs::create_dir_all(path.parent().expect("a folder")).expect("made");
    std::fs::write(path, text).expect("written");
}

fn value(place: &Place, variables: &[(&str, &str)], args: &[&str], key: &str) -> (String, String) {
    let told = run(place, variables, &[args, &["config", "--json"]].concat()).json();
    let row =
        told["settings"].as_array().expect("a list").iter().find(|row| row["key"] == key).expect("the key");
    let text = |name: &str| row[name].as_str().unwrap_or_default().to_string();
    (text("value"), text("from"))
}

#[test]
fn argument_environment_config_and_default_in_this_order() {
    let place = Place::empty();
    let of = |variables: &[(&str, &str)], args: &[&str]| value(&place, variables, args, "person");
    assert_eq!(of(&[], &[]), ("".into(), "default".into()));
    write_config(&place, "# mine\n\nperson = \"c\"\n");
    assert_eq!(of(&[], &[]), ("c".into(), "config file, line 3".into()));
    let variable = [("SPANWISE_PERSON", "b")];
    assert_eq!(of(&variable, &[]), ("b".into(), "environment SPANWISE_PERSON".into()));
    assert_eq!(of(&variable, &["--by", "a"]), ("a".into(), "argument --by".into()));
}

/// XDG Base Directory Specification: config in XDG_CONFIG_HOME, else ~/.config; state in XDG_STATE_HOME, else ~/.local/state.
#[cfg(target_os = "linux")]
#[test]
fn the_files_lie_where_the_specification_says() {
    let place = Place::empty();
    let home = place.environment().into_iter().find(|(name, _)| *name == "HOME").expect("a home").1;
    assert_eq!(config_file(&place), home.join(".config/spanwise/config.toml"));
    let log = run(&place, &[], &["log", "--path"]).expect(0).out;
    assert_eq!(PathBuf::from(log.trim_end()), home.join(".local/state/spanwise/spanwise.log"));
    let other = [("XDG_CONFIG_HOME", "/xdg/c"), ("XDG_STATE_HOME", "/xdg/s")];
    assert_eq!(run(&place, &other, &["config", "--path"]).out.trim_end(), "/xdg/c/spanwise/config.toml");
    assert_eq!(run(&place, &other, &["log", "--path"]).out.trim_end(), "/xdg/s/spanwise/spanwise.log");
}

#[test]
fn a_file_is_begun_changed_with_its_remarks_kept_and_never_overwritten() {
    let place = Place::empty();
    place.bare(["config", "init"]).tells(0, &["config.toml", "none is set"]);
    place.bare(["config", "init"]).tells(3, &["nothing is overwritten"]);
    let begun = std::fs::read_to_string(config_file(&place)).expect("read");
    place.bare(["config", "set", "person", "ada"]).tells(0, &["person = ada"]);
    place.bare(["config", "set", "ascii", "true"]).expect(0);
    let set = std::fs::read_to_string(config_file(&place)).expect("read");
    assert!(set.starts_with(begun.trim_end()), "{set}");
    std::fs::write(config_file(&place), format!("{set}paper = \"a4\" # as the printer has it\n"))
        .expect("written");
    place.bare(["config", "set", "paper", "letter"]).expect(0);
    place.bare(["config", "unset", "person"]).tells(0, &["person is not set"]);
    let changed = std::fs::read_to_string(config_file(&place)).expect("read");
    assert!(changed.contains("paper = \"letter\" # as the printer has it"), "{changed}");
    assert!(!changed.contains("person = \"ada\"") && changed.contains("ascii = true"), "{changed}");
    for (args, code, words) in [
        (["set", "papr", "a4"], 2, "did you mean \"paper\"?"),
        (["set", "language", "dk"], 3, "\"dk\" is no known language"),
        (["set", "people", "0"], 3, "no whole number from 1"),
        (["set", "hangar", "club"], 3, "~/club"),
    ] {
        place.bare(["config"].iter().chain(&args)).tells(code, &[words]);
    }
    assert_eq!(std::fs::read_to_string(config_file(&place)).expect("read"), changed);
}

#[test]
fn a_broken_file_is_told_with_its_line_and_keeps_nobody_from_working() {
    let place = Place::begun();
    write_config(&place, "person = \"ada\nlanguage = \"de\"\n[[[\n");
    place.bare(["config"]).tells(1, &["config.toml:1:", "^", "default"]);
    place.run(&["note", GLIDER, "x"]).tells(0, &["config.toml:1:", "counts as not set", "saved, entry"]);
    place.bare(["config", "set", "ascii", "true"]).tells(1, &["config.toml:1:"]);
    write_config(&place, "language = \"dk\"\nthem = \"dark\"\n");
    let told = [
        "config.toml:1:12",
        "no known language",
        "config.toml:2:1",
        "did you mean \"theme\"?",
        "saved, entry",
    ];
    place.run(&["note", GLIDER, "y"]).tells(0, &told);
    std::fs::write(config_file(&place), b"person = \"\xff\"").expect("written");
    place.run(&["note", GLIDER, "z"]).tells(0, &["is no UTF-8 text", "saved, entry"]);
    // Standard output stays what other programs read.
    assert!(place.run(&["status", GLIDER, "--json"]).json()["session"].is_string());
}

#[test]
fn hangar_person_people_and_ascii_hold_where_nothing_else_is_said() {
    let place = Place::begun();
    let hangar = place.root().to_string_lossy().into_owned();
    write_config(
        &place,
        &format!("hangar = \"{hangar}\"\nperson = \"{INSPECTOR}\"\npeople = 1\nascii = true\n"),
    );
    run(&place, &[], &["note", GLIDER, "by the settings"]).tells(0, &["saved, entry"]);
    let one = run(&place, &[], &["order", GLIDER]).expect(0).out;
    let two = run(&place, &[], &["order", GLIDER, "--people", "9"]).expect(0).out;
    assert_eq!(one, run(&place, &[], &["order", GLIDER, "--people", "1"]).expect(0).out);
    assert_ne!(one, two, "the argument goes before the setting");
    run(&place, &[], &["defect", "raise", GLIDER, "scratch", "--component", "fin"]).expect(0);
    assert!(run(&place, &[], &["defects", GLIDER, "--picture"]).expect(0).out.is_ascii());
    let plain = run(&place, &[("SPANWISE_ASCII", "0")], &["defects", GLIDER, "--picture"]).expect(0).out;
    assert!(!plain.is_ascii(), "the environment goes before the file: {plain}");
    // A hangar that does not know the person is told of, and opened.
    write_config(&place, &format!("hangar = \"{hangar}\"\nperson = \"nobody\"\n"));
    run(&place, &[], &["status", GLIDER]).tells(3, &["config file, line 2", "nobody called \"nobody\""]);
    run(&place, &[], &["note", GLIDER, "x"]).tells(2, &["who is working is not named"]);
    run(&place, &[], &["--by", SECOND, "note", GLIDER, "x"]).tells(0, &["saved, entry"]);
}

#[test]
fn the_log_tells_what_was_done_and_never_what_was_typed() {
    let place = Place::begun();
    let secret = std::fs::read_to_string(place.path(PASSPHRASE)).expect("the phrase");
    place.run(&["note", GLIDER, "a word that stays private"]).expect(0);
    place.run(&["note", "a-private-name", "x"]).expect(1);
    place.run(&["key", "new", "pia-wendle"]).expect(0);
    place.run(&["sign", GLIDER, "release", "--confirm", GLIDER]).expect(3);
    let told = place.bare(["log", "--tail", "500"]).expect(0).out;
    for words in ["opened, ", "entry 1 noted", "note: exit code 1", "people.toml written"] {
        assert!(told.contains(words), "\"{words}\" is missing in {told}");
    }
    for typed in ["stays private", "a-private-name", secret.lines().next().expect("a phrase")] {
        assert!(!told.contains(typed), "\"{typed}\" stands in {told}");
    }
    assert_eq!(place.bare(["log", "--tail", "2"]).expect(0).out.lines().count(), 2);
    let lines = told.lines().count();
    run(&place, &[("SPANWISE_LOG", "off")], &["--hangar", "h", "note", "x", "x", "--by", "x"]).expect(1);
    assert_eq!(place.bare(["log", "--tail", "500"]).expect(0).out.lines().count(), lines);
}

#[cfg(unix)]
#[test]
fn a_place_for_the_log_that_cannot_be_written_is_no_reason_to_fail() {
    let place = Place::begun();
    let state = place.beside("state");
    std::fs::write(&state, "a file where a folder should be").expect("written");
    let state = state.to_string_lossy().into_owned();
    let hangar = place.root().to_string_lossy().into_owned();
    let args = ["--hangar", &hangar, "--by", INSPECTOR, "note", GLIDER, "x"];
    let answer = run(&place, &[("XDG_STATE_HOME", &state)], &args).tells(0, &["saved, entry"]);
    assert!(answer.err.is_empty(), "{}", answer.err);
    // A disk that is full.
    let full = place.beside("full/spanwise");
    std::fs::create_dir_all(&full).expect("made");
    std::os::unix::fs::symlink("/dev/full", full.join("spanwise.log")).expect("linked");
    let full = place.beside("full").to_string_lossy().into_owned();
    run(&place, &[("XDG_STATE_HOME", &full)], &args).tells(0, &["saved, entry"]);
}

/// Points of a page: ISO 216 A4 and ANSI/ASME Y14.1 size A.
#[test]
fn the_paper_is_as_set_and_the_argument_goes_before() {
    let place = Place::begun();
    let hangar = place.root().to_string_lossy().into_owned();
    write_config(&place, &format!("hangar = \"{hangar}\"\nperson = \"{INSPECTOR}\"\npaper = \"letter\"\n"));
    let size = |variables: &[(&str, &str)], args: &[&str]| {
        let file = place.beside("sheet.pdf");
        let out = file.to_str().expect("a path");
        run(&place, variables, &[args, &["--out", out]].concat()).tells(0, &["written"]);
        let bytes = std::fs::read(&file).expect("a PDF");
        let holds = |what: &str| bytes.windows(what.len()).any(|window| window == what.as_bytes());
        match (holds("/MediaBox[0 0 612 792]"), holds("/MediaBox[0 0 595.28 841.89]")) {
            (true, false) => "letter",
            (false, true) => "a4",
            other => panic!("{other:?}"),
        }
    };
    for command in ["report", "worksheet"] {
        assert_eq!(size(&[], &[command, GLIDER]), "letter", "{command}");
        assert_eq!(size(&[("SPANWISE_PAPER", "a4")], &[command, GLIDER]), "a4", "{command}: before the file");
        assert_eq!(size(&[("SPANWISE_PAPER", "a4")], &[command, GLIDER, "--paper", "letter"]), "letter");
        let told =
            run(&place, &[("SPANWISE_PAPER", "a5")], &[command, GLIDER, "--out", "-", "--form", "text"]);
        assert_eq!(told.code, 0);
        assert_eq!(told.err.matches("SPANWISE_PAPER").count(), 1, "{}", told.err);
    }
}

/// Without screens it is told on standard error; where screens open they tell it.
#[test]
fn a_theme_that_nobody_knows_is_told_once() {
    let place = Place::begun();
    let hangar = place.root().to_string_lossy().into_owned();
    let told = run(&place, &[("SPANWISE_THEME", "pink")], &["--hangar", &hangar, "status", GLIDER]);
    assert_eq!(told.err.matches("pink").count(), 1, "{}", told.err);
}
