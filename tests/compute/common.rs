//! Running a computation on a text, for the `compute` tests.
#![allow(dead_code, reason = "each test file uses its part")]

use serde_json::Value;
use spanwise::compute::{Report, Request, kind};
use spanwise::diagnostic::Diagnostic;

/// Only the recordings of the examples are there.
fn examples_only(name: &str) -> Result<Vec<u8>, String> {
    match name {
        "example:creaks.wav" => Ok(include_bytes!("../../demo/compute/creaks.wav").to_vec()),
        "example:quiet.wav" => Ok(include_bytes!("../../demo/compute/quiet.wav").to_vec()),
        _ => Err("there is none here".to_string()),
    }
}

pub fn run_bytes(name: &str, file: &str, bytes: &[u8], set: &[&str]) -> Result<Report, Vec<Diagnostic>> {
    run_with(name, file, bytes, set, &examples_only)
}

pub fn run_with(
    name: &str,
    file: &str,
    bytes: &[u8],
    set: &[&str],
    fetch: &dyn Fn(&str) -> Result<Vec<u8>, String>,
) -> Result<Report, Vec<Diagnostic>> {
    let set: Vec<String> = set.iter().map(|text| (*text).to_string()).collect();
    let request = Request { file, bytes, set: &set, fetch };
    kind(name).unwrap_or_else(|| panic!("no kind {name}")).compute(&request)
}

pub fn run(name: &str, file: &str, text: &str) -> Result<Report, Vec<Diagnostic>> {
    run_bytes(name, file, text.as_bytes(), &[])
}

/// The result as JSON; every fault fails the test.
#[track_caller]
pub fn json(name: &str, file: &str, text: &str) -> Value {
    match run(name, file, text) {
        Ok(report) => report.json(file),
        Err(faults) => panic!("{}", told(&faults).join("\n")),
    }
}

/// The faults, one line each: `file:line:column: message [code]; hint`.
pub fn told(faults: &[Diagnostic]) -> Vec<String> {
    faults.iter().map(ToString::to_string).collect()
}

/// The faults of an input that has to be refused.
#[track_caller]
pub fn refused(name: &str, file: &str, text: &str) -> Vec<String> {
    match run(name, file, text) {
        Ok(report) => panic!("accepted: {}", report.verdict),
        Err(faults) => told(&faults),
    }
}

/// A figure by its path, such as `figures.cases.0.value_mm`.
#[track_caller]
pub fn at(value: &Value, path: &str) -> f64 {
    let found = path.split('.').fold(value, |value, part| match part.parse::<usize>() {
        Ok(index) => &value[index],
        Err(_) => &value[part],
    });
    found.as_f64().unwrap_or_else(|| panic!("no number at {path}: {value:#}"))
}

#[track_caller]
pub fn near(found: f64, wanted: f64, tolerance: f64) {
    assert!((found - wanted).abs() <= tolerance, "found {found}, wanted {wanted} within {tolerance}");
}
