//! A configuration names aspects and settings that the program knows.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "unknown-configuration",
    weight: Weight::Error,
    doc: mark!("A configuration names aspects and settings that the program knows."),
    why: mark!(
        "The order in the hangar and the refusal to sign work out of configuration both go by these words."
    ),
    bad: r#"configuration = { tailplane = "of" }
"#,
    good: r#"configuration = { tailplane = "off" }
"#,
    found_by: FoundBy::Reader,
};
