//! A version is three numbers, a range is written as for versions.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "version-form",
    weight: Weight::Error,
    doc: mark!("A version is three numbers, a range is written as for versions."),
    why: mark!("Which edition is newer must never be a matter of opinion."),
    bad: r#"[requires]
composite-sailplane = "one"
"#,
    good: r#"[requires]
composite-sailplane = "^1.0"
"#,
    found_by: FoundBy::Reader,
};
