//! An id is made of lower-case words joined by a dot or a hyphen.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "id-form",
    weight: Weight::Error,
    doc: "An id is made of lower-case words joined by a dot or a hyphen.",
    why: "Ids are typed at the command line and written on paper; capitals and blanks would be mistaken.",
    bad: r#"id = "Example Step"
"#,
    good: r#"id = "example-module.step"
"#,
    found_by: FoundBy::Reader,
};
