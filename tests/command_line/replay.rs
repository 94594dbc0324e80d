//! `replay` on a session of the demo: words, JSON, what it declines.

use serde_json::Value;

use crate::binary::{GLIDER, INSPECTOR, Place, contents};

const STEP: &str = "records.identity";

/// A step answered and corrected, a note, a pause; the program's own entries stand between them.
fn worked() -> Place {
    let place = Place::begun();
    place.run(&["answer", GLIDER, STEP, "fail"]).expect(0);
    place.run(&["answer", GLIDER, STEP, "pass", "--correct", "the plate was under the mat"]).expect(0);
    place.run(&["note", GLIDER, "cold hangar"]).expect(0);
    place.run(&["pause", GLIDER]).expect(0);
    place
}

/// Entry whose words contain the text.
#[track_caller]
fn entry(place: &Place, text: &str) -> u64 {
    let told = place.run(&["replay", GLIDER, "--find", text, "--json"]).expect(0).json();
    let found = told["told"].as_array().expect("a list");
    assert_eq!(found.len(), 1, "{told:#}");
    found[0]["entry"].as_u64().expect("a number")
}

#[test]
fn entry_by_entry_and_nothing_is_written() {
    let place = worked();
    let before = contents(&place.session_folder(GLIDER));
    let told = place.run(&["replay", GLIDER]).tells(
        0,
        &[
            "Replay of XX-VA7",
            "annual begun on XX-VA7",
            "the plate was under the mat",
            "wall  ",
            "code on paper: ",
        ],
    );
    assert!(told.out.lines().count() > 5, "{}", told.out);
    assert_eq!(contents(&place.session_folder(GLIDER)), before);
    // The code on paper is the one of the pause's hash.
    let json = place.run(&["replay", GLIDER, "--only", "pauses", "--json"]).expect(0).json();
    let pause = &json["told"][0];
    let hash: spanwise::journal::Hash = pause["hash"].as_str().expect("text").parse().expect("a hash");
    let code = spanwise::journal::ShortCode::of(&hash).to_string();
    assert_eq!(pause["paper_code"], code.as_str());
    assert!(told.out.contains(&code));
}

#[test]
fn options_narrow_it_down() {
    let place = worked();
    let corrected = entry(&place, "under the mat");
    let told = |args: &[&str]| -> Vec<u64> {
        let all = [&["replay", GLIDER, "--json"], args].concat();
        let json = place.run(&all).expect(0).json();
        json["told"]
            .as_array()
            .expect("a list")
            .iter()
            .map(|t| t["entry"].as_u64().expect("a number"))
            .collect()
    };
    assert_eq!(told(&["--only", "corrections"]), [corrected]);
    let failures = told(&["--only", "failures"]);
    assert!(failures.len() == 1 && failures[0] < corrected, "{failures:?}");
    assert_eq!(told(&["--only", "revisions"]), [0u64; 0]);
    assert_eq!(told(&["--from", "0", "--to", "0"]), [0]);
    assert_eq!(told(&["--person", "bram"]), [0u64; 0]);
    let theirs = told(&["--person", INSPECTOR]);
    assert!(theirs.contains(&corrected) && theirs.contains(&0), "{theirs:?}");
    assert_eq!(told(&["--find", "COLD HANGAR", "--person", INSPECTOR]).len(), 1);
}

#[test]
fn the_story_of_a_step_begins_with_its_summary() {
    let place = worked();
    let corrected = entry(&place, "under the mat");
    let told = place.run(&["replay", GLIDER, "--step", STEP]).tells(
        0,
        &[
            "passed by Tamsin Orrel on ",
            "configuration then: none was confirmed",
            "changed 2 times",
            "later struck by entry",
        ],
    );
    let second = told.out.lines().nth(1).expect("a summary");
    assert!(second.contains("passed by") && second.ends_with(&format!("entry {corrected}")), "{second}");
    let json = place.run(&["replay", GLIDER, "--step", STEP, "--json"]).expect(0).json();
    for key in ["session", "registration", "entries", "fault", "told", "step"] {
        assert!(json.get(key).is_some(), "\"{key}\" is missing in {json:#}");
    }
    for key in [
        "id",
        "title",
        "standing",
        "held",
        "instruments",
        "readings",
        "failures",
        "inspections",
        "changes",
        "summary",
    ] {
        assert!(json["step"].get(key).is_some(), "\"{key}\" is missing in {json:#}");
    }
    assert_eq!((&json["step"]["standing"], &json["fault"]), (&Value::from("passed"), &Value::Null));
    assert_eq!(json["step"]["held"]["entry"], corrected);
    assert_eq!(json["step"]["changes"][0]["what"], "failed");
    assert_eq!(json["step"]["changes"][1]["entry"], corrected);
    for told in json["told"].as_array().expect("a list") {
        for key in [
            "entry",
            "wall",
            "elapsed_ms",
            "elapsed_by",
            "by",
            "configuration",
            "words",
            "event",
            "hash",
            "paper_code",
            "judgement",
            "instruments",
            "struck",
            "plan_change",
            "carried_from",
        ] {
            assert!(told.get(key).is_some(), "\"{key}\" is missing in {told:#}");
        }
    }
    assert_eq!(json["told"][0]["struck"]["by_entry"], corrected);
}

#[test]
fn the_worksheet_as_it_stood() {
    let place = worked();
    let corrected = entry(&place, "under the mat");
    let standing = |at: u64| {
        let json = place.run(&["replay", GLIDER, "--at", &at.to_string(), "--json"]).expect(0).json();
        let steps = json["steps"].as_array().expect("a list").clone();
        let step = steps.into_iter().find(|step| step["id"] == STEP).expect("planned");
        step["standing"].as_str().expect("a word").to_string()
    };
    assert_eq!(standing(0), "open");
    assert_eq!(standing(corrected - 1), "failed");
    assert_eq!(standing(corrected), "passed");
    let text = place.run(&["replay", GLIDER, "--at", &(corrected - 1).to_string()]).expect(0).out;
    assert!(text.starts_with(&format!("As it stood after entry {}, ", corrected - 1)), "{text}");
    assert!(!text.contains("under the mat"), "what came later is not in it");
}

#[test]
fn what_is_not_there_is_told_with_what_is() {
    let place = worked();
    place
        .run(&["replay", GLIDER, "--step", "records.identiti"])
        .tells(1, &["did you mean \"records.identity\"?"]);
    place.run(&["replay", GLIDER, "--step", "zzz"]).tells(1, &["list the steps with"]);
    place.run(&["replay", GLIDER, "--at", "999"]).tells(2, &["there is no entry 999; the last one"]);
    place.run(&["replay", GLIDER, "--from", "999"]).tells(2, &["there is no entry 999"]);
    place.run(&["replay", GLIDER, "--from", "3", "--to", "1"]).tells(2, &["exchange them"]);
    place.run(&["replay", GLIDER, "--only", "nonsense"]).tells(2, &["failures"]);
    place.run(&["replay", GLIDER, "--at", "1", "--step", STEP]).tells(2, &["cannot be used with"]);
}

#[test]
fn a_damaged_session_is_followed_as_far_as_it_verifies() {
    let place = worked();
    let journal = place.session_folder(GLIDER).join("journal.jsonl");
    let text = std::fs::read_to_string(&journal).expect("read");
    std::fs::write(&journal, text.replace("cold hangar", "warm hangar")).expect("written");
    let told = place.run(&["replay", GLIDER]).tells(4, &["under the mat", "the record is damaged"]);
    assert!(!told.out.contains("hangar: note") && !told.out.contains("warm hangar"), "{}", told.out);
}

#[test]
fn words_in_any_order_and_names_that_are_not_there() {
    let place = worked();
    let corrected = entry(&place, "mat the under");
    assert_eq!(entry(&place, "records.identity mat"), corrected, "words and step together");
    place.run(&["replay", GLIDER, "--step", "identity"]).tells(1, &["these contain it", STEP]);
    place.run(&["replay", GLIDER, "--person", "nobody"]).tells(0, &["nobody in this record", INSPECTOR]);
}
