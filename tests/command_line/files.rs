//! Files that people write: faulty ones are told with file and line, own checklists go before built-in ones.

use crate::binary::{GLIDER, Place};

const OWN: &str = "checklists/fin-root/1.0.0.toml";
const BUILT_IN: &str = include_str!("../../checklists/fin-root/1.0.0.toml");

#[test]
fn an_own_edition_goes_before_the_built_in_one() {
    let place = Place::demo();
    place.run(&["plan", GLIDER]).tells(0, &["built in: fin-root/1.0.0.toml"]);
    place.write(
        OWN,
        &BUILT_IN.replace("title = \"Fin root and tail boom: lateral flex test\"", "title = \"Ours\""),
    );
    let plan = place.run(&["plan", GLIDER]).expect(0).out;
    assert!(plan.contains("fin-root 1.0.0 \"Ours\" (") && plan.contains(OWN), "{plan}");
    assert!(!plan.contains("built in: fin-root"), "{plan}");
    place.run(&["list"]).expect(0);
    assert!(!place.run(&["list"]).out.contains("Faults"));
}

#[test]
fn a_faulty_own_checklist_is_told_with_its_line_and_no_plan_is_made_without_it() {
    let place = Place::demo();
    // Line 5 says "titel".
    place.write(OWN, &BUILT_IN.replacen("\ntitle =", "\ntitel =", 1));
    let line = format!("{OWN}:5:1");
    for args in [&["plan", GLIDER][..], &["begin", GLIDER]] {
        place.run(args).tells(1, &[&line, "titel", "did you mean \"title\"?"]);
    }
    place.run(&["list"]).tells(0, &[&line, "no annual is begun with a faulty checklist"]);
    let faults = place.run(&["list", "--json"]).expect(0).json()["faults"].clone();
    assert!(faults.to_string().contains(&line), "{faults}");
    let path = place.path(OWN).to_string_lossy().into_owned();
    place.run(&["check", &path]).tells(3, &[&line, "titel"]);
    // One that cannot even be read as text is no better.
    std::fs::write(place.path(OWN), b"title = \"\xff\"").expect("written");
    place.run(&["plan", GLIDER]).tells(1, &[OWN, "is no UTF-8 text"]);
}

#[test]
fn a_running_session_keeps_its_plan_whatever_becomes_of_the_checklist() {
    let place = Place::begun();
    let before = place.run(&["show", GLIDER]).expect(0).out;
    place.write(OWN, "no checklist at all");
    assert_eq!(place.run(&["show", GLIDER]).expect(0).out, before);
    place.run(&["answer", GLIDER, "records.identity", "pass"]).tells(0, &["saved, entry"]);
}

#[test]
fn the_built_in_library_and_a_folder_are_checked() {
    let place = Place::demo();
    place.run(&["check"]).tells(0, &["editions read, no fault found"]);
    place.write(OWN, &BUILT_IN.replacen("\ntitle =", "\ntitel =", 1));
    let folder = place.path("checklists").to_string_lossy().into_owned();
    place.run(&["check", &folder]).tells(3, &["titel"]);
    // Under another name two editions could be mistaken for each other.
    place.write(OWN, &BUILT_IN.replacen("version = \"1.0.0\"", "version = \"1.0.1\"", 1));
    place.run(&["check", &folder]).tells(3, &["belongs into a file called fin-root/1.0.1.toml"]);
}

#[test]
fn a_faulty_airframe_record_stands_in_the_list_with_its_fault() {
    let place = Place::demo();
    place
        .edit("airframes/XX-VB2.toml", |text| text.replacen("\nhours = \"2104.5\"", "\nhours = \"many\"", 1));
    let line = "XX-VB2.toml:7:9";
    place.run(&["list"]).tells(0, &["XX-VB2     cannot be read", line, "XX-VA7"]);
    place.run(&["list", "--json"]).tells(0, &[line]);
    place.run(&["begin", "XX-VB2"]).tells(1, &[line, "many"]);
    place.run(&["begin", GLIDER]).tells(0, &["begun"]);
}

#[test]
fn a_faulty_register_is_told_wherever_somebody_would_miss_its_people() {
    let place = Place::begun();
    place.edit("people.toml", |text| text.replacen("role = \"inspector\"", "rol = \"inspector\"", 1));
    place.run(&["list"]).tells(0, &["people.toml:6:1", "rol"]);
    let answer = place.run(&["note", GLIDER, "x"]);
    answer.tells(1, &["people.toml:6:1", "nobody called \"tamsin-orrel\""]);
}

#[test]
fn a_folder_that_does_not_exist_is_said_to_be_none() {
    let place = Place::empty();
    place.run(&["list"]).tells(0, &["there is no such folder yet"]);
    place.run(&["status", GLIDER]).tells(1, &["there is no session"]);
}
