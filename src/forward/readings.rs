//! The readings that hold become earlier readings of the next annual.

use super::{Forward, Signed, add, date, number, text};
use crate::airframe::edit::Edit;
use crate::airframe::{Airframe, EarlierReading};
use crate::state::{HeldReading, fallen_readings, held_readings};

const LIST: &str = "earlier_reading";

pub fn readings(session: &Signed<'_>, record: &Airframe, forward: &mut Forward) {
    let held = held_readings(session.plan, session.state);
    take_out_the_fallen(session, record, &held, forward);
    let new: Vec<&HeldReading> = held
        .iter()
        .filter(|held| !record.earlier_readings.iter().any(|known| is_same(known, held)))
        .collect();
    for reading in &new {
        let mut changes = vec![
            text("step", &reading.step),
            text("measure", &reading.measure),
            date("date", reading.day),
            number("value", reading.value),
            text("unit", reading.unit.symbol()),
        ];
        changes.extend(reading.standard_uncertainty.map(|u| number("standard_uncertainty", u)));
        changes.extend(new_series(session, &reading.step).map(|why| text("starts_new_series", why)));
        forward.edits.push(add(LIST, changes));
    }
    if !new.is_empty() {
        let steps: std::collections::BTreeSet<&str> =
            new.iter().map(|reading| reading.step.as_str()).collect();
        forward.tell(say!(
            "readings: {readings} of {steps} steps stand beside the next annual's",
            readings = new.len(),
            steps = steps.len()
        ));
    }
}

/// An annual that was continued may have left a reading in the record that was corrected since.
fn take_out_the_fallen(session: &Signed<'_>, record: &Airframe, held: &[HeldReading], forward: &mut Forward) {
    if session.earlier.is_empty() {
        return;
    }
    let fallen = fallen_readings(session.plan, session.state);
    let gone: Vec<usize> = record
        .earlier_readings
        .iter()
        .enumerate()
        .filter(|(_, known)| fallen.iter().any(|fallen| is_same(known, fallen)))
        .filter(|(_, known)| !held.iter().any(|held| is_same(known, held)))
        .map(|(at, _)| at)
        .collect();
    // From the end, so that the places before stay what they are.
    for at in gone.iter().rev() {
        forward.edits.push(Edit::Remove { list: LIST.to_string(), at: *at, below: None });
    }
    if !gone.is_empty() {
        forward.tell(say!("readings: {count} that were corrected since are taken out", count = gone.len()));
    }
}

fn is_same(known: &EarlierReading, held: &HeldReading) -> bool {
    (known.step.as_str(), known.measure.as_str(), known.date, known.value, known.unit)
        == (held.step.as_str(), held.measure.as_str(), held.day, held.value, held.unit)
}

/// A repair makes the structure another one: what is read after it begins a series of its own.
fn new_series(session: &Signed<'_>, step: &str) -> Option<String> {
    let repaired = session.state.defects_of(step).filter_map(|defect| defect.rectifications.last()).last()?;
    let day = repaired.stamp.day().map_or(String::new(), |day| format!(" on {day}"));
    Some(format!("rectified{day}: {}", repaired.what.work))
}
