//! A supplement does not make a step easier than the programme has it.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "tightening-loosens",
    weight: Weight::Error,
    doc: mark!("A supplement does not make a step easier than the programme has it."),
    why: mark!(
        "Who works by the programme must be able to rely on it. What does not apply to the type is withdrawn, \
          with its reason."
    ),
    bad: r#"[[tighten]]
step = "wing.pins-play"
mandatory = false
reason = "the type never had a fault here"
"#,
    good: r#"[[tighten]]
step = "wing.pins-play"
minutes = 20
reason = "the type wears here"
"#,
    found_by: FoundBy::Reader,
};
