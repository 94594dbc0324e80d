//! A unit is one that the program can convert.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "unknown-unit",
    weight: Weight::Error,
    doc: mark!("A unit is one that the program can convert."),
    why: mark!("A reading in a unit that is not known cannot be compared with its limit."),
    bad: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "milimetres"
"#,
    good: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
"#,
    found_by: FoundBy::Reader,
};
