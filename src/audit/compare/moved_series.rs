//! The stiffness of a load-deflection series then and now, direction by direction.

use rust_decimal::Decimal;

use super::moved::{Moved, Part, Toward};
use crate::checklist::SeriesDemand;
use crate::event::{ReadingValue, SeriesPoint};
use crate::measure::estimate::Estimate;
use crate::quantity::{rounded, rounded_with_uncertainty};
use crate::state::{Reading, evaluate_series};
use crate::words::number;

const UNIT: &str = "N/mm";

/// One row for each direction whose stiffness both series give; each series is judged by its own demand.
pub(super) fn moved_series(
    (demand_then, then): (&SeriesDemand, &Reading),
    (demand_now, now): (&SeriesDemand, &Reading),
) -> Vec<Moved> {
    let (then, now) = (stiffnesses(demand_then, then), stiffnesses(demand_now, now));
    let min = demand_now.min_stiffness.map(|min| min.to_f64());
    now.iter()
        .filter_map(|(direction, is)| {
            let (_, was) = then.iter().find(|(known, _)| known == direction)?;
            Some(row(direction, was, is, min))
        })
        .collect()
}

fn points(reading: &Reading) -> Option<&[SeriesPoint]> {
    match &reading.taken.value {
        ReadingValue::Series { points } => Some(points),
        _ => None,
    }
}

/// Stiffness in N/mm by direction; the common one where the directions could not be told apart.
fn stiffnesses(demand: &SeriesDemand, reading: &Reading) -> Vec<(String, Estimate)> {
    let evaluated = points(reading).map(|points| evaluate_series(demand, points, reading.taken.used()));
    let Some(Ok(found)) = evaluated else { return Vec::new() };
    let name =
        |at: usize, other: &str| demand.directions.get(at).cloned().unwrap_or_else(|| other.to_string());
    let mut rows = Vec::new();
    if let Ok(slopes) = &found.slopes {
        for (at, stiffness) in [&slopes.positive, &slopes.negative].into_iter().enumerate() {
            if let Ok(stiffness) = stiffness {
                rows.push((name(at, mark!("direction")), stiffness.estimate_n_per_mm));
            }
        }
    }
    if let Ok(common) = &found.common_stiffness {
        rows.push((mark!("common").to_string(), common.estimate_n_per_mm));
    }
    rows
}

fn row(direction: &str, was: &Estimate, is: &Estimate, min: Option<f64>) -> Moved {
    let difference = is.value - was.value;
    let expanded = 2.0 * was.standard_uncertainty.hypot(is.standard_uncertainty);
    let shown = |of: &Estimate| format!("{} {UNIT}", rounded(of.value, of.standard_uncertainty));
    let room = min.map(|min| is.value - min);
    let toward = min.map(|_| match difference {
        moved if moved < 0.0 => Toward::Limit,
        moved if moved > 0.0 => Toward::Away,
        _ => Toward::Neither,
    });
    let used_up = min.and_then(|min| Decimal::from_f64_retain(-difference / (was.value - min).abs()));
    let percent = 100.0 * difference / was.value;
    Moved {
        of: Some(Part::Stiffness(direction.to_string())),
        then: shown(was),
        now: shown(is),
        difference: format!("{} {UNIT} (k = 2)", rounded_with_uncertainty(difference, expanded)),
        unchanged: difference == 0.0,
        relative_percent: percent.is_finite().then(|| format!("{percent:+.1}")),
        toward,
        beyond: room.is_some_and(|room| room < 0.0),
        room: room.zip(min).map(|(room, min)| {
            let size = rounded(room.abs(), is.standard_uncertainty);
            let (size, least) = (format!("{size} {UNIT}"), format!("{min} {UNIT}"));
            let (size, least) = (number(&size), number(&least));
            match room < 0.0 {
                true => say!("{size} below the least of {least}", size, least),
                false => say!("{size} above the least of {least}", size, least),
            }
        }),
        within_uncertainty: Some(difference.abs() <= expanded),
        used_up: used_up.unwrap_or(Decimal::MAX),
    }
}
