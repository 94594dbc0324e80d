//! `[type.outline]` of a supplement.

use std::ops::Range;

use super::outline::{Outline, TailplanePlace};
use super::read_hidden::{read_length, read_range};
use crate::quantity::{LengthRange, Number, Quantity, Unit, place_mm};
use crate::source::{Located, Table};

type Station = Option<Located<Number>>;
type Stretch = Option<Located<LengthRange>>;

/// Everything as far as it could be read; faults are told on the way.
struct Read {
    nose: Station,
    tail_end: Station,
    cockpit: Stretch,
    wing_root: Stretch,
    wing_tip: Stretch,
    fin_root: Station,
    fin_top: Station,
    rudder_hinge: Station,
    tailplane: Stretch,
    main_wheel: Station,
    nose_wheel: Station,
    tail_wheel: Station,
}

pub(super) fn read_outline(table: Table<'_>) -> Option<Outline> {
    let read = Read {
        nose: read_station(&table, "nose", true),
        tail_end: read_station(&table, "tail_end", true),
        cockpit: read_stretch(&table, "cockpit"),
        wing_root: read_stretch(&table, "wing_root"),
        wing_tip: read_stretch(&table, "wing_tip"),
        fin_root: read_station(&table, "fin_root", true),
        fin_top: read_station(&table, "fin_top", true),
        rudder_hinge: read_station(&table, "rudder_hinge", true),
        tailplane: read_stretch(&table, "tailplane"),
        main_wheel: read_station(&table, "main_wheel", true),
        nose_wheel: read_station(&table, "nose_wheel", false),
        tail_wheel: read_station(&table, "tail_wheel", true),
    };
    let width = read_size(&table, "fuselage_width");
    let height = read_size(&table, "fuselage_height");
    let semi_span = read_size(&table, "semi_span");
    let fin_height = read_size(&table, "fin_height");
    let tailplane_semi_span = read_size(&table, "tailplane_semi_span");
    let place = table.required_choice("tailplane_place", &TailplanePlace::WORDS);
    let source = table.required_text("source");
    check_order(&table, &read);
    check_spans(&table, semi_span, width);
    table.finish();
    Some(Outline {
        nose_mm: read.nose?.value,
        tail_end_mm: read.tail_end?.value,
        cockpit: read.cockpit?.value,
        fuselage_width_mm: width?,
        fuselage_height_mm: height?,
        wing_root: read.wing_root?.value,
        wing_tip: read.wing_tip?.value,
        semi_span_mm: semi_span?,
        fin_root_mm: read.fin_root?.value,
        fin_top_mm: read.fin_top?.value,
        fin_height_mm: fin_height?,
        rudder_hinge_mm: read.rudder_hinge?.value,
        tailplane: read.tailplane?.value,
        tailplane_place: place?.value,
        tailplane_semi_span_mm: tailplane_semi_span?,
        main_wheel_mm: read.main_wheel?.value,
        nose_wheel_mm: read.nose_wheel.map(|station| station.value),
        tail_wheel_mm: read.tail_wheel?.value,
        source: source?.value,
    })
}

/// A station may lie ahead of the datum.
#[cfg_attr(test, track_caller)]
fn read_station(table: &Table<'_>, key: &'static str, is_required: bool) -> Station {
    let text = if is_required { table.required_text(key) } else { table.text(key) }?;
    let in_mm = Quantity::parse(&text.value).and_then(|quantity| quantity.to(Unit::Millimetre));
    let told = match in_mm {
        Ok(length) => place_mm(length.value).map_err(|error| error.to_string()),
        Err(error) => Err(error.to_string()),
    };
    match told {
        Ok(number) => Some(Located::new(number, text.span)),
        Err(error) => table.reject(
            "not-a-quantity",
            text.span,
            format!("\"{key}\": {error}"),
            say!("write the station with its unit, like \"-2100 mm\""),
        ),
    }
}

#[cfg_attr(test, track_caller)]
fn read_stretch(table: &Table<'_>, key: &'static str) -> Stretch {
    let span = table.span_of(key).unwrap_or_else(|| table.span());
    read_range(table, key).map(|range| Located::new(range, span))
}

/// A length that cannot be 0.
#[cfg_attr(test, track_caller)]
fn read_size(table: &Table<'_>, key: &'static str) -> Option<Number> {
    let length = read_length(table, key, true)?;
    if length > Number::from(0) {
        return Some(length);
    }
    let span = table.span_of(key).unwrap_or_else(|| table.span());
    table.reject("outline-form", span, say!("\"{key}\" is 0", key = key), say!("give the length above 0"))
}

/// The parts lie where parts of an airframe can lie. What could not be read is not compared.
fn check_order(table: &Table<'_>, read: &Read) {
    let (Some(nose), Some(tail)) = (&read.nose, &read.tail_end) else { return };
    if nose.value >= tail.value {
        let words =
            say!("the nose ({} mm) does not lie ahead of the tail end ({} mm)", nose.value, tail.value);
        table.reject::<()>("outline-order", nose.span.clone(), words, say!("stations are positive aft"));
        return;
    }
    let ends = [("cockpit", &read.cockpit), ("wing_root", &read.wing_root), ("tailplane", &read.tailplane)];
    for (key, stretch) in ends {
        if let Some(stretch) = stretch {
            inside(table, key, (stretch.value.from_mm(), stretch.value.to_mm()), &stretch.span, nose, tail);
        }
    }
    let stations = [
        ("fin_root", &read.fin_root),
        ("fin_top", &read.fin_top),
        ("rudder_hinge", &read.rudder_hinge),
        ("main_wheel", &read.main_wheel),
        ("nose_wheel", &read.nose_wheel),
        ("tail_wheel", &read.tail_wheel),
    ];
    for (key, station) in stations {
        if let Some(station) = station {
            inside(table, key, (station.value, station.value), &station.span, nose, tail);
        }
    }
    if let Some(hinge) = &read.rudder_hinge {
        for (key, edge) in [("fin_root", &read.fin_root), ("fin_top", &read.fin_top)] {
            if let Some(edge) = edge.as_ref().filter(|edge| edge.value >= hinge.value) {
                let words = say!(
                    "{key} ({} mm) is not ahead of the rudder hinge ({} mm)",
                    edge.value,
                    hinge.value,
                    key = key
                );
                table.reject::<()>(
                    "outline-order",
                    edge.span.clone(),
                    words,
                    say!("the fin ends at the rudder hinge"),
                );
            }
        }
    }
}

fn inside(
    table: &Table<'_>,
    key: &str,
    (from, to): (Number, Number),
    span: &Range<usize>,
    nose: &Located<Number>,
    tail: &Located<Number>,
) {
    if from >= nose.value && to <= tail.value {
        return;
    }
    table.reject::<()>(
        "outline-order",
        span.clone(),
        say!("\"{key}\" lies outside of the fuselage ({} to {} mm)", nose.value, tail.value, key = key),
        say!("check the station, its sign and its unit: stations count from the type's datum, positive aft"),
    );
}

fn check_spans(table: &Table<'_>, semi_span: Option<Number>, width: Option<Number>) {
    let (Some(semi_span), Some(width)) = (semi_span, width) else { return };
    if semi_span <= width {
        let span = table.span_of("semi_span").unwrap_or_else(|| table.span());
        table.reject::<()>(
            "outline-form",
            span,
            say!(
                "the half span ({semi_span} mm) ends inside of the fuselage ({width} mm wide)",
                semi_span = semi_span,
                width = width
            ),
            say!("semi_span runs from the plane of symmetry to the wing tip"),
        );
    }
}
