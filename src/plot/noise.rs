//! What was heard: the level over time, bursts marked, masked spans shaded.

use super::{Axis, Geometry, Plot, Role, Shape, axis_around};
use crate::measure::noise::{Bursts, Span};

/// `envelope_db` holds the level of equal stretches of the recording, dB of full scale.
pub fn noise_plot(envelope_db: &[f64], found: &Bursts, cycles: &[Span]) -> Plot {
    let y =
        axis_around(say!("level, dB"), envelope_db.iter().copied().filter(|level| level.is_finite()), false);
    let stretch = found.duration_s / envelope_db.len().max(1) as f64;
    let across = |span: &Span| {
        Geometry::Area(vec![
            (span.start_s, y.min),
            (span.end_s, y.min),
            (span.end_s, y.max),
            (span.start_s, y.max),
        ])
    };
    let mut shapes: Vec<Shape> = found
        .masked
        .iter()
        .map(|span| Shape {
            role: Role::Masked,
            name: say!("masked, not counted ({} %)", format_args!("{:.0}", 100.0 * found.masked_share)),
            geometry: across(span),
        })
        .collect();
    let line = envelope_db
        .iter()
        .enumerate()
        .filter(|(_, level)| level.is_finite())
        .map(|(index, level)| ((index as f64 + 0.5) * stretch, *level))
        .collect();
    shapes.push(Shape { role: Role::Fit, name: say!("level").to_string(), geometry: Geometry::Line(line) });
    shapes.extend(cycles.iter().map(|cycle| Shape {
        role: Role::Limit,
        name: say!("load cycle").to_string(),
        geometry: Geometry::Line(vec![(cycle.start_s, y.min), (shown_end_s(cycle, found.duration_s), y.min)]),
    }));
    let bursts: Vec<(f64, f64)> = found.bursts.iter().map(|burst| (burst.span.start_s, y.max)).collect();
    if !bursts.is_empty() {
        // Several of them can lie in one column, so the count is told in words.
        let name = say!("1 burst" | "{n} bursts" % bursts.len());
        shapes.push(Shape { role: Role::Marked, name, geometry: Geometry::Points(bursts) });
    }
    Plot {
        title: say!("Level and bursts").to_string(),
        x: Axis {
            label: say!("time, s").to_string(),
            min: 0.0,
            max: found.duration_s.max(f64::MIN_POSITIVE),
        },
        y,
        shapes,
    }
}

/// A little before the cycle's end, so that two which touch are seen as two.
fn shown_end_s(cycle: &Span, duration_s: f64) -> f64 {
    (cycle.end_s - 0.03 * duration_s).max(cycle.start_s)
}
