//! A load–deflection series against the checklist's demands.

use chrono::NaiveDate;

use super::compare_series::{Card, compare_series, softer_stiffness};
use super::own_past::{Now, own_past};
use super::{Judgement, ReadingVerdict};
use crate::checklist::SeriesDemand;
use crate::event::{InstrumentUse, SeriesPoint, Used};
use crate::measure::load_deflection::{
    Branch, Direction, LoadDeflection, LoadDeflectionError, Reading, Settings, analyse,
};
use crate::measure::repeats::certificate;
use crate::quantity::{Dimension, Quantity, Unit};
use crate::words::{figure, number, of_checklist};

/// Readings in N and mm, signed by direction: the demand's first direction is positive.
///
/// # Errors
/// A point whose unit is of another kind, in plain words.
pub fn signed_readings(demand: &SeriesDemand, points: &[SeriesPoint]) -> Result<Vec<Reading>, String> {
    points
        .iter()
        .map(|point| {
            let is_first = demand.directions.first() == Some(&point.direction);
            let sign = if is_first { 1.0 } else { -1.0 };
            let load = point.load.in_unit_f64(Unit::Newton).map_err(|error| error.to_string())?;
            let deflection =
                point.deflection.in_unit_f64(Unit::Millimetre).map_err(|error| error.to_string())?;
            Ok(Reading {
                load_n: sign * load,
                deflection_mm: sign * deflection,
                support_mm: None,
                direction: Some(if is_first { Direction::Positive } else { Direction::Negative }),
                branch: Some(if point.loading { Branch::Loading } else { Branch::Unloading }),
            })
        })
        .collect()
}

/// How the series is evaluated: gauge step from the instrument, else from the digits that were entered.
pub fn series_settings(demand: &SeriesDemand, points: &[SeriesPoint], used: Used<'_>) -> Settings {
    let stated = used
        .instrument
        .and_then(|used| used.resolution)
        .filter(|resolution| resolution.unit.dimension() == Dimension::Length)
        .and_then(|resolution| resolution.in_unit_f64(Unit::Millimetre).ok());
    let resolution_mm =
        stated.unwrap_or_else(|| points.iter().map(|point| step_mm(&point.deflection)).fold(0.0, f64::max));
    let mut settings = Settings::for_resolution(resolution_mm);
    if let Some(take_up) = demand.take_up {
        settings.take_up_min_n =
            Quantity::new(take_up, demand.load_unit).in_unit_f64(Unit::Newton).unwrap_or(0.0);
    }
    settings.load_scale_relative_u = used.load.map_or(0.0, |load| scale_uncertainty(load, points));
    settings
}

/// Relative standard uncertainty of the load's scale at the largest load of the series: half the certificate's
/// expanded uncertainty (k = 2). It moves all points together, so the fit alone cannot see it.
fn scale_uncertainty(load: &InstrumentUse, points: &[SeriesPoint]) -> f64 {
    let newton = |quantity: &Quantity| quantity.in_unit_f64(Unit::Newton).ok();
    let largest = points.iter().filter_map(|point| newton(&point.load)).fold(0.0, f64::max);
    match load.uncertainty.as_ref().and_then(newton) {
        Some(expanded) if largest > 0.0 => certificate(expanded, 2.0) / largest,
        _ => 0.0,
    }
}

/// One step of the last digit entered, in mm.
fn step_mm(quantity: &Quantity) -> f64 {
    let digits = i32::try_from(quantity.value.decimal().scale()).unwrap_or(0);
    let factor = Quantity::new(1.into(), quantity.unit).in_unit_f64(Unit::Millimetre).unwrap_or(1.0);
    factor * 10f64.powi(-digits)
}

/// Evaluates the series by the method of [`crate::measure::load_deflection`].
///
/// # Errors
/// What is missing or contradictory, in plain words.
pub fn evaluate_series(
    demand: &SeriesDemand,
    points: &[SeriesPoint],
    used: Used<'_>,
) -> Result<LoadDeflection, String> {
    if let Some(why) = too_few(demand, points) {
        return Err(why);
    }
    let readings = signed_readings(demand, points)?;
    analyse(&readings, &series_settings(demand, points, used))
        .map_err(|error: LoadDeflectionError| error.to_string())
}

/// What the checklist demands of the table and does not find in it.
fn too_few(demand: &SeriesDemand, points: &[SeriesPoint]) -> Option<String> {
    for direction in &demand.directions {
        let in_direction = || points.iter().filter(|point| &point.direction == direction);
        let mut levels: Vec<f64> = in_direction()
            .filter(|point| point.loading)
            .filter_map(|point| point.load.in_unit_f64(Unit::Newton).ok())
            .filter(|load| *load > 0.0)
            .collect();
        levels.sort_by(f64::total_cmp);
        levels.dedup_by(|a, b| (*a - *b).abs() < 1e-9);
        if levels.len() < usize::try_from(demand.min_levels).unwrap_or(usize::MAX) {
            return Some(say!(
                "insufficient data: {} load levels {direction}, {} are demanded",
                levels.len(),
                demand.min_levels,
                direction = of_checklist(direction)
            ));
        }
        if demand.unloading && !in_direction().any(|point| !point.loading) {
            return Some(say!(
                "insufficient data: no reading on the way back down, {direction}",
                direction = of_checklist(direction)
            ));
        }
    }
    None
}

/// Judges the series against the checklist's limits and, where a card is given, compares its stiffness.
pub(super) fn judge_series(
    demand: &SeriesDemand,
    points: &[SeriesPoint],
    used: Used<'_>,
    in_plan: Option<(Card<'_>, Option<NaiveDate>)>,
) -> Judgement {
    let result = match evaluate_series(demand, points, used) {
        Ok(result) => result,
        Err(why) => return Judgement::new(ReadingVerdict::CannotDecide, why),
    };
    let mut verdicts = Vec::new();
    if let Some(min) = demand.min_stiffness {
        verdicts.push(against_min_stiffness(&result, min.to_f64()));
    }
    if let Some(percent) = demand.max_side_difference_percent {
        verdicts.push(against_side_difference(&result, percent.to_f64()));
    }
    let summary = result.summary().replace('\n', " ");
    // The worst verdict governs: outside, then cannot decide, then within.
    let worst = [ReadingVerdict::Outside, ReadingVerdict::CannotDecide, ReadingVerdict::Within]
        .into_iter()
        .find(|verdict| verdicts.iter().any(|(found, _)| found == verdict));
    let compared = in_plan.map(|(card, _)| compare_series(card, &result));
    let past = in_plan.and_then(|(card, day)| past_of(card, day?, &result));
    let (comparison, beside) = match compared {
        Some(Ok(found)) => (Some(found.verdict), Some(found.summary().replace('\n', " "))),
        Some(Err(why)) => (None, Some(say!("Not compared: {why}.", why = why))),
        None => (None, None),
    };
    let words: Vec<String> = beside
        .into_iter()
        .chain(past)
        .chain(verdicts.into_iter().map(|(_, words)| words))
        .chain([summary])
        .collect();
    let mut judgement = Judgement::new(worst.unwrap_or(ReadingVerdict::Recorded), words.join(" "));
    judgement.comparison = comparison;
    judgement
}

/// The smallest stiffness against the whole interval of every direction that stands for itself.
fn against_min_stiffness(result: &LoadDeflection, min: f64) -> (ReadingVerdict, String) {
    let stiffnesses = match (&result.slopes, &result.common_stiffness) {
        (Ok(slopes), _) if slopes.differ => vec![slopes.positive.clone(), slopes.negative.clone()],
        (_, common) => vec![common.clone()],
    };
    let mut verdict = ReadingVerdict::Within;
    let mut words = Vec::new();
    for stiffness in stiffnesses {
        match stiffness {
            Ok(found) => {
                let interval = found.interval_n_per_mm;
                words.push(say!(
                    "{} N/mm ({} to {}) against at least {min} N/mm.",
                    number(&format!("{:.2}", found.estimate_n_per_mm.value)),
                    number(&format!("{:.2}", interval.lower)),
                    number(&format!("{:.2}", interval.upper)),
                    min = figure(min)
                ));
                if interval.upper < min {
                    verdict = ReadingVerdict::Outside;
                } else if interval.lower < min && verdict == ReadingVerdict::Within {
                    verdict = ReadingVerdict::CannotDecide;
                }
            }
            Err(why) => {
                words.push(why.to_string());
                if verdict == ReadingVerdict::Within {
                    verdict = ReadingVerdict::CannotDecide;
                }
            }
        }
    }
    (verdict, words.join(" "))
}

fn against_side_difference(result: &LoadDeflection, percent: f64) -> (ReadingVerdict, String) {
    match &result.slopes {
        Ok(slopes) => {
            let (positive, negative) =
                (slopes.positive_compliance_mm_per_n.value, slopes.negative_compliance_mm_per_n.value);
            let apart = 200.0 * ((positive - negative) / (positive + negative)).abs();
            let verdict = match (apart > percent, slopes.differ) {
                (false, _) => ReadingVerdict::Within,
                (true, true) => ReadingVerdict::Outside,
                (true, false) => ReadingVerdict::CannotDecide,
            };
            (
                verdict,
                say!(
                    "The directions are {apart} % apart against at most {percent} %.",
                    apart = number(&format!("{apart:.1}")),
                    percent = figure(percent)
                ),
            )
        }
        Err(why) => (ReadingVerdict::CannotDecide, why.to_string()),
    }
}

/// The stiffness beside the airframe's earlier annuals.
fn past_of(card: Card<'_>, day: NaiveDate, result: &LoadDeflection) -> Option<String> {
    let stiffness = softer_stiffness(result).ok()?;
    own_past(
        card,
        Now {
            value: stiffness.value,
            standard_uncertainty: Some(stiffness.standard_uncertainty),
            unit: Unit::NewtonPerMillimetre,
            day,
        },
    )
}
