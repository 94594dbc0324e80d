//! What is written otherwise to the same effect: spacing, the order of a list, another way to write a figure.

use serde::Serialize;

use super::nature::{Nature, VersionStep};
use super::steps::FieldChange;
use crate::checklist::Step;

/// Differences of a step that ask for nothing else, beside the changes already `told`.
pub(super) fn written_otherwise(was: &Step, is: &Step, told: &[FieldChange]) -> Vec<FieldChange> {
    let mut found = Vec::new();
    let is_told = |field: &str| told.iter().any(|change| change.field == field);
    let mut look = |field: &'static str, differs: bool, nature: Nature, words: &str| {
        if differs && !is_told(field) {
            let demands = VersionStep::Patch;
            found
                .push(FieldChange::new(field, false, nature, format!("{field}: {words}")).demanding(demands));
        }
    };
    let (spacing, order) = (say!("spaced or broken into lines otherwise"), say!("the same in another order"));
    look("title", was.title != is.title, Nature::Reworded, spacing);
    look("instruction", was.instruction != is.instruction, Nature::Reworded, spacing);
    look("caution", was.caution != is.caution, Nature::Reworded, spacing);
    look("basis", !same(&was.basis, &is.basis), Nature::Reordered, order);
    look("after", !same(&was.after, &is.after), Nature::Reordered, order);
    look("kit", was.kit != is.kit, Nature::Reordered, order);
    look("evidence", was.evidence != is.evidence, Nature::Reordered, order);
    look(
        "measure",
        !same(&was.measures, &is.measures),
        Nature::Reordered,
        say!("in another order, or written otherwise"),
    );
    look("on_failure", !same(&was.on_failure, &is.on_failure), Nature::Reworded, say!("written otherwise"));
    found
}

/// Whether two parts say the same wherever they stand in their files. What cannot be told counts as different.
pub(super) fn same<T: Serialize>(was: &T, is: &T) -> bool {
    match (serde_json::to_value(was), serde_json::to_value(is)) {
        (Ok(was), Ok(is)) => was == is,
        _ => false,
    }
}
