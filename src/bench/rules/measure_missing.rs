//! A tightened limit says which measurement it is for.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "measure-missing",
    weight: Weight::Error,
    doc: mark!("A tightened limit says which measurement it is for."),
    why: mark!("A step can have several."),
    bad: r#"[[tighten]]
step = "wing.pins-play"
max = "0.3"
limit_source = "type manual (invented)"
reason = "the type wears here"
"#,
    good: r#"[[tighten]]
step = "wing.pins-play"
minutes = 20
reason = "the type wears here"
"#,
    found_by: FoundBy::Reader,
};
