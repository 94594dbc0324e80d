//! `order`: what it tells before and in a session, and what it says to wrong words.

use serde_json::Value;

use crate::binary::{GLIDER, Place, SMALL};

fn steps(order: &Value) -> Vec<String> {
    let blocks = order["order"]["blocks"].as_array().expect("blocks");
    let steps = blocks.iter().flat_map(|block| block["steps"].as_array().expect("steps").iter());
    steps.map(|step| step["id"].as_str().expect("an id").to_string()).collect()
}

#[test]
fn before_a_session_the_whole_plan_in_eighty_columns() {
    let place = Place::demo();
    let text = place
        .run(&["order", GLIDER, "--people", "2"])
        .tells(
            0,
            &["as an annual would begin", "proved least", "saved", "Block 1:", "TOO FEW HANDS", "CAUTION"],
        )
        .out;
    for line in text.lines() {
        assert!(line.chars().count() <= 80, "{line}");
    }
    let json = place.run(&["order", GLIDER, "--json"]).expect(0).json();
    assert!(json["session"].is_null());
    let plan = place.run(&["plan", GLIDER, "--json"]).expect(0).json();
    assert_eq!(steps(&json).len(), plan["steps"].as_array().expect("steps").len());
    let order = &json["order"];
    for key in
        ["start", "assumed", "changing", "checklist_order", "saved", "lower_bound", "optimal", "beyond_hands"]
    {
        assert!(order.get(key).is_some(), "{key}");
    }
    assert_eq!(order["optimal"], Value::Bool(true));
    assert_eq!(order["beyond_hands"], serde_json::json!([]), "nobody said how many are at hand");
}

#[test]
fn in_a_session_what_is_open_from_what_was_confirmed() {
    let place = Place::small();
    let run = |args: &[&str]| place.run_by("ada", args);
    let before = run(&["order", SMALL, "--json"]).expect(0).json();
    assert_eq!(steps(&before), ["prep.clean", "wing.play", "rudder.connect", "fin.look"]);
    assert_eq!(before["order"]["changing"]["person_minutes"], 10, "tailplane off: two people, five minutes");
    run(&["answer", SMALL, "prep.clean", "pass"]).expect(0);
    run(&["confirm", SMALL, "tailplane=off"]).expect(0);
    let after = run(&["order", SMALL, "--json"]).expect(0).json();
    assert_eq!(steps(&after), ["fin.look", "wing.play", "rudder.connect"]);
    assert_eq!(after["order"]["changing"]["person_minutes"], 0);
    assert!(!after["order"]["assumed"].as_array().expect("a list").contains(&"tailplane".into()));
    assert_eq!(after["session"], before["session"]);
}

#[test]
fn a_failure_pulls_forward_what_its_checklist_names() {
    let place = Place::begun();
    let before = steps(&place.run(&["order", GLIDER, "--json"]).expect(0).json());
    place.run(&["answer", GLIDER, "cockpit.shell", "fail"]).expect(0);
    place.run(&["order", GLIDER]).tells(0, &["pulled forward: gear.box, because cockpit.shell failed"]);
    let after = steps(&place.run(&["order", GLIDER, "--json"]).expect(0).json());
    assert!(!after.contains(&"cockpit.shell".to_string()), "it is answered");
    let at = |steps: &[String]| steps.iter().position(|id| id == "gear.box");
    assert!(at(&after) < at(&before), "{:?} after {:?}", at(&after), at(&before));
}

#[test]
fn wrong_words_are_told_with_what_to_do() {
    let place = Place::demo();
    place.run(&["order", "nowhere"]).tells(1, &["nowhere", "spanwise list"]);
    place
        .run(&["order", GLIDER, "--from", "tailplane=up"])
        .tells(2, &["--from", "cannot be \"up\"", "on, off"]);
    place.run(&["order", GLIDER, "--people", "0"]).expect(2);
}

/// The programme's last two steps end the order, whatever reports and types add.
#[test]
fn the_final_walk_round_and_the_defect_list_come_last() {
    let place = Place::demo();
    for airframe in [GLIDER, "XX-DR4", "XX-VB2"] {
        let steps = steps(&place.run(&["order", airframe, "--json"]).expect(0).json());
        assert_eq!(
            steps[steps.len() - 2..],
            ["reassembly.final-walk-round", "reassembly.close-out"],
            "{airframe}"
        );
    }
}
