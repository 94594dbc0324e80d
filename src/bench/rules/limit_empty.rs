//! The lowest allowed count is not above the highest.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "limit-empty",
    weight: Weight::Error,
    doc: mark!("The lowest allowed count is not above the highest."),
    why: mark!("No count could ever be good."),
    bad: r#"[[step]]
[[step.measure]]
id = "cracks"
title = "Cracks"
kind = "count"
min = 3
max = 2
"#,
    good: r#"[[step]]
[[step.measure]]
id = "cracks"
title = "Cracks"
kind = "count"
min = 0
max = 2
"#,
    found_by: FoundBy::Reader,
};
