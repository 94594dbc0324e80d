//! What each command says to a wrong word: what is wrong, and what to do next. Nothing is recorded by it.

use std::process::Stdio;

use crate::binary::{GLIDER, INSPECTOR, Place, SECOND};

/// Arguments, exit code, words that must be told.
type Wrong = (&'static [&'static str], i32, &'static [&'static str]);

/// 1: there is no such thing. 3: the record would be false. 2: clap or the command line itself.
const WRONG: &[Wrong] = &[
    (&["begin", "XX-VA8"], 1, &["no airframe \"XX-VA8\"", "did you mean \"XX-VA"]),
    (&["plan", "nowhere"], 1, &["no airframe \"nowhere\"", "XX-VA7"]),
    (&["status", "XX-VA9"], 1, &["no session \"XX-VA9\"", "did you mean \"XX-VA7\"", "spanwise list"]),
    (&["show", "0000"], 1, &["no session \"0000\"", "spanwise begin"]),
    (&["answer", GLIDER, "records.identty", "pass"], 3, &["did you mean \"records.identity\"?"]),
    (&["answer", GLIDER, "records.identity", "passs"], 2, &["similar value exists: 'pass'"]),
    (
        &["answer", GLIDER, "records.identity", "not-applicable"],
        3,
        &["may not be answered as not applicable"],
    ),
    (&["answer", GLIDER, "gear.brake", "not-applicable"], 3, &["needs a reason"]),
    (
        &["read", GLIDER, "gear.tyre-presure", "pressure", "3 bar"],
        3,
        &["did you mean \"gear.tyre-pressure\"?"],
    ),
    (&["read", GLIDER, "gear.tyre-pressure", "presure", "3 bar"], 3, &["did you mean \"pressure\"?"]),
    (
        &["read", GLIDER, "gear.tyre-pressure", "pressure", "3 mm"],
        3,
        &["a length", "wants a pressure", "bar"],
    ),
    (&["read", GLIDER, "gear.tyre-pressure", "pressure", "much"], 3, &["\"much\"", "is not a number"]),
    (&["read", GLIDER, "gear.tyre-pressure", "pressure"], 2, &["required"]),
    (
        &["read", GLIDER, "gear.tyre-pressure", "pressure", "3 bar", "--instrument", "tyre-gage"],
        3,
        &["did you mean \"tyre-gauge\"?"],
    ),
    (&["read", GLIDER, "gear.tyre-pressure", "pressure", "3 bar", "--correct", "1"], 2, &["--why"]),
    (
        &["read", GLIDER, "gear.tyre-pressure", "pressure", "3 bar", "--correct", "99", "--why", "x"],
        3,
        &["entry 99 is no reading of this measurement"],
    ),
    (&["read", GLIDER, "fin-root.flex-tailplane-off", "fin-top", "left,up,16 kgf,20 mm"], 3, &["15 kgf"]),
    (&["read", GLIDER, "gear.tyre-pressure", "pressure", "--file", "nowhere.csv"], 1, &["nowhere.csv"]),
    (&["confirm", GLIDER, "wings=riged"], 3, &["\"riged\"", "rigged, derigged"]),
    (&["confirm", GLIDER, "wing=rigged"], 3, &["\"wing\" is no part of a configuration", "wings"]),
    (&["confirm", GLIDER, ""], 3, &["configuration"]),
    (&["note", GLIDER, "  "], 3, &["the note is empty"]),
    (&["note", GLIDER, "x", "--step", "record.identity"], 3, &["did you mean \"records.identity\"?"]),
    (&["evidence", GLIDER, "nowhere.jpg"], 1, &["nowhere.jpg", "check that the path is right"]),
    (&["evidence", GLIDER, "x.jpg", "--demand", "film"], 2, &["--step"]),
    (
        &["withdraw", GLIDER, "99", "why"],
        3,
        &["entry 99 is no answer, reading, defect, evidence or configuration"],
    ),
    (&["withdraw", GLIDER, "1", " "], 3, &["needs a reason"]),
    (&["defect", "raise", GLIDER, " "], 3, &["the defect is not described"]),
    (&["defect", "raise", GLIDER, "crack", "--station", "abc"], 3, &["station", "is not a number"]),
    (&["defect", "raise", GLIDER, "crack", "--severity", "huge"], 2, &["minor, major, grounding"]),
    (&["defect", "dispose", GLIDER, "d9", "refer"], 3, &["no defect \"d9\"", "raise one first"]),
    (&["defect", "rectify", GLIDER, "d9", "done"], 3, &["no defect \"d9\""]),
    (&["defect", "reinspect", GLIDER, "d9", "fine"], 3, &["no defect \"d9\""]),
    (&["defect", "dispose", GLIDER, "d1", "defer", "--until", "soon"], 2, &["'soon'"]),
    (&["set-aside", GLIDER, "r9", "why"], 3, &["no report \"r9\"", "did you mean"]),
    (&["set-aside", GLIDER, "r3", " "], 3, &["only with a written reason"]),
    (&["directive", GLIDER, "AD-V15-2019-03", "complied"], 3, &["did you mean \"AD-V15-2019-02\"?"]),
    (&["directive", GLIDER, "AD-V15-2019-02", "complied"], 3, &["it repeats"]),
    (&["directive", GLIDER, "AD-V15-2019-02", "not-applicable"], 3, &["needs a reason"]),
    (&["life-item", GLIDER, "harnes", "within-life"], 3, &["did you mean \"harness\"?"]),
    (&["life-item", GLIDER, "harness", "replaced"], 3, &["the replacement is not described"]),
    (
        &["inspect", GLIDER, "reassembly.tailplane", "all", "--checked", "assembly,locking,sense,range"],
        3,
        &["is not answered yet"],
    ),
    (&["inspect", GLIDER, "reassembly.tailplane", "all", "--checked", "colour"], 2, &["assembly, locking"]),
    (&["resume", GLIDER], 3, &["is not paused"]),
    (&["note", "XX-DR4", "x"], 3, &["the session is paused", "resume it first"]),
    (&["sign", GLIDER, "release", "--confirm", "XX-VA3"], 2, &["cannot be undone", "--confirm XX-VA7"]),
    (&["sign", GLIDER, "release"], 2, &["--confirm"]),
    (&["sign", GLIDER, "release", "--confirm", GLIDER], 3, &["is refused", "clears it"]),
    (&["refusals", "15"], 2, &["numbered 1 to 14"]),
    (&["check", "nowhere.toml"], 1, &["nowhere.toml", "cannot be read", "check the path"]),
    (&["lst"], 2, &["similar subcommand exists: 'list'"]),
    (&["show"], 2, &["<SESSION>"]),
];

#[test]
fn wrong_words_are_told_with_what_to_do_next_and_record_nothing() {
    let place = Place::begun();
    let before = place.entries(GLIDER);
    for (args, code, words) in WRONG {
        let answer = place.run(args);
        let told = format!("{args:?}: {}{}", answer.out, answer.err);
        assert_eq!(answer.code, *code, "{told}");
        for word in *words {
            assert!(told.contains(word), "\"{word}\" is missing in {told}");
        }
        assert!(!told.contains("panicked"), "{told}");
        let is_verdict = args[0] == "sign";
        assert!(answer.out.is_empty() || is_verdict, "an error belongs to standard error: {told}");
    }
    assert_eq!(place.entries(GLIDER), before);
}

#[test]
fn who_is_working_is_asked_for() {
    let place = Place::begun();
    let root = place.root().to_string_lossy().into_owned();
    for args in
        [&["note", GLIDER, "x"][..], &["begin", "XX-VA3"], &["sign", GLIDER, "release", "--confirm", GLIDER]]
    {
        let answer = place.bare([&["--hangar", &root], args].concat());
        answer.tells(2, &["who is working is not named", "--by <person>"]);
    }
    place.run_by("tamsin-orel", &["note", GLIDER, "x"]).tells(1, &["did you mean \"tamsin-orrel\"?"]);
    // The variables stand in for the options.
    let output = place
        .command()
        .args(["note", GLIDER, "by the variables"])
        .env("SPANWISE_HANGAR", &root)
        .env("SPANWISE_PERSON", INSPECTOR)
        .output()
        .expect("it runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
}

#[test]
fn each_recording_command_says_which_entry_it_became() {
    let place = Place::begun();
    place.write("photo.txt", "stands in for a photo");
    let photo = place.path("photo.txt").to_string_lossy().into_owned();
    let step = "gear.tyre-pressure";
    let saved: &[&[&str]] = &[
        &["answer", GLIDER, "records.identity", "pass"],
        &["answer", GLIDER, "records.identity", "fail", "--correct", "the plate is missing"],
        &["read", GLIDER, step, "pressure", "3.05", "--instrument", "tyre-gauge"],
        &["confirm", GLIDER, "wings=rigged, tailplane=on"],
        &["note", GLIDER, "cold in the hangar"],
        &["note", GLIDER, "valve cap missing", "--step", step],
        &["evidence", GLIDER, &photo, "--step", step],
        &["defect", "raise", GLIDER, "scratch", "--station", "-120.5", "--side", "left"],
        &["defect", "dispose", GLIDER, "d1", "rectify", "--note", "polish"],
        &["defect", "rectify", GLIDER, "d1", "polished"],
        &["defect", "reinspect", GLIDER, "d1", "clear"],
        &["set-aside", GLIDER, "r3", "loose plug"],
        &["directive", GLIDER, "AD-V15-2019-02", "complied", "--next-due", "2099-01-01"],
        &["life-item", GLIDER, "harness", "within-life"],
        &["inspect", GLIDER, "records.identity", "none", "--checked", "assembly,locking,sense,range"],
        &["pause", GLIDER, "--note", "lunch"],
        &["resume", GLIDER],
    ];
    let mut last = 0;
    for args in saved {
        let entry = place.run(args).expect(0).entry();
        assert!(entry > last, "{args:?}: entry {entry} after {last}");
        last = entry;
    }
    let entry = last.to_string();
    place
        .run(&["withdraw", GLIDER, &entry, "x"])
        .tells(3, &["is no answer, reading, defect, evidence or configuration"]);
    assert_eq!(place.entries(GLIDER).keys().max(), Some(&last));
    let shown = place.run(&["show", GLIDER]).expect(0).out;
    for words in
        ["the plate is missing", "3.05 bar with tyre-gauge", "valve cap missing", "station -120.5 mm"]
    {
        assert!(shown.contains(words), "\"{words}\" is missing in {shown}");
    }
}

#[test]
fn a_session_is_found_by_its_id_its_beginning_and_the_registration() {
    let place = Place::begun();
    let folder = place.session_folder(GLIDER);
    let sid = folder.file_name().expect("a name").to_string_lossy().into_owned();
    for word in [sid.as_str(), &sid[..8], "xx-va7"] {
        place.run(&["status", word]).tells(3, &[GLIDER]);
    }
    // A second annual of the same airframe: the registration means the newest.
    place.run(&["begin", GLIDER]).tells(3, &["is running already", "spanwise work", "--another"]);
    let begun = place.run(&["begin", GLIDER, "--another", "--json"]).expect(0).json();
    let shown = place.run(&["status", GLIDER, "--json"]).json();
    assert_eq!(shown["session"], begun["session"]);
}

/// `| head -1`: whoever listens has gone, and that is nobody's fault.
#[test]
fn a_closed_pipe_is_no_error() {
    let place = Place::begun();
    let root = place.root().to_string_lossy().into_owned();
    for args in [&["show", GLIDER][..], &["plan", GLIDER, "--json"], &["refusals"], &["list"], &["--help"]] {
        let mut child = place
            .command()
            .args([&["--hangar", &root], args].concat())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .expect("it starts");
        drop(child.stdout.take());
        let ended = child.wait_with_output().expect("it ends");
        let told = String::from_utf8_lossy(&ended.stderr).into_owned();
        assert!(ended.status.success() && told.is_empty(), "{args:?}: {:?} {told}", ended.status);
    }
}

#[test]
fn without_a_terminal_the_screens_say_so() {
    let place = Place::begun();
    for args in [&[][..], &["work", GLIDER]] {
        place.run(args).tells(1, &["the screens need a terminal", "spanwise --help"]);
    }
}

#[test]
fn the_demo_overwrites_nothing() {
    let place = Place::demo();
    place.run(&["list"]).tells(0, &["This hangar is invented", "XX-DR4", "paused"]);
    let root = place.root().to_string_lossy().into_owned();
    place.bare(["demo", "--into", &root]).tells(3, &["nothing is overwritten", "name a new or empty folder"]);
}

#[test]
fn refusals_are_explained_all_fourteen_of_them() {
    let place = Place::empty();
    let all = place.bare(["refusals"]).expect(0).out;
    for number in 1..=14 {
        assert!(all.contains(&format!("{number:>2}. ")), "{number} is missing in {all}");
        let number = number.to_string();
        let one = place.bare(["refusals", &number]).expect(0).out;
        assert!(one.trim_start().starts_with(&format!("{number}. ")) && one.lines().count() > 1, "{one}");
    }
}

#[test]
fn the_help_names_every_command_and_the_exit_codes() {
    let place = Place::empty();
    let help = place.bare(["--help"]).expect(0).out;
    let commands = [
        "demo",
        "list",
        "begin",
        "plan",
        "due",
        "airframe",
        "people",
        "instruments",
        "work",
        "status",
        "show",
        "answer",
        "read",
        "confirm",
        "note",
        "evidence",
        "withdraw",
        "defect",
        "set-aside",
        "directive",
        "life-item",
        "inspect",
        "pause",
        "resume",
        "sign",
        "check",
        "refusals",
        "compute",
    ];
    for command in commands {
        assert!(help.contains(&format!("\n  {command} ")), "{command} is missing in {help}");
        place.bare([command, "--help"]).tells(0, &["Usage: spanwise"]);
    }
    for code in
        ["0  done", "1  something failed", "2  the command line is wrong", "3  refused", "4  the record"]
    {
        assert!(help.contains(code), "\"{code}\" is missing in {help}");
    }
}

#[test]
fn a_helper_certifies_nothing() {
    let place = Place::begun();
    let aside = ["set-aside", GLIDER, "r3", "a loose plug"];
    place.run_by("pia-wendle", &aside).tells(3, &["no valid authorisation", "let the certifier"]);
    let answer = ["answer", GLIDER, "records.identity", "pass"];
    place.run_by(SECOND, &answer).tells(3, &["no valid authorisation", "initial what you did"]);
    place.run_by(SECOND, &["initial", GLIDER, "records.identity", "read the plate"]).expect(0);
    place.run(&answer).expect(0);
    place.run(&["show", GLIDER]).tells(0, &["initialled", "read the plate"]);
}
