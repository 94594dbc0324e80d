//! A range of stations or heights is two lengths with their unit.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "not-a-range",
    weight: Weight::Error,
    doc: mark!("A range of stations or heights is two lengths with their unit."),
    why: mark!("Where a hidden part lies decides where nobody may cut."),
    bad: r#"[[hidden_item]]
id = "fin-rib-1"
title = "Rib"
kind = "rib"
component = "fin"
station = "about 4250"
height = "300..320 mm"
tolerance = "5 mm"
source = "drawing (invented)"
"#,
    good: r#"[[hidden_item]]
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
