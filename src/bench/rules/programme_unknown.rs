//! The programme that annuals are composed from is in the library.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "programme-unknown",
    weight: Weight::Error,
    doc: mark!("The programme that annuals are composed from is in the library."),
    why: mark!("Without it there is nothing to compose."),
    bad: "",
    good: "",
    found_by: FoundBy::Plan,
};
