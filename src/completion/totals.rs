//! Total hours and launches of the airframe on the day of the inspection.
//!
//! The airframe's record holds what was known when the plan was frozen. Where the plan asks for the totals as
//! the log gives them now, lives are judged against these.

use crate::event::ReadingValue;
use crate::plan::Plan;
use crate::quantity::{Number, Quantity, Unit};
use crate::state::State;
use crate::words::figure;

/// The programme's step that asks for the totals, and its two measurements.
pub const STEP: &str = "records.times";
const HOURS: &str = "hours";
const LAUNCHES: &str = "launches";

/// The higher of record and reading: a life is never lengthened by the lower of two figures.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Totals {
    pub hours: Number,
    pub launches: u32,
}

/// Hours and launches that every life is judged against.
pub fn totals(plan: &Plan, state: &State) -> Totals {
    let airframe = &plan.airframe;
    let hours = read_hours(state).map_or(airframe.hours, |read| read.max(airframe.hours));
    let launches = read_launches(state).map_or(airframe.launches, |read| read.max(airframe.launches));
    Totals { hours, launches }
}

/// Totals that were read and lie below the airframe's record, in words: a total cannot fall.
pub fn fallen(plan: &Plan, state: &State) -> Vec<String> {
    let airframe = &plan.airframe;
    let hours = read_hours(state).filter(|read| *read < airframe.hours).map(|read| {
        say!(
            "{read} h were read, and the airframe's record has {} h already",
            figure(airframe.hours),
            read = figure(read)
        )
    });
    let launches = read_launches(state).filter(|read| *read < airframe.launches).map(|read| {
        say!(
            "{read} launches were read, and the airframe's record has {} already",
            airframe.launches,
            read = read
        )
    });
    hours.into_iter().chain(launches).collect()
}

fn read_hours(state: &State) -> Option<Number> {
    match state.step(STEP)?.readings_of(HOURS).last()?.taken.value {
        ReadingValue::Number { quantity } => in_hours(&quantity),
        _ => None,
    }
}

fn in_hours(quantity: &Quantity) -> Option<Number> {
    quantity.to(Unit::Hour).ok().map(|hours| hours.value)
}

fn read_launches(state: &State) -> Option<u32> {
    match state.step(STEP)?.readings_of(LAUNCHES).last()?.taken.value {
        ReadingValue::Count { count } => Some(count),
        _ => None,
    }
}
