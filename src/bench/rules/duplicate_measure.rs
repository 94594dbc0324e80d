//! No two measurements of a step have the same id.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "duplicate-measure",
    weight: Weight::Error,
    doc: mark!("No two measurements of a step have the same id."),
    why: mark!("Readings are kept by the id: one would be judged by the limit of the other."),
    bad: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "text"
[[step.measure]]
id = "play"
title = "Play, right"
kind = "text"
"#,
    good: r#"[[step]]
[[step.measure]]
id = "play-left"
title = "Play, left"
kind = "text"
[[step.measure]]
id = "play-right"
title = "Play, right"
kind = "text"
"#,
    found_by: FoundBy::Reader,
};
