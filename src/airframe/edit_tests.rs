//! What an edit may touch, and that what was typed comes back as it was.

use super::{Edit, Written, edited, parse_typed, typed_head, typed_of};
use crate::airframe::fields::{AIRFRAME, AIRFRAME_LISTS, airframe_list};
use crate::airframe::read_airframe;
use crate::diagnostic::Source;

const RECORD: &str = "# Invented.
registration = \"XX-T1\"   # the plate
type = \"varn-15\"
serial = \"0107\"
hours = \"10.50\"

# The first one.
[[report]]
id = \"r1\"
kind = \"tail-noise\" # ticking
date = 2026-09-06
text = \"Ticking.\"
";

fn text(word: &str) -> Option<Written> {
    Some(Written::Text(word.to_string()))
}

#[test]
fn comments_and_order_stay() {
    let edits = [
        Edit::Head(vec![("hours".into(), Some(Written::Number("11.0".parse().unwrap())))]),
        Edit::Alter {
            list: "report".into(),
            at: 0,
            below: None,
            changes: vec![("kind".into(), text("odd-yaw")), ("by".into(), text("P. W."))],
        },
    ];
    let new = edited(RECORD, &edits).unwrap();
    let expected = RECORD
        .replace("\"10.50\"", "\"11.0\"")
        .replace("\"tail-noise\" # ticking", "\"odd-yaw\" # ticking")
        .replace("text = \"Ticking.\"\n", "text = \"Ticking.\"\nby = \"P. W.\"\n");
    assert_eq!(new, expected);
}

#[test]
fn an_entry_is_added_at_the_end_and_taken_out_again() {
    let add = Edit::Add {
        list: "weighing".into(),
        below: None,
        changes: vec![
            ("date".into(), Some(Written::Date("2026-02-28".parse().unwrap()))),
            ("empty_mass_kg".into(), Some(Written::Number("252.30".parse().unwrap()))),
        ],
    };
    let new = edited(RECORD, &[add]).unwrap();
    let airframe = read_airframe(&Source::new("test", &new)).unwrap();
    assert_eq!(airframe.weighings[0].empty_mass_kg.to_string(), "252.30");
    assert!(new.starts_with(RECORD));
    let remove = Edit::Remove { list: "weighing".into(), at: 0, below: None };
    assert_eq!(edited(&new, &[remove]).unwrap().trim_end(), RECORD.trim_end());
    let absent = Edit::Remove { list: "weighing".into(), at: 0, below: None };
    assert!(edited(RECORD, &[absent]).is_err());
}

#[test]
fn inner_tables_come_and_go() {
    let set = |value| Edit::Head(vec![("deferral.longest_months".to_string(), value)]);
    let new = edited(RECORD, &[set(Some(Written::Whole(6)))]).unwrap();
    let airframe = read_airframe(&Source::new("test", &new)).unwrap();
    assert_eq!(airframe.deferral.unwrap().longest_months, Some(6));
    let without = edited(&new, &[set(None)]).unwrap();
    assert!(!without.contains("deferral"), "{without}");
}

#[test]
fn what_is_typed_comes_back() {
    let report = airframe_list("report").unwrap();
    let typed = typed_of(RECORD, "report", None, 0, report.fields).unwrap();
    assert_eq!(&typed[..5], ["r1", "tail-noise", "2026-09-06", "", "Ticking."]);
    let head = typed_head(RECORD, AIRFRAME).unwrap();
    assert_eq!(head[6], "10.50");
    for (field, typed) in AIRFRAME.iter().zip(&head) {
        if !typed.is_empty() {
            assert!(parse_typed(field, typed).unwrap().is_some(), "{}", field.key);
        }
    }
}

#[test]
fn what_does_not_fit_is_told() {
    let field = |key: &str| *AIRFRAME.iter().find(|field| field.key == key).unwrap();
    for (key, typed, word) in [
        ("hours", "twelve", "number"),
        ("launches", "1.5", "whole"),
        ("last_annual", "25.11.2026", "date"),
        ("equipment", "radio, flapz", "flaps"),
        ("registration", " ", "missing"),
        ("deferral.forbidden", "maybe", "yes or no"),
    ] {
        let told = parse_typed(&field(key), typed).unwrap_err().to_string();
        assert!(told.contains(word), "{key}: {told}");
    }
}

/// Every key of the table is one that the reader knows, and the reader asks for no key that the table lacks.
#[test]
fn the_table_and_the_reader_have_the_same_keys() {
    for list in AIRFRAME_LISTS {
        let known = keys_that_the_reader_suggests(&format!("[[{}]]\nzzzzzz = 1\n", list.key));
        for field in list.fields {
            let key = field.key.split('.').next().unwrap();
            let alone = format!("{RECORD}\n[[{}]]\n{key} = 1\n", list.key);
            let told = read_airframe(&Source::new("test", alone)).err().unwrap_or_default();
            let unknown = told.iter().any(|fault| fault.message.contains(&format!("\"{key}\" is not a key")));
            assert!(!unknown, "the reader does not know {} of [[{}]]", field.key, list.key);
        }
        assert!(!known.is_empty());
    }
}

fn keys_that_the_reader_suggests(extra: &str) -> Vec<String> {
    let told = read_airframe(&Source::new("test", format!("{RECORD}\n{extra}"))).err().unwrap_or_default();
    told.into_iter().map(|fault| fault.message).collect()
}
