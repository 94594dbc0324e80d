//! A quantity is a number with a unit.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "not-a-quantity",
    weight: Weight::Error,
    doc: mark!("A quantity is a number with a unit."),
    why: mark!("A ceiling without a unit could be read as kilograms or as newtons: a tenfold difference."),
    bad: r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root"
fin_side_load_ceiling = "15"
"#,
    good: r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root"
fin_side_load_ceiling = "150 N"
"#,
    found_by: FoundBy::Reader,
};
