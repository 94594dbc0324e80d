//! Every number that is measured has its unit.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "unit-missing",
    weight: Weight::Error,
    doc: mark!("Every number that is measured has its unit."),
    why: mark!("0.3 of what? A bare figure has cost airframes before."),
    bad: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
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
