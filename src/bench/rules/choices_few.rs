//! A choice has at least two choices.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "choices-few",
    weight: Weight::Error,
    doc: mark!("A choice has at least two choices."),
    why: mark!("With one, the answer is given before anybody looks."),
    bad: r#"[[step]]
[[step.measure]]
id = "marks"
title = "Marks"
kind = "choice"
choices = ["none"]
"#,
    good: r#"[[step]]
[[step.measure]]
id = "marks"
title = "Marks"
kind = "choice"
choices = ["none", "a line"]
accept = ["none"]
"#,
    found_by: FoundBy::Reader,
};
