//! A kind of report or occurrence is on the list of kinds.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "unknown-kind",
    weight: Weight::Error,
    doc: mark!("A kind of report or occurrence is on the list of kinds."),
    why: mark!("Nobody could ever report it, so nothing would select the module or the step."),
    bad: r#"when = [ { report = "odd-yaws" } ]
"#,
    good: r#"when = [ { report = "odd-yaw" } ]
"#,
    found_by: FoundBy::Reader,
};
