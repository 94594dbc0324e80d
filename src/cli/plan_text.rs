//! `plan`: the resolved plan, with the source of each step and why it is there.

use std::fmt::Write as _;

use crate::plan::Plan;
use crate::vocabulary::kind_words;

pub fn text(plan: &Plan) -> String {
    let mut out = String::new();
    let airframe = &plan.airframe;
    let _ = writeln!(
        out,
        "Plan for {} ({}, serial {})",
        airframe.registration, airframe.type_id, airframe.serial
    );
    for edition in &plan.editions {
        let _ = writeln!(
            out,
            "  {} {} {} \"{}\" ({}, sha256 {})",
            edition.kind,
            edition.id,
            edition.version,
            edition.title,
            edition.source,
            edition.sha256.get(..12).unwrap_or(&edition.sha256)
        );
    }
    for report in &plan.reports {
        let selected = if report.modules.is_empty() {
            "selects no module: set it aside with a written reason".to_string()
        } else {
            format!("selects {}", report.modules.join(", "))
        };
        let _ = writeln!(
            out,
            "  report {} {} {}: \"{}\" {selected}",
            report.id,
            report.date,
            kind_words(&report.kind),
            report.text
        );
    }
    let minutes: u32 = plan.steps.iter().map(|step| step.step.minutes * step.step.people).sum();
    let _ = writeln!(out, "{} steps, {minutes} person-minutes of work", plan.steps.len());
    for section in &plan.sections {
        let _ = writeln!(out, "\n{}", section.title);
        for planned in plan.steps.iter().filter(|planned| planned.step.section.value == section.id) {
            let because = if planned.because.is_empty() {
                String::new()
            } else {
                format!("  because of {}", planned.because.join(", "))
            };
            let _ = writeln!(out, "  {:<36} {}{because}", planned.step.id, planned.step.title);
            let origin = &planned.origin;
            let _ = writeln!(out, "    from {}/{}.toml:{}", origin.checklist, origin.version, origin.line);
            for change in &planned.changes {
                let by = place(plan, &change.by, change.line);
                let _ = writeln!(out, "    changed by {by}: {} ({})", change.what, change.reason);
            }
        }
    }
    for step in &plan.withdrawn {
        let by = place(plan, &step.by, step.line);
        let _ = writeln!(out, "\nwithdrawn by {by}: {} {} ({})", step.id, step.title, step.reason);
    }
    out
}

/// The supplement with its edition and line, as far as the plan knows them.
fn place(plan: &Plan, id: &str, line: Option<u32>) -> String {
    let edition = plan.editions.iter().find(|edition| edition.id == id);
    match (edition, line) {
        (Some(edition), Some(line)) => format!("{id}/{}.toml:{line}", edition.version),
        _ => id.to_string(),
    }
}
