//! Reading the copied check values; used by the `measure_reference` tests.
#![allow(dead_code)]

use toml::{Table, Value};

pub fn parse(text: &str) -> Table {
    text.parse().expect("the check values are TOML")
}

/// The table at a dotted name.
pub fn block<'a>(root: &'a Table, name: &str) -> &'a Table {
    name.split('.').fold(root, |table, part| {
        table.get(part).and_then(Value::as_table).unwrap_or_else(|| panic!("no block {name}"))
    })
}

pub fn number(value: &Value) -> f64 {
    match value {
        Value::Float(x) => *x,
        Value::Integer(x) => *x as f64,
        other => panic!("not a number: {other}"),
    }
}

pub fn get(table: &Table, key: &str) -> f64 {
    number(table.get(key).unwrap_or_else(|| panic!("no key {key}")))
}

pub fn list(table: &Table, key: &str) -> Vec<f64> {
    array(table, key).iter().map(number).collect()
}

pub fn array<'a>(table: &'a Table, key: &str) -> &'a Vec<Value> {
    table.get(key).and_then(Value::as_array).unwrap_or_else(|| panic!("no list {key}"))
}

pub fn rows(table: &Table, key: &str) -> Vec<Vec<f64>> {
    array(table, key).iter().map(|row| row.as_array().expect("row").iter().map(number).collect()).collect()
}

pub fn cases<'a>(table: &'a Table, key: &str) -> Vec<&'a Table> {
    array(table, key).iter().map(|case| case.as_table().expect("case")).collect()
}

pub fn text<'a>(table: &'a Table, key: &str) -> &'a str {
    table.get(key).and_then(Value::as_str).unwrap_or_else(|| panic!("no text {key}"))
}

/// Relative agreement (absolute for an expected zero).
#[track_caller]
pub fn close(found: f64, expected: f64, relative: f64, what: &str) {
    let scale = if expected == 0.0 { 1.0 } else { expected.abs() };
    let agrees = found == expected || (found - expected).abs() <= relative * scale;
    assert!(agrees, "{what}: found {found:.16e}, expected {expected:.16e}");
}

/// Absolute agreement.
#[track_caller]
pub fn near(found: f64, expected: f64, absolute: f64, what: &str) {
    assert!((found - expected).abs() <= absolute, "{what}: found {found}, expected {expected}");
}
