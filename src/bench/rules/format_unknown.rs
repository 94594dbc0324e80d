//! The file says which format it is written in, and this program knows it.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "format-unknown",
    weight: Weight::Error,
    doc: mark!("The file says which format it is written in, and this program knows it."),
    why: mark!("A later format may demand what this program would not do."),
    bad: r#"format = 2
kind = "module"
"#,
    good: r#"format = 1
kind = "module"
id = "example-module"
version = "1.0.0"
title = "An invented example"
issued = 2026-03-01
[requires]
composite-sailplane = "^1.0"
[selected_by]
reports = ["odd-yaw"]
"#,
    found_by: FoundBy::Reader,
};
