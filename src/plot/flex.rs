//! Load against deflection: the readings, the fitted lines, and where sound airframes would lie.

use super::{Geometry, Plot, Role, Shape, axis_around};
use crate::measure::compare::Comparison;
use crate::measure::estimate::Interval;
use crate::measure::load_deflection::{Branch, LoadDeflection, Reading};

/// A band wider than this many times the largest deflection is cut: it would press the readings together.
const WIDEST_BAND: f64 = 1.6;

/// Deflection in mm to the right, load in N upwards, one direction positive and the other negative.
///
/// `result` and `comparison` are drawn where they exist: a table half filled shows its points alone.
pub fn flex_plot(
    readings: &[Reading],
    result: Option<&LoadDeflection>,
    comparison: Option<&Comparison>,
) -> Plot {
    let largest = |sign: f64| readings.iter().map(|reading| sign * reading.load_n).fold(0.0, f64::max);
    let ends: Vec<f64> = [1.0, -1.0]
        .into_iter()
        .filter(|sign| largest(*sign) > 0.0)
        .map(|sign| sign * largest(sign))
        .collect();
    let mut shapes = Vec::new();
    if let Some(result) = result {
        let band = comparison.and_then(|comparison| comparison.prediction_interval);
        shapes.extend(
            band.into_iter()
                .flat_map(|band| ends.iter().filter_map(move |end| reference_band(result, band, *end))),
        );
        shapes.extend(ends.iter().map(|end| fitted_line(result, *end)));
    }
    shapes.extend(points(readings, result));
    let largest_mm = readings.iter().map(|reading| reading.deflection_mm.abs()).fold(0.0, f64::max);
    let most_mm = WIDEST_BAND * largest_mm;
    let edges = band_edges(&shapes).into_iter().map(|edge| edge.clamp(-most_mm, most_mm));
    let deflections = readings.iter().map(|reading| reading.deflection_mm).chain(edges);
    Plot {
        title: say!("Load against deflection").to_string(),
        x: axis_around(say!("deflection, mm"), deflections, true),
        y: axis_around(say!("load, N"), readings.iter().map(|reading| reading.load_n), true),
        shapes,
    }
}

fn band_edges(shapes: &[Shape]) -> Vec<f64> {
    shapes
        .iter()
        .flat_map(|shape| match &shape.geometry {
            Geometry::Area(corners) | Geometry::Line(corners) | Geometry::Points(corners) => {
                corners.iter().map(|corner| corner.0)
            }
        })
        .collect()
}

/// Where the direction's mid-line crosses zero load, mm: half the lost motion to its side.
fn start_mm(result: &LoadDeflection, sign: f64) -> f64 {
    let lost = result.lost_motion.as_ref().map_or(0.0, |lost| lost.estimate_mm.value);
    result.zero_mm.value + sign * lost / 2.0
}

fn compliance_mm_per_n(result: &LoadDeflection, sign: f64) -> f64 {
    match &result.slopes {
        Ok(slopes) if slopes.differ && sign > 0.0 => slopes.positive_compliance_mm_per_n.value,
        Ok(slopes) if slopes.differ => slopes.negative_compliance_mm_per_n.value,
        _ => result.compliance_mm_per_n.value,
    }
}

fn fitted_line(result: &LoadDeflection, end_n: f64) -> Shape {
    let start = start_mm(result, end_n.signum());
    let end = start + compliance_mm_per_n(result, end_n.signum()) * end_n;
    Shape {
        role: Role::Fit,
        name: say!("fit").to_string(),
        geometry: Geometry::Line(vec![(start, 0.0), (end, end_n)]),
    }
}

/// Between the softest and the stiffest sound airframe that the references let expect. An open end (a
/// one-sided question) reaches to the axis.
fn reference_band(result: &LoadDeflection, stiffness_n_per_mm: Interval, end_n: f64) -> Option<Shape> {
    if stiffness_n_per_mm.lower <= 0.0 {
        return None;
    }
    let start = start_mm(result, end_n.signum());
    let soft = start + end_n / stiffness_n_per_mm.lower;
    let stiff =
        if stiffness_n_per_mm.upper.is_finite() { start + end_n / stiffness_n_per_mm.upper } else { start };
    Some(Shape {
        role: Role::Reference,
        name: say!("sound airframes").to_string(),
        geometry: Geometry::Area(vec![(start, 0.0), (soft, end_n), (stiff, end_n)]),
    })
}

fn points(readings: &[Reading], result: Option<&LoadDeflection>) -> Vec<Shape> {
    let left_out =
        |index: usize| result.is_some_and(|result| result.left_out.iter().any(|out| out.index == index));
    let role_of = |index: usize, reading: &Reading| match reading.branch {
        _ if left_out(index) => Role::LeftOut,
        Some(Branch::Unloading) => Role::Unloading,
        _ => Role::Loading,
    };
    [
        (Role::Loading, say!("of a load" => "up")),
        (Role::Unloading, say!("of a load" => "down")),
        (Role::LeftOut, say!("left out of the fit")),
    ]
    .into_iter()
    .filter_map(|(role, name)| {
        let points: Vec<(f64, f64)> = readings
            .iter()
            .enumerate()
            .filter(|(index, reading)| role_of(*index, reading) == role)
            .map(|(_, reading)| (reading.deflection_mm, reading.load_n))
            .collect();
        (!points.is_empty()).then(|| Shape {
            role,
            name: name.to_string(),
            geometry: Geometry::Points(points),
        })
    })
    .collect()
}
