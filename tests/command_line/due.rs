//! `due`, `airframe`, `people`, `instruments`: what they tell, their exit codes, and eighty columns.

use serde_json::Value;

use crate::binary::{GLIDER, Place, SMALL};

fn in_eighty_columns(text: &str) {
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
}

fn standing(json: &Value, id: &str) -> Option<String> {
    let lines = json["lines"].as_array().expect("lines");
    let line = lines.iter().find(|line| line["id"] == id)?;
    line["standing"].as_str().map(ToString::to_string)
}

#[test]
fn what_falls_due_before_the_next_annual() {
    let place = Place::demo();
    let text = place
        .run(&["due", GLIDER])
        .tells(
            0,
            &["by its record", "BEFORE THE NEXT ANNUAL", "AD-V15-2023-01", "first, expected on", "--all"],
        )
        .out;
    in_eighty_columns(&text);
    assert!(!text.contains("Harness"), "it is not due for years: {text}");
    let all = place.run(&["due", GLIDER, "--all"]).tells(0, &["LATER", "Harness"]).out;
    in_eighty_columns(&all);
    let unclear = place.run(&["due", "XX-VA3"]).out;
    assert!(unclear.contains("CANNOT BE TOLD") && unclear.contains("hours cannot be counted"), "{unclear}");
    place.run(&["due", GLIDER, "--on", "2099-01-01"]).tells(3, &["OVERDUE", "days ago"]);
    place.run(&["due", GLIDER, "--next", "2001-01-01"]).tells(2, &["must lie after"]);
    place.run(&["due", "XX-NONE"]).expect(1);
    place.run(&["due"]).expect(2);
}

#[test]
fn a_session_is_seen_with_its_answers() {
    let place = Place::small();
    place.run(&["due", SMALL, "--on", "2026-11-20"]).tells(0, &["an annual is under way"]);
    let sid = place.run(&["list", "--json"]).expect(0).json()["sessions"][0]["session"].clone();
    let sid = sid.as_str().expect("a session's id");
    let of_session = || place.run(&["due", sid, "--all", "--json"]);
    let before = of_session().expect(0).json();
    assert_eq!(standing(&before, "INV-1").as_deref(), Some("later"));
    assert_eq!(standing(&before, "annual").as_deref(), Some("later"), "it counts from this annual");
    assert_eq!(before["session"], sid);
    place.run_by("ada", &["directive", SMALL, "INV-1", "not-yet-due", "--next-due", "2020-01-01"]).expect(0);
    let after = of_session().expect(3).json();
    assert_eq!(standing(&after, "INV-1").as_deref(), Some("overdue"));
    assert_eq!(after["overdue"], true);
}

#[test]
fn registers_tell_what_has_ended() {
    let place = Place::demo();
    let text = place.run(&["due", "--registers"]).tells(3, &["balance-old", "Edwin Hask", "OVERDUE"]).out;
    in_eighty_columns(&text);
    let people = place.run(&["people"]).tells(0, &["Tamsin Orrel", "ENDED on", "key from"]).out;
    in_eighty_columns(&people);
    let instruments = place.run(&["instruments"]).tells(0, &["balance-20", "k = 2", "ENDED on"]).out;
    in_eighty_columns(&instruments);
    let json = place.run(&["instruments", "--json"]).expect(0).json();
    let old =
        json["instruments"].as_array().expect("instruments").iter().find(|one| one["id"] == "balance-old");
    assert_eq!(old.expect("the old balance")["ended"], true);
    assert!(place.run(&["people", "--json"]).expect(0).json()["people"].as_array().is_some());
}

#[test]
fn the_whole_record_of_an_airframe() {
    let place = Place::demo();
    let words = [
        "build standard: A",
        "Modifications",
        "LM-0131",
        "Manuals",
        "Airworthiness review",
        "empty mass 247.4 kg",
        "Repairs",
        "does not apply: serial number 0107 is not among 0201..",
        "every 24 months or 150 h",
        "life 144 months",
        "open for the next annual",
        "Annuals",
        "Falls due",
    ];
    let text = place.run(&["airframe", GLIDER]).tells(0, &words).out;
    in_eighty_columns(&text);
    let json = place.run(&["airframe", GLIDER, "--json"]).expect(0).json();
    assert_eq!(json["airframe"]["serial"], "0107");
    assert!(json["due"].as_array().is_some_and(|due| due.len() > 5));
    place.run(&["airframe", "XX-VA8"]).tells(1, &["there is no airframe", "did you mean"]);
}
