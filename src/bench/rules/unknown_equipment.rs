//! Equipment in a condition is on the list of equipment.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "unknown-equipment",
    weight: Weight::Error,
    doc: mark!("Equipment in a condition is on the list of equipment."),
    why: mark!("A step that waits for equipment which no record can name would never be in a plan."),
    bad: r#"when = [ { equipment = "oxigen" } ]
"#,
    good: r#"when = [ { equipment = "oxygen" } ]
"#,
    found_by: FoundBy::Reader,
};
