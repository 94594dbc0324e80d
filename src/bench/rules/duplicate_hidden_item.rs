//! No two hidden items have the same id.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "duplicate-hidden-item",
    weight: Weight::Error,
    doc: mark!("No two hidden items have the same id."),
    why: mark!("The repairer's brief names them by it."),
    bad: r#"[[hidden_item]]
id = "fin-rib-1"
title = "Rib"
kind = "rib"
component = "fin"
station = "4250..4310 mm"
height = "300..320 mm"
tolerance = "5 mm"
source = "drawing (invented)"
[[hidden_item]]
id = "fin-rib-1"
title = "Rib"
kind = "rib"
component = "fin"
station = "4400..4410 mm"
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
[[hidden_item]]
id = "fin-rib-2"
title = "Rib"
kind = "rib"
component = "fin"
station = "4400..4410 mm"
height = "300..320 mm"
tolerance = "5 mm"
source = "drawing (invented)"
"#,
    found_by: FoundBy::Reader,
};
