//! The parts of an outline lie where parts of an airframe can lie.

use crate::bench::rule::{FoundBy, Rule};
use crate::diagnostic::Weight;

pub const RULE: Rule = Rule {
    code: "outline-order",
    weight: Weight::Error,
    doc: mark!(
        "The parts of an outline lie where parts of an airframe can lie: the nose ahead of the tail end, everything else \
          between them, the fin ahead of the rudder hinge. Stations are positive aft."
    ),
    why: mark!("Defects would be marked in the wrong place of the picture."),
    bad: r#"[type]
id = "example-1"
name = "Example 1"
datum = "wing root leading edge, positive aft"
height_datum = "centre line of the tail boom, positive up"

[type.outline]
nose = "5980 mm"
tail_end = "5420 mm"
cockpit = "-2440..180 mm"
fuselage_width = "710 mm"
fuselage_height = "1020 mm"
wing_root = "0..1120 mm"
wing_tip = "180..760 mm"
semi_span = "8400 mm"
fin_root = "4460 mm"
fin_top = "4470 mm"
fin_height = "1180 mm"
rudder_hinge = "5050 mm"
tailplane = "4420..5010 mm"
tailplane_place = "low"
tailplane_semi_span = "1560 mm"
main_wheel = "380 mm"
nose_wheel = "-2050 mm"
tail_wheel = "4600 mm"
source = "type manual (invented), drawing 2"
"#,
    good: r#"[type]
id = "example-1"
name = "Example 1"
datum = "wing root leading edge, positive aft"
height_datum = "centre line of the tail boom, positive up"

[type.outline]
nose = "-2980 mm"
tail_end = "5420 mm"
cockpit = "-2440..180 mm"
fuselage_width = "710 mm"
fuselage_height = "1020 mm"
wing_root = "0..1120 mm"
wing_tip = "180..760 mm"
semi_span = "8400 mm"
fin_root = "4460 mm"
fin_top = "4470 mm"
fin_height = "1180 mm"
rudder_hinge = "5050 mm"
tailplane = "4420..5010 mm"
tailplane_place = "low"
tailplane_semi_span = "1560 mm"
main_wheel = "380 mm"
nose_wheel = "-2050 mm"
tail_wheel = "4600 mm"
source = "type manual (invented), drawing 2"
"#,
    found_by: FoundBy::Reader,
};
