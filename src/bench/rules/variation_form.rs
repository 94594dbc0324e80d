//! A stated variation has percentages that can be.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "variation-form",
    weight: Weight::Error,
    doc: mark!("A stated variation has percentages that can be."),
    why: mark!("It decides what a comparison can show."),
    bad: r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root"
stated_variation = { percent = "0", by = "Technical office (invented)" }
"#,
    good: r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root"
stated_variation = { percent = "4", by = "Technical office (invented)" }
"#,
    found_by: FoundBy::Reader,
};
