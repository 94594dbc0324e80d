//! No two people, instruments or entries of a record have the same id.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "duplicate-id",
    weight: Weight::Error,
    doc: mark!("No two people, instruments or entries of a record have the same id."),
    why: mark!("A second inspection must be by another person, and a reading must name one instrument."),
    bad: r#"# file: people.toml
[[person]]
id = "ada"
name = "Ada Venn (invented)"
role = "inspector"
[[person]]
id = "ada"
name = "Ada Venn (invented)"
role = "inspector"
"#,
    good: r#"# file: people.toml
[[person]]
id = "ada"
name = "Ada Venn (invented)"
role = "inspector"
[[person]]
id = "bo"
name = "Bo Venn (invented)"
role = "inspector"
"#,
    found_by: FoundBy::Reader,
};
