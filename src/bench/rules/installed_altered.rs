//! An edition from an installed pack stays byte for byte as its author signed it.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "installed-altered",
    weight: Weight::Error,
    doc: mark!(
        "An edition from an installed pack stays byte for byte as its author signed it. The pack lies beside it as \
          kept.pack."
    ),
    why: mark!("What people take for the signed edition would be something else."),
    bad: r#""#,
    good: r#""#,
    found_by: FoundBy::Pack,
};
