//! A table of readings is judged by a computation that exists.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "unknown-computation",
    weight: Weight::Error,
    doc: mark!("A table of readings is judged by a computation that exists."),
    why: mark!("Otherwise the table would be kept and never judged."),
    bad: r#"[[step]]
[[step.measure]]
id = "scales"
title = "Weighing"
kind = "table"
compute = "wheighing"
"#,
    good: r#"[[step]]
[[step.measure]]
id = "scales"
title = "Weighing"
kind = "table"
compute = "weighing"
"#,
    found_by: FoundBy::Reader,
};
