//! The report as an auditor reads it.

use std::fmt::Write as _;

use super::report::{Fault, Place, Report};

/// Ends with a line feed.
pub fn text(report: &Report) -> String {
    let mut out = String::new();
    let known = |part: &Option<String>| part.clone().unwrap_or_else(|| "?".to_string());
    let _ = writeln!(out, "Session   {}", known(&report.sid));
    let _ = writeln!(
        out,
        "Airframe  {} (type {}, serial {})",
        known(&report.registration),
        known(&report.type_id),
        known(&report.serial)
    );
    let _ = writeln!(out, "Standing  {}", report.standing);
    for sid in &report.continued_by {
        let _ = writeln!(out, "          continued by {sid}");
    }
    let _ = match &report.beyond {
        Some(beyond) => writeln!(out, "Entries   {} that verify; more {beyond}", report.entries),
        None => writeln!(out, "Entries   {}", report.entries),
    };
    place(&mut out, "Head", report.head.as_ref());
    place(&mut out, "Sign-off", report.sign_off.as_ref());
    let _ = writeln!(out, "Verdict   {}\n", report.verdict_words());
    for check in &report.checks {
        let _ = writeln!(out, "  {:<8} {:<12} {}", check.found.word(), check.name, check.words);
    }
    if let Some(fault) = &report.fault {
        fault_text(&mut out, fault);
    }
    let _ = writeln!(
        out,
        "\nThis shows that the files agree with each other. That they are the ones that were signed shows the code on paper (spanwise \
         anchor) and the seal of a known key."
    );
    out
}

fn place(out: &mut String, name: &str, place: Option<&Place>) {
    if let Some(place) = place {
        let _ = writeln!(out, "{name:<9} entry {}, {}, code {}", place.entry, place.wall, place.code);
        let _ = writeln!(out, "          {}", place.hash);
    }
}

fn fault_text(out: &mut String, fault: &Fault) {
    let entry = fault.entry.map(|entry| format!(", entry {entry}")).unwrap_or_default();
    let byte = fault.byte.map(|byte| format!(", byte {byte}")).unwrap_or_default();
    let _ = writeln!(out, "\nFirst fault: {}{entry}{byte}", fault.file);
    let _ = writeln!(out, "  there stands       {}", fault.stands);
    let _ = writeln!(out, "  there should stand {}", fault.should);
    let _ = writeln!(out, "  what to do         {}", fault.next);
}
