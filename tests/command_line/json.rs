//! JSON for other programs: it parses and holds its keys. Taking one away would break whoever reads it.

use serde_json::Value;

use crate::binary::{GLIDER, Place};

#[track_caller]
fn holds(value: &Value, keys: &[&str]) {
    for key in keys {
        assert!(value.get(key).is_some(), "\"{key}\" is missing in {value:#}");
    }
}

#[test]
fn list() {
    let place = Place::begun();
    let list = place.run(&["list", "--json"]).expect(0).json();
    holds(&list, &["hangar", "airframes", "sessions", "faults"]);
    assert_eq!(list["airframes"].as_array().map(Vec::len), Some(4));
    for airframe in list["airframes"].as_array().expect("a list") {
        let keys = ["registration", "type", "serial", "build_standard", "hours", "launches", "last_annual"];
        holds(airframe, &keys);
        assert!(airframe["hours"].is_string(), "exact decimals are text: {airframe}");
    }
    for session in list["sessions"].as_array().expect("a list") {
        let keys =
            ["session", "registration", "begun", "by", "standing", "answered", "steps", "open_mandatory"];
        holds(session, &keys);
    }
}

#[test]
fn begin_and_plan() {
    let place = Place::demo();
    let plan = place.run(&["plan", GLIDER, "--json"]).expect(0).json();
    holds(&plan, &["format", "airframe", "of_type", "editions", "reports", "sections", "steps", "withdrawn"]);
    for step in plan["steps"].as_array().expect("a list") {
        holds(
            step,
            &["id", "title", "section", "mandatory", "configuration", "after", "measures", "evidence"],
        );
    }
    let begun = place.run(&["begin", GLIDER, "--json"]).expect(0).json();
    holds(&begun, &["session", "registration", "plan", "steps"]);
    assert_eq!(begun["steps"].as_u64(), plan["steps"].as_array().map(|steps| steps.len() as u64));
    // The frozen plan is the one that was shown, and its hash is that of the file.
    let file = place.session_folder(GLIDER).join("plan.json");
    let frozen: Value = serde_json::from_slice(&std::fs::read(&file).expect("read")).expect("JSON");
    assert_eq!(frozen, plan);
}

#[test]
fn status_and_show() {
    let place = Place::begun();
    place.run(&["answer", GLIDER, "records.identity", "pass"]).expect(0);
    let status = place.run(&["status", GLIDER, "--json"]).expect(3).json();
    let keys = [
        "session",
        "registration",
        "steps",
        "answered",
        "open_mandatory",
        "paused",
        "grounded",
        "signed",
        "release_possible",
        "not_airworthy_possible",
        "refusals",
        "discrepancies",
        "entries",
        "head",
    ];
    holds(&status, &keys);
    assert_eq!(status["release_possible"], false);
    for refusal in status["refusals"].as_array().expect("a list") {
        holds(refusal, &["number", "name", "subject", "why", "clears", "release_only"]);
    }
    let shown = place.run(&["show", GLIDER, "--entries", "--json"]).expect(0).json();
    let entries = shown["entries"].as_array().expect("a list");
    assert_eq!(status["entries"].as_u64(), Some(entries.len() as u64));
    for (number, entry) in entries.iter().enumerate() {
        holds(entry, &["entry", "wall", "mono_ms", "hash", "event", "words"]);
        assert_eq!(entry["entry"].as_u64(), Some(number as u64));
        holds(&entry["event"], &["kind", "body"]);
    }
    assert_eq!(entries.last().map(|entry| &entry["hash"]), Some(&status["head"]));
}
