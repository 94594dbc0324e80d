//! A limit says where it comes from.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "limit-source-missing",
    weight: Weight::Error,
    doc: mark!("A limit says where it comes from."),
    why: mark!("An inspector may have to defend it in five years."),
    bad: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
max = "0.3"
"#,
    good: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
max = "0.3"
limit_source = "common practice, no source"
"#,
    found_by: FoundBy::Reader,
};
