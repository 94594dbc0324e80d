//! A step that loads the structure (loads = true) has a caution.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "caution-missing",
    weight: Weight::Error,
    doc: mark!("A step that loads the structure (loads = true) has a caution."),
    why: mark!("A push test can damage a sound structure, and people stand beside it."),
    bad: r#"loads = true
"#,
    good: r#"loads = true
caution = "Not above the ceiling of the type's manual. One person commands."
"#,
    found_by: FoundBy::Reader,
};
