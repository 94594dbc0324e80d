//! Control-surface travel, cable tension, symmetry.

use crate::values::{example, handbook};
use spanwise::measure::deflection::*;
use spanwise::measure::symmetry::{Nominal, SymmetryLimit, compare};
use spanwise::measure::tension::{TensionTable, expansion_change_n};
use spanwise::quantity::{Quantity, Unit};

/// A composite sailplane manual that prints both units.
#[test]
fn travels_in_both_units() {
    for row in handbook("deflection") {
        let (radius, angle) = (row.number("radius_mm"), row.number("angle_deg"));
        for (key, convention) in [
            ("expected_chord_mm", Convention::Chord),
            ("expected_arc_mm", Convention::Arc),
            ("expected_perp_mm", Convention::Perpendicular),
        ] {
            row.check(key, travel_mm(radius, angle, convention).unwrap(), 5e-4);
        }
        let back = angle_deg(radius, row.number("printed_mm"), Convention::Chord).unwrap();
        row.check("expected_angle_from_printed_mm", back, 5e-5);
        let chord = travel_mm(radius, angle, Convention::Chord).unwrap();
        row.check("printed_mm", chord, row.number("tol_mm"));
    }
}

/// The four aileron rows of that manual fit the chord only; its rudder rows fit no formula, because the printed mm
/// limits are wider than the printed degrees.
#[test]
fn the_printed_aileron_travels_are_chords() {
    let printed = |part: &str| -> Vec<PrintedTravel> {
        let rows = handbook("deflection").into_iter().filter(|row| row.text("name").starts_with(part));
        rows.map(|row| PrintedTravel {
            radius_mm: row.number("radius_mm"),
            angle_deg: row.number("angle_deg"),
            travel_mm: row.number("printed_mm"),
        })
        .collect()
    };
    assert_eq!(conventions_that_fit(&printed("aileron"), 0.5).unwrap(), vec![Convention::Chord]);
    assert_eq!(conventions_that_fit(&printed("rudder"), 0.5).unwrap(), vec![]);
}

/// The adjustment form of a light aircraft prints nominal and tolerance in both units.
#[test]
fn tolerances_in_both_units() {
    for row in handbook("deflection_tolerance") {
        let angle = row.number("angle_deg");
        let radius = implied_radius_mm(row.number("travel_mm"), angle, Convention::Chord).unwrap();
        row.check("implied_radius_mm", radius, 1e-3);
        if row.has("angle_tol_minus_deg") {
            let (minus, plus) = (row.number("angle_tol_minus_deg"), row.number("angle_tol_plus_deg"));
            let (below, above) = tolerance_band_mm(radius, angle, minus, plus, Convention::Chord).unwrap();
            row.check("expected_tol_mm", below, 1e-4);
            row.check("travel_tol_minus_mm", below, row.number("tol"));
            row.check("travel_tol_plus_mm", above, 1e-12);
        } else {
            let tolerance =
                tolerance_mm(radius, angle, row.number("angle_tol_deg"), Convention::Chord).unwrap();
            row.check("expected_tol_mm", tolerance, 1e-3);
            row.check("travel_tol_mm", tolerance, row.number("tol"));
        }
    }
    // Up and down aileron imply one radius by the chord.
    let radius = |name| example("deflection_tolerance", name).number("implied_radius_mm");
    assert!((radius("form_aileron_up") - radius("form_aileron_down")).abs() < 1.1);
}

/// 2.5 mm of play, as one composite sailplane manual allows, at three radii.
#[test]
fn free_play_as_an_angle() {
    for row in handbook("free_play").iter().filter(|row| row.has("play_mm")) {
        let degrees = free_play_deg(row.number("play_mm"), row.number("radius_mm")).unwrap();
        row.check("expected_deg", degrees, row.number("tol"));
    }
}

/// Derived; the chart of AC 43.13-1B was not read.
#[test]
fn tension_between_two_rows() {
    let row = example("cable_tension", "linear_interpolation");
    let rows = row.numbers("temps_f").into_iter().zip(row.numbers("tensions_lb")).collect();
    let tension = TensionTable::new(rows).unwrap().at(row.number("at_f")).unwrap();
    row.check("expected_tension_lb", tension, row.number("tol"));
    let row = example("cable_tension", "differential_expansion"); // coefficients from memory
    let (airframe, cable) = (row.number("alpha_airframe_per_k"), row.number("alpha_cable_per_k"));
    let change = expansion_change_n(row.number("EA_n"), airframe, cable, row.number("delta_k")).unwrap();
    row.check("expected_delta_n", change, row.number("tol"));
}

/// US Navy training manual: limits of wing twist from the longitudinal reading, here in minutes of arc.
#[test]
fn wing_twist() {
    let row = example("symmetry", "wing_twist_limits");
    let minutes = |key: &str| row.numbers(key)[0] * 60.0 + row.numbers(key)[1];
    let nominal = Nominal {
        value: minutes("longitudinal_reading_deg_min"),
        minus: row.number("lower_offset_min"),
        plus: row.number("upper_offset_min"),
    };
    let (low, high) = (minutes("expected_lower_deg_min"), minutes("expected_upper_deg_min"));
    assert_eq!(nominal.range(), (low, high));
    let apart = row.number("max_left_right_difference_min");
    let limit = SymmetryLimit { nominal: Some(nominal), side_to_side: Some(apart) };
    assert!(compare(low, low + apart, limit).unwrap().within());
    assert!(!compare(low, low + apart + 1.0, limit).unwrap().within());
    assert!(!compare(low - 1.0, low, limit).unwrap().within());
}

/// The form of a light-aircraft alignment table (nominal ± 20 mm); the readings are derived.
#[test]
fn left_against_right() {
    let row = example("symmetry", "difference_example");
    let tol = row.number("tol_mm");
    let nominal = Some(Nominal { value: row.number("nominal_mm"), minus: tol, plus: tol });
    let limit = SymmetryLimit { nominal, side_to_side: None };
    let result = compare(row.number("left_mm"), row.number("right_mm"), limit).unwrap();
    row.check("expected_difference_mm", result.difference, 1e-9);
    let (left, right) = result.deviations.unwrap();
    row.check("expected_left_deviation_mm", left, 1e-9);
    row.check("expected_right_deviation_mm", right, 1e-9);
    assert_eq!(result.within(), row.flag("expected_within"));
    let pull = example("symmetry", "tape_pull");
    let newton = Quantity::parse("5 lbf").unwrap().in_unit_f64(Unit::Newton).unwrap();
    pull.check("expected_pull_n", newton, pull.number("tol"));
}
