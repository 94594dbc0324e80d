//! The file is text in UTF-8.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "not-utf8",
    weight: Weight::Error,
    doc: mark!("The file is text in UTF-8."),
    why: mark!("Text in another encoding shows wrong letters or none."),
    bad: "",
    good: "",
    found_by: FoundBy::Disk,
};
