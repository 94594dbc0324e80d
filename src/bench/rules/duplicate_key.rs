//! No two people have the same key.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "duplicate-key",
    weight: Weight::Error,
    doc: mark!("No two people have the same key."),
    why: mark!("A second signature must be by another key than the first."),
    bad: r#"# file: people.toml
[[person]]
id = "ada"
name = "Ada Venn (invented)"
role = "inspector"
[[person.key]]
public = "ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIExampleExampleExampleExampleExampleExample00"
valid_from = 2026-01-01
[[person]]
id = "bo"
name = "Bo Venn (invented)"
role = "inspector"
[[person.key]]
public = "ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIExampleExampleExampleExampleExampleExample00"
valid_from = 2026-01-01
"#,
    good: r#"# file: people.toml
[[person]]
id = "ada"
name = "Ada Venn (invented)"
role = "inspector"
[[person.key]]
public = "ssh-ed25519 AAAAC3NzaC1lZDI1NTE5AAAAIExampleExampleExampleExampleExampleExample00"
valid_from = 2026-01-01
"#,
    found_by: FoundBy::Reader,
};
