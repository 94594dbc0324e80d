//! Old comparisons that leaned on a reference which was withdrawn later.

use super::Hangar;
use crate::airframe::{Reference, Withdrawn};
use crate::plan::Plan;
use crate::state::State;
use crate::words::date;

/// One line for each reference of the session's plan that a comparison of this session used or showed, and
/// that a record of the hangar has withdrawn since. The session itself is never changed.
pub fn leaned_on(hangar: &Hangar, plan: &Plan, state: &State) -> Vec<String> {
    let compared = |reference: &&Reference| {
        state.step(&reference.step).is_some_and(|step| {
            step.readings.iter().any(|reading| {
                reading.taken.measure == reference.measure && reading.judgement.comparison.is_some()
            })
        })
    };
    plan.airframe
        .references
        .iter()
        .filter(compared)
        .filter(|reference| reference.withdrawn.is_none())
        .filter_map(|reference| {
            let withdrawn = withdrawn_since(hangar, reference)?;
            Some(say!(
                "the comparison of {} leaned on {}, measured on {}, which {} withdrew on {}: {}; judge it again without",
                reference.step,
                reference.registration,
                date(reference.date),
                withdrawn.by,
                date(withdrawn.on),
                withdrawn.reason
            ))
        })
        .collect()
}

/// The withdrawal of the same measurement in any airframe record of the hangar.
fn withdrawn_since<'a>(hangar: &'a Hangar, reference: &Reference) -> Option<&'a Withdrawn> {
    hangar
        .airframes
        .iter()
        .filter_map(|file| file.airframe.as_ref().ok())
        .flat_map(|airframe| &airframe.references)
        .filter(|known| {
            known.registration == reference.registration
                && known.step == reference.step
                && known.measure == reference.measure
                && known.date == reference.date
        })
        .find_map(|known| known.withdrawn.as_ref())
}
