//! Every accepted choice is one of the choices.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "unknown-choice",
    weight: Weight::Error,
    doc: mark!("Every accepted choice is one of the choices."),
    why: mark!(
        "It could not be chosen: the good answer would not exist, and a mandatory step could never pass."
    ),
    bad: r#"[[step]]
[[step.measure]]
id = "marks"
title = "Marks"
kind = "choice"
choices = ["none", "a line"]
accept = ["nothing"]
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
