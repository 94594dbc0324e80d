//! An edition from an installed pack stays where it was installed.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "installed-missing",
    weight: Weight::Error,
    doc: mark!("An edition from an installed pack stays where it was installed."),
    why: mark!("A plan would be composed from an older one, and nobody would be told."),
    bad: r#""#,
    good: r#""#,
    found_by: FoundBy::Pack,
};
