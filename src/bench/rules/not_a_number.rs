//! A number in quotes is a decimal number.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "not-a-number",
    weight: Weight::Error,
    doc: mark!("A number in quotes is a decimal number."),
    why: mark!("It is judged exactly as decided, so it must be one number and nothing else."),
    bad: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
max = "0,3 mm"
limit_source = "type manual (invented)"
"#,
    good: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
max = "0.3"
limit_source = "type manual (invented)"
"#,
    found_by: FoundBy::Reader,
};
