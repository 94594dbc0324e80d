//! A text that is given says something.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "empty-text",
    weight: Weight::Error,
    doc: mark!("A text that is given says something."),
    why: mark!("An empty caution looks as if somebody had thought about it."),
    bad: r#"caution = " "
"#,
    good: r#"caution = "Nobody under the airframe."
"#,
    found_by: FoundBy::Reader,
};
