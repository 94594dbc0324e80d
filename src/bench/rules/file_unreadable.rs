//! The file can be opened and read.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "file-unreadable",
    weight: Weight::Error,
    doc: mark!("The file can be opened and read."),
    why: mark!("What cannot be read is not checked, and nothing is said about it."),
    bad: "",
    good: "",
    found_by: FoundBy::Disk,
};
