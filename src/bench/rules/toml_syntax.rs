//! The file is TOML 1.0 that can be parsed.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "toml-syntax",
    weight: Weight::Error,
    doc: mark!("The file is TOML 1.0 that can be parsed."),
    why: mark!(
        "What cannot be parsed cannot be checked. The block with the error is left out and the rest is read all \
          the same, so that one bracket does not hide other faults."
    ),
    bad: r#"title = "Skin at the root
"#,
    good: r#"title = "Skin at the root"
"#,
    found_by: FoundBy::Reader,
};
