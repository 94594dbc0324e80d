//! Every value is of the kind that its key wants; a decided decimal number stands in quotes.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "wrong-type",
    weight: Weight::Error,
    doc: mark!("Every value is of the kind that its key wants; a decided decimal number stands in quotes."),
    why: mark!(
        "A number without quotes would be kept as a binary fraction, and \"12.50\" would come back as 12.5."
    ),
    bad: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
max = 0.3
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
