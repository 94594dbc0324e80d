//! A module that a report of an airframe names is in the library.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "module-unknown",
    weight: Weight::Error,
    doc: mark!("A module that a report of an airframe names is in the library."),
    why: mark!("The report would get no steps of its own."),
    bad: r#""#,
    good: r#""#,
    found_by: FoundBy::Plan,
};
