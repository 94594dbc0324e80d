//! A word of a fixed list is on that list.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "unknown-word",
    weight: Weight::Error,
    doc: mark!("A word of a fixed list is on that list."),
    why: mark!("The program acts on these words; one that it does not know would be ignored."),
    bad: r#"[[step]]
[[step.measure]]
id = "play"
title = "Play"
kind = "numbr"
unit = "mm"
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
