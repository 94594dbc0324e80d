//! What only follows from another fault is not told.

use crate::diagnostic::{Diagnostic, in_file_order};

/// The reader's faults and those of the rules, without the rules' words on a value that the reader already called
/// wrong.
pub(super) fn without_follow_on(read: &[Diagnostic], mut judged: Vec<Diagnostic>) -> Vec<Diagnostic> {
    judged.retain(|fault| !read.iter().any(|first| touches(first, fault)));
    judged.extend_from_slice(read);
    in_file_order(&mut judged);
    judged.dedup();
    judged
}

fn touches(first: &Diagnostic, fault: &Diagnostic) -> bool {
    let (a, b) = (&first.place.span, &fault.place.span);
    let is_inside = b.start <= a.start && a.end <= b.end || a.start <= b.start && b.end <= a.end;
    is_inside && !a.is_empty() && first.place.source.name == fault.place.source.name
        // A title that is too long says nothing about what else is wrong with the step.
        && !matches!(first.code, "caution-missing" | "title-long" | "missing-key" | "duplicate-step" | "file-name")
}
