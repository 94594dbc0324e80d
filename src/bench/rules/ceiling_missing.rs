//! A load-deflection series has a ceiling for the load.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "ceiling-missing",
    weight: Weight::Error,
    doc: mark!("A load-deflection series has a ceiling for the load."),
    why: mark!("A push test can damage a sound structure. The type's manual governs."),
    bad: r#"[[step]]
[[step.measure]]
id = "flex"
title = "Flex"
kind = "load-deflection"
load_unit = "kgf"
deflection_unit = "mm"
directions = ["left", "right"]
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
