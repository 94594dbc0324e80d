//! The outline of a type: read with its faults, and kept out of plans that had none.
#![allow(clippy::disallowed_methods, reason = "tests read the built-in editions of the source tree")]

use spanwise::checklist::{Kind, TypeData, read_checklist};
use spanwise::diagnostic::{Source, render};

const NEWEST: [(&str, &str); 2] = [
    ("varn-15-supplement", include_str!("../checklists/varn-15-supplement/1.2.0.toml")),
    ("drovel-2-supplement", include_str!("../checklists/drovel-2-supplement/1.2.0.toml")),
];

/// The faults of an edition in which one text is exchanged.
fn faults(from: &str, to: &str) -> String {
    let text = NEWEST[0].1;
    assert!(text.contains(from), "{from}");
    let source = Source::new("varn-15-supplement/1.2.0.toml", text.replacen(from, to, 1));
    match read_checklist(&source) {
        Ok(_) => String::new(),
        Err(faults) => render(&faults, false),
    }
}

fn type_of(name: &str, text: &str) -> TypeData {
    let source = Source::new(format!("{name}.toml"), text);
    match read_checklist(&source).expect("an issued edition is sound").kind {
        Kind::Supplement(supplement) => supplement.of_type,
        _ => panic!("{name} is no supplement"),
    }
}

#[test]
fn the_newest_editions_hold_an_outline_and_the_earlier_ones_none() {
    for (name, text) in NEWEST {
        let outline = type_of(name, text).outline.expect(name);
        assert!(outline.nose_mm < outline.tail_end_mm);
        let earlier =
            std::fs::read_to_string(format!("checklists/{name}/1.1.0.toml")).expect("issued before");
        let before = type_of(name, &earlier);
        assert_eq!(before.outline, None);
        // A plan frozen without an outline is written without the key, and so keeps its hash.
        let written = serde_json::to_string(&before).expect("JSON");
        assert!(!written.contains("outline"), "{written}");
        let written = serde_json::to_string(&type_of(name, text)).expect("JSON");
        let read: TypeData = serde_json::from_str(&written).expect("the same JSON");
        assert_eq!(read.outline, Some(outline));
    }
}

#[test]
fn lengths_are_read_in_any_unit() {
    let other = NEWEST[0].1.replacen("\"-1990 mm\"", "\"-1.99 m\"", 1);
    assert_eq!(type_of("varn", &other).outline, type_of("varn", NEWEST[0].1).outline);
}

#[test]
fn faults_are_told_where_they_stand() {
    for (from, to, code, words) in [
        ("nose = \"-1990 mm\"", "nose = \"-1990\"", "not-a-quantity", "\"nose\""),
        ("nose = \"-1990 mm\"", "nose = \"6000 mm\"", "outline-order", "does not lie ahead of the tail end"),
        (
            "wing_root = \"0..900 mm\"",
            "wing_root = \"0..9000 mm\"",
            "outline-order",
            "outside of the fuselage",
        ),
        ("cockpit = \"-1560..-180 mm\"", "cockpit = \"-180..-1560 mm\"", "range-upside-down", "cockpit"),
        ("cockpit = \"-1560..-180 mm\"", "cockpit = \"-1560..-180\"", "unit-missing", "cockpit"),
        (
            "fin_root = \"4070 mm\"",
            "fin_root = \"4800 mm\"",
            "outline-order",
            "not ahead of the rudder hinge",
        ),
        ("semi_span = \"7500 mm\"", "semi_span = \"75 mm\"", "outline-form", "ends inside of the fuselage"),
        ("fin_height = \"1200 mm\"", "fin_height = \"0 mm\"", "outline-form", "\"fin_height\" is 0"),
        ("fin_height = \"1200 mm\"", "fin_height = \"1200 kg\"", "not-a-quantity", "fin_height"),
        ("tail_wheel = \"4180 mm\"", "tail_wheel = \"41800 mm\"", "outline-order", "tail_wheel"),
        ("tailplane_place = \"top\"", "tailplane_place = \"middle\"", "unknown-word", "middle"),
        ("tail_end = \"5010 mm\"", "tail_ende = \"5010 mm\"", "unknown-key", "tail_end"),
        ("fin_top = \"4095 mm\"\n", "", "missing-key", "an outline lacks \"fin_top\""),
    ] {
        let told = faults(from, to);
        assert!(told.contains(code) && told.contains(words), "{to}: {told}");
        assert!(told.contains('^'), "{to} has no caret: {told}");
    }
}
