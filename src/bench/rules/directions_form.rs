//! A series has one or two directions.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "directions-form",
    weight: Weight::Error,
    doc: mark!("A series has one or two directions."),
    why: mark!("The comparison of the sides is made between two."),
    bad: r#"[[step]]
[[step.measure]]
id = "flex"
title = "Flex"
kind = "load-deflection"
load_unit = "kgf"
deflection_unit = "mm"
max_load = "10"
"#,
    good: r#"[[step]]
[[step.measure]]
id = "flex"
title = "Flex"
kind = "load-deflection"
load_unit = "kgf"
deflection_unit = "mm"
directions = ["left", "right"]
max_load = "10"
"#,
    found_by: FoundBy::Reader,
};
