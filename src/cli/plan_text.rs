//! `plan`: the resolved plan, with the source of each step and why it is there.

use std::fmt::Write as _;

use crate::plan::Plan;
use crate::vocabulary::kind_words;
use crate::words::{date, of_checklist};

pub fn text(plan: &Plan) -> String {
    let mut out = String::new();
    let airframe = &plan.airframe;
    let _ = writeln!(
        out,
        "{}",
        say!("Plan for {} ({}, serial {})", airframe.registration, airframe.type_id, airframe.serial)
    );
    for edition in &plan.editions {
        let _ = writeln!(
            out,
            "  {}",
            say!(
                "{} {} {} \"{}\" ({}, sha256 {})",
                kind_words_of(&edition.kind),
                edition.id,
                edition.version,
                of_checklist(&edition.title),
                source_words(&edition.source),
                edition.sha256.get(..12).unwrap_or(&edition.sha256)
            )
        );
    }
    for report in &plan.reports {
        let selected = if report.modules.is_empty() {
            say!("selects no module: set it aside with a written reason").to_string()
        } else {
            say!("selects {}", report.modules.join(", "))
        };
        let _ = writeln!(
            out,
            "  {}",
            say!(
                "report {} {} {}: \"{}\" {selected}",
                report.id,
                date(report.date),
                kind_words(&report.kind),
                report.text,
                selected = selected
            )
        );
    }
    let minutes: u32 = plan.steps.iter().map(|step| step.step.minutes * step.step.people).sum();
    let _ = writeln!(
        out,
        "{}",
        say!("{} steps, {minutes} person-minutes of work", plan.steps.len(), minutes = minutes)
    );
    for section in &plan.sections {
        let _ = writeln!(out, "\n{}", of_checklist(&section.title));
        for planned in plan.steps.iter().filter(|planned| planned.step.section.value == section.id) {
            let because = if planned.because.is_empty() {
                String::new()
            } else {
                format!("  {}", say!("because of {}", planned.because.join(", ")))
            };
            let _ = writeln!(out, "  {:<36} {}{because}", planned.step.id, of_checklist(&planned.step.title));
            let origin = &planned.origin;
            let _ = writeln!(
                out,
                "    {}",
                say!("from {}/{}.toml:{}", origin.checklist, origin.version, origin.line)
            );
            for change in &planned.changes {
                let by = place(plan, &change.by, change.line);
                let _ = writeln!(
                    out,
                    "    {}",
                    say!("changed by {by}: {} ({})", change.words(), of_checklist(&change.reason), by = by)
                );
            }
        }
    }
    for step in &plan.withdrawn {
        let by = place(plan, &step.by, step.line);
        let _ = writeln!(
            out,
            "\n{}",
            say!(
                "withdrawn by {by}: {} {} ({})",
                step.id,
                of_checklist(&step.title),
                of_checklist(&step.reason),
                by = by
            )
        );
    }
    out
}

/// The record keeps the word of the checklist's file.
fn kind_words_of(kind: &str) -> &str {
    match kind {
        "programme" => say!("programme"),
        "supplement" => say!("supplement"),
        "module" => say!("module"),
        other => other,
    }
}

/// Where the edition came from; the plan keeps it in English.
fn source_words(source: &str) -> String {
    match source.strip_prefix("built in: ") {
        Some(path) => format!("{}: {path}", say!("built in")),
        None => source.to_string(),
    }
}

/// The supplement with its edition and line, as far as the plan knows them.
fn place(plan: &Plan, id: &str, line: Option<u32>) -> String {
    let edition = plan.editions.iter().find(|edition| edition.id == id);
    match (edition, line) {
        (Some(edition), Some(line)) => format!("{id}/{}.toml:{line}", edition.version),
        _ => id.to_string(),
    }
}
