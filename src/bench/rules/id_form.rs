//! An id is made of lower-case words joined by a dot or a hyphen.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "id-form",
    weight: Weight::Error,
    doc: mark!("An id is made of lower-case words joined by a dot or a hyphen."),
    why: mark!(
        "Ids are typed at the command line and written on paper; capitals and blanks would be mistaken."
    ),
    bad: r#"id = "Example Step"
"#,
    good: r#"id = "example-module.step"
"#,
    found_by: FoundBy::Reader,
};
