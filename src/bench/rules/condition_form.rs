//! A condition row has exactly one key.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "condition-form",
    weight: Weight::Error,
    doc: mark!("A condition row has exactly one key."),
    why: mark!("Two keys in a row leave open whether both or one must hold."),
    bad: r#"when = [ { equipment = "oxygen", report = "odd-yaw" } ]
"#,
    good: r#"when = [ { equipment = "oxygen" }, { report = "odd-yaw" } ]
"#,
    found_by: FoundBy::Reader,
};
