//! A range goes from the smaller to the greater figure.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "range-upside-down",
    weight: Weight::Error,
    doc: mark!("A range goes from the smaller to the greater figure."),
    why: mark!("Turned round it would hold nothing, and an opening would be called clear."),
    bad: r#"[[hidden_item]]
id = "fin-rib-1"
title = "Rib"
kind = "rib"
component = "fin"
station = "4310..4250 mm"
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
