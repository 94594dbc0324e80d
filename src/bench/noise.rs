//! What only follows from another fault is not told.

use crate::diagnostic::{Diagnostic, in_file_order};

const STEP_SMALL: &str = "version-step-small";

/// The reader's faults and those of the rules, without the rules' words on a value that the reader already called
/// wrong.
pub(super) fn without_follow_on(read: &[Diagnostic], mut judged: Vec<Diagnostic>) -> Vec<Diagnostic> {
    judged.retain(|fault| !read.iter().any(|first| touches(first, fault) || is_left_out(first, fault)));
    judged.extend_from_slice(read);
    // A misspelt name looks like a demand that is gone: what the changes demand is told when the rest is right.
    if judged.iter().any(|fault| fault.is_error() && fault.code != STEP_SMALL) {
        judged.retain(|fault| fault.code != STEP_SMALL);
    }
    in_file_order(&mut judged);
    judged.dedup();
    judged
}

/// A step without one of its keys because a line of it could not be parsed: what is said at its id may be about that key.
fn is_left_out(first: &Diagnostic, fault: &Diagnostic) -> bool {
    if first.code != "toml-syntax" || first.place.source.name != fault.place.source.name {
        return false;
    }
    let text = &fault.place.source.text;
    let (a, b) = (first.place.span.start, fault.place.span.start);
    let line = text[..b].rfind('\n').map_or(0, |newline| newline + 1);
    let line = text[line..].trim_start();
    let is_at_id = ["id ", "id=", "[[step]]"].iter().any(|begin| line.starts_with(begin));
    let is_one_step = text.get(a.min(b)..a.max(b)).is_some_and(|between| !between.contains("\n[[step]]"));
    is_at_id && is_one_step && !fault.code.starts_with("duplicate-")
}

fn touches(first: &Diagnostic, fault: &Diagnostic) -> bool {
    let (a, b) = (&first.place.span, &fault.place.span);
    let is_inside = b.start <= a.start && a.end <= b.end || a.start <= b.start && b.end <= a.end;
    is_inside && !a.is_empty() && first.place.source.name == fault.place.source.name
        // A title that is too long says nothing about what else is wrong with the step.
        && !matches!(first.code, "caution-missing" | "title-long" | "missing-key" | "duplicate-step" | "file-name")
}
