//! The JSON form against its published schema.

use serde_json::Value;

use super::made::{bench, forms, walked};
use crate::binary::GLIDER;

fn schema() -> Value {
    walked().bare(["report", "--schema"]).expect(0).json()
}

#[track_caller]
fn assert_valid(schema: &Value, report: &Value) {
    let validator = jsonschema::validator_for(schema).expect("the schema itself is valid");
    let faults: Vec<String> =
        validator.iter_errors(report).map(|fault| format!("{}: {fault}", fault.instance_path())).collect();
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn released_draft_and_bare_sessions_are_valid() {
    let schema = schema();
    for session in [GLIDER, "XX-DR4"] {
        assert_valid(&schema, &walked().run(&["report", session, "--form", "json"]).expect(0).json());
    }
    let made = forms(&bench("a free text"));
    assert_valid(&schema, &serde_json::from_str(&made.json).expect("JSON"));
}

#[test]
fn the_schema_refuses_what_is_not_a_report() {
    let schema = schema();
    let validator = jsonschema::validator_for(&schema).expect("a schema");
    let mut report: Value = serde_json::from_str(&forms(&bench("x")).json).expect("JSON");
    assert!(validator.is_valid(&report));
    report["sections"][0]["steps"][0]["result"] = "fine".into();
    assert!(!validator.is_valid(&report));
    let mut report: Value = serde_json::from_str(&forms(&bench("x")).json).expect("JSON");
    report["surplus"] = 1.into();
    assert!(!validator.is_valid(&report));
}
