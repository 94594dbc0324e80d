//! The defects of a session as marks on the outline of their type: what screens, commands and the brief draw alike.

use crate::checklist::{Outline, TailplanePlace, TypeData};
use crate::plan::Plan;
pub use crate::plot::AirframePicture;
use crate::plot::{AirframeShape, Mark, Prefer, airframe_picture, station_words};
use crate::quantity::Number;
use crate::state::Defect;
use crate::words::of_checklist;

/// The outline in figures for drawing; the generic sailplane where the type has none.
pub fn shape_of(of_type: Option<&TypeData>) -> AirframeShape {
    of_type.and_then(|data| data.outline.as_ref()).map_or_else(AirframeShape::generic, shape)
}

fn shape(outline: &Outline) -> AirframeShape {
    let mm = |number: Number| number.to_f64();
    let stretch = |range: &crate::quantity::LengthRange| (mm(range.from_mm()), mm(range.to_mm()));
    AirframeShape {
        nose: mm(outline.nose_mm),
        tail_end: mm(outline.tail_end_mm),
        cockpit: stretch(&outline.cockpit),
        fuselage_width: mm(outline.fuselage_width_mm),
        fuselage_height: mm(outline.fuselage_height_mm),
        wing_root: stretch(&outline.wing_root),
        wing_tip: stretch(&outline.wing_tip),
        semi_span: mm(outline.semi_span_mm),
        fin_root: mm(outline.fin_root_mm),
        fin_top: mm(outline.fin_top_mm),
        fin_height: mm(outline.fin_height_mm),
        rudder_hinge: mm(outline.rudder_hinge_mm),
        tailplane: stretch(&outline.tailplane),
        is_t_tail: outline.tailplane_place == TailplanePlace::Top,
        tailplane_semi_span: mm(outline.tailplane_semi_span_mm),
        main_wheel: mm(outline.main_wheel_mm),
        nose_wheel: outline.nose_wheel_mm.map(mm),
        tail_wheel: mm(outline.tail_wheel_mm),
        is_to_scale: true,
    }
}

/// A defect as a mark.
pub fn mark_of(defect: &Defect) -> Mark {
    Mark {
        id: defect.id.clone(),
        component: defect.raised.component.clone(),
        side: defect.raised.side.clone(),
        station_mm: defect.raised.station_mm.as_ref().map(Number::to_f64),
    }
}

/// The airframe of a plan with marks, in `width` by `height` characters.
pub fn picture(
    plan: &Plan,
    marks: &[Mark],
    width: usize,
    height: usize,
    prefer: Prefer,
    ascii: bool,
) -> AirframePicture {
    airframe_picture(&shape_of(plan.of_type.as_ref()), marks, width, height, prefer, ascii)
}

/// Both views one above the other, each in half of `height`, the legend once: for a page that scrolls.
pub fn picture_of_both(
    plan: &Plan,
    marks: &[Mark],
    width: usize,
    height: usize,
    ascii: bool,
) -> AirframePicture {
    let draw = |prefer| picture(plan, marks, width, height / 2, prefer, ascii);
    let (mut side, top) = (draw(Prefer::Side), draw(Prefer::Top));
    side.rows.extend([Vec::new()]);
    side.rows.extend(top.rows);
    let more = top.legend.into_iter().filter(|line| !side.legend.contains(line)).collect::<Vec<_>>();
    side.legend.extend(more);
    side.views.extend(top.views);
    side
}

/// On which part of the airframe a station lies, and whether that is doubtful; `None` where the plan's type has no
/// outline.
pub fn place_words(plan: &Plan, component: Option<&str>, station: Number) -> Option<(String, bool)> {
    station_words(&shape_of(plan.of_type.as_ref()), component, station.to_f64())
}

/// From what the outline is drawn.
pub fn source_words(plan: &Plan) -> String {
    match plan.of_type.as_ref().and_then(|data| data.outline.as_ref().map(|outline| (data, outline))) {
        Some((data, outline)) => say!(
            "stations from: {datum}; outline: {source}",
            datum = of_checklist(&data.datum),
            source = of_checklist(&outline.source)
        ),
        None => say!("a sailplane of common proportions; the type file has no outline").to_string(),
    }
}
