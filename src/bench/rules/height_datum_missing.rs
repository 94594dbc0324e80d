//! A type with hidden items says from where heights are counted.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "height-datum-missing",
    weight: Weight::Error,
    doc: mark!("A type with hidden items says from where heights are counted."),
    why: mark!("A height without its datum is no place."),
    bad: r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root"
[[hidden_item]]
id = "fin-rib-1"
title = "Rib"
kind = "rib"
component = "fin"
station = "4250..4310 mm"
height = "300..320 mm"
tolerance = "5 mm"
source = "drawing (invented)"
"#,
    good: r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root"
height_datum = "upper edge of the tail boom"
[[hidden_item]]
id = "fin-rib-1"
title = "Rib"
kind = "rib"
component = "fin"
station = "4250..4310 mm"
height = "300..320 mm"
tolerance = "5 mm"
source = "drawing (invented)"
"#,
    found_by: FoundBy::Reader,
};
