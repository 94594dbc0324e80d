//! Records and registers typed in an editor, and commands: what is said at once, and where.

use crate::binary::{GLIDER, INSPECTOR, Place};

#[test]
fn two_records_of_one_airframe_are_told_and_neither_is_used() {
    let place = Place::demo();
    let text = std::fs::read_to_string(place.path(&format!("airframes/{GLIDER}.toml"))).expect("read");
    place.write("airframes/copy.toml", &text);
    let twin = "gives the same registration";
    place.run(&["list"]).tells(0, &["cannot be read", "copy.toml", twin]);
    place.run(&["due", GLIDER]).tells(1, &[twin, "keep one record"]);
    place.run(&["begin", GLIDER]).tells(1, &[twin]);
    std::fs::remove_file(place.path("airframes/copy.toml")).expect("removed");
    place.run(&["begin", GLIDER]).expect(0);
}

#[test]
fn faults_stand_at_the_entry_that_has_them() {
    let place = Place::empty();
    let people = "[[person]]\nid = \"a\"\nname = \"A\"\nrole = \"helper\"\n";
    place.write("people.toml", &format!("{people}{people}"));
    let gauge = "[[instrument]]\nid = \"g\"\ntitle = \"G\"\nquantity = \"length\"\nunit = \"mm\"\n";
    place.write("instruments.toml", &format!("{gauge}{gauge}uncertainty = \"-0.2\"\n"));
    let head = "registration = \"XX-EX1\"\ntype = \"varn-15\"\nserial = \"1\"\nhours = \"1\"\n";
    let defect = "[[defect]]\nid = \"d\"\nwhat = \"w\"\nseverity = \"minor\"\nstanding = \"deferred\"\n\
                  found = 2026-05-01\nuntil = 2026-04-30\n";
    let done = "[[compliance]]\ndirective = \"nope\"\non = 2026-01-01\n";
    place.write("airframes/XX-EX1.toml", &format!("{head}launches = 1.5\n{defect}{done}"));
    let root = place.root().to_string_lossy().into_owned();
    let told = place.run(&["check", &root]).expect(3);
    let all = format!("{}{}", told.out, told.err);
    let wanted = [
        "people.toml:6:6",
        "instruments.toml:7:6",
        "instruments.toml:11:15",
        "\"uncertainty\" is below zero",
        "write it without a decimal point",
        "before it was found on 2026-05-01",
        "XX-EX1.toml:14:13",
    ];
    for words in wanted {
        assert!(all.contains(words), "{words}\n{all}");
    }
}

#[test]
fn the_help_shows_commands_that_can_be_typed() {
    let place = Place::empty();
    let shown = place.bare(["record", "--help"]).expect(0).out;
    assert!(shown.contains("spanwise record new XX-VA7 --set type=varn-15"), "{shown}");
    assert!(!shown.contains("crate::"), "{shown}");
    let folder = place.beside("our hangar");
    let shown = place.bare(["init", &folder.to_string_lossy()]).expect(0).out;
    assert!(shown.contains(&format!("spanwise --hangar '{}' record new", folder.display())), "{shown}");
    place.bare(["record", "keys", "report"]).tells(0, &["[[report]]", "number = \"12.5\""]);
}

#[test]
fn a_day_is_asked_for_as_it_is_written() {
    let place = Place::demo();
    place.run(&["due", GLIDER, "--on", "31.12.2027"]).tells(2, &["year, month, day, such as 2027-03-31"]);
}

#[test]
fn what_the_sign_off_would_miss_is_told_with_the_answer() {
    let place = Place::begun();
    place.run(&["answer", GLIDER, "records.identity", "pass"]).tells(0, &["saved, entry"]);
    place
        .run(&["confirm", GLIDER, "wings=rigged, wings=derigged"])
        .tells(3, &["wings is given as rigged and as derigged"]);
    let quiet = place.run(&["note", GLIDER, "nothing"]).expect(0).out;
    assert!(!quiet.contains("still misses"), "{quiet}");
    place.run(&["answer", GLIDER, "electrics.battery", "pass"]).tells(
        0,
        &["saved, entry", "the sign-off still misses: \"Voltage at rest\" lacks 1 of 1", "clears it:"],
    );
    place.run(&["defect", "raise", GLIDER, "soft", "--severity", "grounding"]).expect(0);
    place
        .run(&["defect", "dispose", GLIDER, "d1", "defer", "--until", "2099-01-01", "--note", "later"])
        .tells(0, &["the sign-off still misses:", "cannot be deferred"]);
    place.run(&["airframe", GLIDER]).tells(0, &["NOT AIRWORTHY: annual begun", "soft"]);
    let grounded = place.run(&["airframe", GLIDER, "--json"]).expect(0).json()["grounded"].clone();
    assert!(grounded.to_string().contains("soft"), "{grounded} {INSPECTOR}");
}

#[test]
fn every_list_is_json_when_it_is_asked_for() {
    let place = Place::begun();
    let nothing = place.run(&["take-up", GLIDER, "--json"]).expect(0).json();
    assert_eq!(
        (&nothing["added"], &nothing["reordered"]),
        (&serde_json::json!([]), &serde_json::json!(false))
    );
    let all = place.run(&["refusals", "--json"]).expect(0).json();
    assert_eq!(all["refusals"].as_array().map(Vec::len), Some(14));
    assert_eq!(place.run(&["refusals", "8", "--json"]).expect(0).json()["refusals"][0]["number"], 8);
}
