//! What a rule is.

use super::reading::Reading;
use super::subject::Subject;
use super::world::World;
use crate::diagnostic::{Diagnostic, Weight};

/// One rule with the words that explain it and the examples that test it.
pub struct Rule {
    /// Stable: never reused for another rule.
    pub code: &'static str,
    pub weight: Weight,
    /// What the rule asks.
    pub doc: &'static str,
    /// What comes of breaking it.
    pub why: &'static str,
    /// Gives this code and no other. A fragment is completed by the frame of `example.rs`.
    pub bad: &'static str,
    /// Gives nothing.
    pub good: &'static str,
    pub found_by: FoundBy,
}

/// Where in the program the fault shows.
#[derive(Clone, Copy)]
pub enum FoundBy {
    /// While the file is read as TOML of its kind.
    Reader,
    /// While the bytes are taken from the disk: there is no text to show an example of.
    Disk,
    /// While a plan is composed for an airframe.
    Plan,
    /// By judging a checklist that was read.
    Bench(fn(&Subject<'_>, &mut Vec<Diagnostic>)),
    /// By judging an airframe record that was read.
    Record(fn(&Reading, &World<'_>, &mut Vec<Diagnostic>)),
}
