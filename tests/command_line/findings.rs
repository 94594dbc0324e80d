//! What an auditor may want to look at: as text, as JSON, explained, and over a damaged record.

use crate::binary::{GLIDER, Place};

const CAUTION: &str =
    "Observations, no accusations; each has innocent explanations; entry numbers lead to replay.";

#[test]
fn text_and_json_tell_the_same_and_the_code_is_no_verdict() {
    let place = Place::begun();
    let plan = place.run(&["plan", GLIDER, "--json"]).expect(0).json();
    let steps = plan["steps"].as_array().expect("a list").iter();
    let long =
        steps.filter(|step| step["minutes"].as_u64() >= Some(5) && step["after"] == serde_json::json!([]));
    let ids: Vec<&str> = long.filter_map(|step| step["id"].as_str()).take(3).collect();
    for id in &ids {
        place.run(&["answer", GLIDER, id, "pass"]).expect(0);
    }
    let text = place.run(&["findings", GLIDER]).expect(0).out;
    assert!(text.starts_with(CAUTION), "{text}");
    assert!(text.contains("[fast-answers]") && text.contains("may be: entered from paper"), "{text}");

    let json = place.run(&["findings", GLIDER, "--json"]).expect(0).json();
    assert_eq!(json["caution"], CAUTION);
    let found = json["findings"].as_array().expect("a list");
    for finding in found {
        for key in ["kind", "title", "about", "entries", "words", "may_be"] {
            assert!(finding.get(key).is_some(), "\"{key}\" is missing in {finding}");
        }
        assert!(text.contains(finding["words"].as_str().expect("words")), "{finding}");
    }
    let only = place.run(&["findings", GLIDER, "--json", "--only", "fast-answers"]).expect(0).json();
    let only = only["findings"].as_array().expect("a list");
    assert!(!only.is_empty() && only.iter().all(|finding| finding["kind"] == "fast-answers"));
    let about: Vec<&str> = only
        .iter()
        .flat_map(|finding| finding["about"].as_array().expect("a list"))
        .filter_map(|about| about["step"].as_str())
        .collect();
    assert!(ids.iter().skip(1).all(|id| about.contains(id)), "{about:?} of {ids:?}");
}

#[test]
fn every_kind_is_explained_and_an_unknown_one_is_told() {
    let place = Place::demo();
    let all = place.run(&["findings", "--explain"]).expect(0).out;
    assert!(all.contains(CAUTION) && all.matches("May be: ").count() == 15, "{all}");
    let one = place.run(&["findings", "--explain", "just-inside"]).expect(0).out;
    assert!(one.contains("5 % of the tolerance") && one.matches("May be: ").count() == 1, "{one}");
    place.run(&["findings", "--explain", "just-insid"]).tells(2, &["did you mean \"just-inside\""]);
    place.run(&["findings", GLIDER, "--only", "haste"]).tells(2, &["no kind of finding \"haste\""]);
    place.run(&["findings"]).expect(2);
}
