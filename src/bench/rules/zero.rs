//! What is counted from one is not 0: people, readings, pieces of evidence, load levels, seats.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "zero",
    weight: Weight::Error,
    doc: mark!(
        "What is counted from one is not 0: people, readings, pieces of evidence, load levels, seats."
    ),
    why: mark!(
        "A step that nobody works, or evidence of which none is wanted, cannot be answered or is answered by \
          nothing."
    ),
    bad: r#"people = 0
"#,
    good: r#"people = 1
"#,
    found_by: FoundBy::Reader,
};
