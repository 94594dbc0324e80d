//! A tolerance or margin is not negative.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "negative-length",
    weight: Weight::Error,
    doc: mark!("A tolerance or margin is not negative."),
    why: mark!("It would make the room around a hidden part smaller instead of larger."),
    bad: r#"[[hidden_item]]
id = "fin-rib-1"
title = "Rib"
kind = "rib"
component = "fin"
station = "4250..4310 mm"
height = "300..320 mm"
tolerance = "-5 mm"
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
