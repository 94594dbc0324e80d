//! The file has at most 8 MiB.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "file-large",
    weight: Weight::Error,
    doc: mark!("The file has at most 8 MiB."),
    why: mark!("Larger files are no checklist, record or register."),
    bad: "",
    good: "",
    found_by: FoundBy::Disk,
};
