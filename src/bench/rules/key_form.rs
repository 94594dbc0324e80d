//! A key of the people register is an Ed25519 public key in OpenSSH's form.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "key-form",
    weight: Weight::Error,
    doc: mark!("A key of the people register is an Ed25519 public key in OpenSSH's form."),
    why: mark!("With another one no signature could be checked."),
    bad: r#"# file: people.toml
[[person]]
id = "ada"
name = "Ada Venn (invented)"
role = "inspector"
[[person.key]]
public = "ssh-rsa AAAAC3NzaC1lZDI1NTE5AAAAIExampleExampleExampleExampleExampleExample00"
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
