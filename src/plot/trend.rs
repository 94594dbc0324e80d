//! One measurement of one airframe across its annuals.

use super::{Geometry, Plot, Role, Shape, axis_around};

/// One annual's value: the date as a broken year, the value in the axis's unit, its standard uncertainty if known.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrendPoint {
    pub year: f64,
    pub value: f64,
    pub standard_uncertainty: Option<f64>,
}

/// Earlier annuals, and today's value marked; bars reach two standard uncertainties either way.
pub fn trend_plot(label: &str, earlier: &[TrendPoint], now: Option<TrendPoint>) -> Plot {
    let all = || earlier.iter().chain(now.iter());
    let bars = all().filter_map(|point| {
        let reach = 2.0 * point.standard_uncertainty?;
        Some(Shape {
            // Drawn behind the points, in the sign that stands upright best.
            role: Role::Reference,
            name: say!("two standard uncertainties").to_string(),
            geometry: Geometry::Line(vec![
                (point.year, point.value - reach),
                (point.year, point.value + reach),
            ]),
        })
    });
    let mut shapes: Vec<Shape> = bars.collect();
    let points = |points: &[TrendPoint]| points.iter().map(|point| (point.year, point.value)).collect();
    shapes.push(Shape {
        role: Role::Loading,
        name: say!("earlier annuals").to_string(),
        geometry: Geometry::Points(points(earlier)),
    });
    shapes.extend(now.map(|now| Shape {
        role: Role::Marked,
        name: say!("now").to_string(),
        geometry: Geometry::Points(points(&[now])),
    }));
    let values = all().flat_map(|point| {
        let reach = 2.0 * point.standard_uncertainty.unwrap_or(0.0);
        [point.value - reach, point.value + reach]
    });
    Plot {
        title: say!("This airframe's annuals").to_string(),
        x: axis_around(say!("year"), all().map(|point| point.year), false),
        y: axis_around(label, values, false),
        shapes,
    }
}
