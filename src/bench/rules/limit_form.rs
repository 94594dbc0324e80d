//! A limit is min and/or max, or nominal with a tolerance that is not negative, and some value lies within it.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "limit-form",
    weight: Weight::Error,
    doc: mark!(
        "A limit is min and/or max, or nominal with a tolerance that is not negative, and some value lies \
          within it."
    ),
    why: mark!("A limit that nothing can meet, or that can be read in two ways, decides nothing."),
    bad: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
min = "0.5"
max = "0.3"
limit_source = "type manual (invented)"
"#,
    good: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
min = "0.1"
max = "0.3"
limit_source = "type manual (invented)"
"#,
    found_by: FoundBy::Reader,
};
