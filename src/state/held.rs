//! The numeric readings that hold: what the airframe's record takes over as readings of this annual.

use chrono::NaiveDate;

use super::compare_series::softer_stiffness;
use super::judge_number::{mean_of, standard_uncertainty};
use super::judge_series::evaluate_series;
use super::step::numbers_of;
use super::{Reading, State, StepStanding, StepState};
use crate::checklist::{Measure, MeasureKind, SeriesDemand};
use crate::event::ReadingValue;
use crate::measure::estimate::Estimate;
use crate::plan::Plan;
use crate::quantity::{Number, Quantity, Unit, rounded};

/// One figure that a later annual can be set beside.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HeldReading {
    pub step: String,
    /// Id of the measurement; a side of a pair and a direction of a series stand behind it: "play.left".
    pub measure: String,
    pub day: NaiveDate,
    pub value: Number,
    pub unit: Unit,
    /// In `unit`, where it was evaluated.
    pub standard_uncertainty: Option<Number>,
}

/// Every number, pair, count and stiffness that holds, in the order of the plan. Several readings of one number are
/// taken as their mean.
pub fn held_readings(plan: &Plan, state: &State) -> Vec<HeldReading> {
    let mut held = Vec::new();
    for planned in &plan.steps {
        let Some(step) = state.step(&planned.step.id) else { continue };
        // What was read before it turned out not to apply says nothing of the airframe.
        if step.standing() == StepStanding::NotApplicable {
            continue;
        }
        for measure in &planned.step.measures {
            let readings: Vec<&Reading> = step.readings_of(&measure.id).collect();
            held.extend(figures(&planned.step.id, measure, &readings));
        }
    }
    held
}

/// Figures of readings that were struck, or taken before the step had to be worked again: they hold no longer.
pub fn fallen_readings(plan: &Plan, state: &State) -> Vec<HeldReading> {
    let fallen =
        |step: &StepState, reading: &Reading| reading.struck.is_some() || reading.round != step.round;
    let mut found = Vec::new();
    for planned in &plan.steps {
        let Some(step) = state.step(&planned.step.id) else { continue };
        for measure in &planned.step.measures {
            for reading in step.readings.iter().filter(|reading| reading.taken.measure == measure.id) {
                if fallen(step, reading) {
                    found.extend(figures(&planned.step.id, measure, &[reading]));
                }
            }
        }
    }
    found
}

fn figures(step: &str, measure: &Measure, readings: &[&Reading]) -> Vec<HeldReading> {
    let Some((last, day)) = readings.last().and_then(|last| Some((*last, last.stamp.day()?))) else {
        return Vec::new();
    };
    let held = |part: &str, quantity: Quantity, standard_uncertainty: Option<Number>| HeldReading {
        step: step.to_string(),
        measure: if part.is_empty() { measure.id.clone() } else { format!("{}.{part}", measure.id) },
        day,
        value: quantity.value,
        unit: quantity.unit,
        standard_uncertainty,
    };
    let of_instrument =
        |unit: Unit| standard_uncertainty(last.taken.instrument.as_ref(), unit).and_then(uncertainty_number);
    match (&measure.kind, &last.taken.value) {
        (MeasureKind::Number { .. }, ReadingValue::Number { quantity }) => {
            let (quantity, u) = mean_or_only(readings, *quantity);
            vec![held("", quantity, u.or_else(|| of_instrument(quantity.unit)))]
        }
        (MeasureKind::Pair { .. }, ReadingValue::Pair { left, right }) => [("left", left), ("right", right)]
            .into_iter()
            .map(|(side, quantity)| held(side, *quantity, of_instrument(quantity.unit)))
            .collect(),
        (MeasureKind::Count { unit, .. }, ReadingValue::Count { count }) => {
            vec![held("", Quantity::new(Number::from(i64::from(*count)), *unit), None)]
        }
        (MeasureKind::LoadDeflection(demand), ReadingValue::Series { .. }) => {
            let figure = |(part, estimate): (String, Estimate)| {
                let unit = Unit::NewtonPerMillimetre;
                let value = rounded(estimate.value, estimate.standard_uncertainty).parse().ok()?;
                let u = uncertainty_number(estimate.standard_uncertainty);
                Some(held(&part, Quantity::new(value, unit), u))
            };
            stiffnesses(demand, last).into_iter().filter_map(figure).collect()
        }
        _ => Vec::new(),
    }
}

/// The mean with its uncertainty where several were read, else the reading as it was entered.
fn mean_or_only(readings: &[&Reading], only: Quantity) -> (Quantity, Option<Number>) {
    let (quantities, instrument) = numbers_of(readings);
    let Some((mean, unit)) = mean_of(&quantities, instrument) else { return (only, None) };
    let u = uncertainty_number(mean.estimate.standard_uncertainty);
    match rounded(mean.estimate.value, mean.estimate.standard_uncertainty).parse() {
        Ok(value) if u.is_some() => (Quantity::new(value, unit), u),
        // Without any scatter or stated uncertainty the readings are alike, and one stands for all.
        _ => (only, None),
    }
}

/// Two significant digits (JCGM 100:2008, 7.2.6, from memory); `None` where there is none.
fn uncertainty_number(u: f64) -> Option<Number> {
    if u.is_finite() && u > 0.0 { rounded(u, u).parse().ok() } else { None }
}

/// The stiffness that comparisons use (the softer one where the directions differ), and each direction's, N/mm.
fn stiffnesses(demand: &SeriesDemand, reading: &Reading) -> Vec<(String, Estimate)> {
    let ReadingValue::Series { points } = &reading.taken.value else { return Vec::new() };
    let Ok(result) = evaluate_series(demand, points, reading.taken.used()) else { return Vec::new() };
    let mut found: Vec<(String, Estimate)> =
        softer_stiffness(&result).ok().map(|estimate| (String::new(), estimate)).into_iter().collect();
    if let Ok(slopes) = &result.slopes {
        let sides = [&slopes.positive, &slopes.negative];
        for (direction, side) in demand.directions.iter().zip(sides) {
            if let Ok(side) = side {
                found.push((direction.clone(), side.estimate_n_per_mm));
            }
        }
    }
    found
}
