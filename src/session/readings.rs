//! Readings: the value fits the measurement, its unit fits, its instrument is known.

use super::decide::{Declined, Facts, declined, planned, text};
use crate::airframe::Instrument;
use crate::checklist::{Measure, MeasureKind};
use crate::diagnostic::suggest;
use crate::event::{Actor, Correction, EntryNumber, Event, InstrumentUse, ReadingTaken, ReadingValue};
use crate::plan::Plan;
use crate::quantity::{Number, Quantity};
use crate::state::{State, compute_table};
use crate::words::{all_of_checklist, of_checklist, said};

pub(super) fn correction_of_reading(
    plan: &Plan,
    state: &State,
    step: &str,
    measure: &str,
    entry: Option<EntryNumber>,
    why: Option<String>,
) -> Result<Option<Correction>, Declined> {
    let Some(entry) = entry else {
        let full = planned(plan, step)?.step.measure(measure).map_or(u32::MAX, |measure| measure.readings);
        let taken = state.step(step).map_or(0, |state| state.readings_of(measure).count());
        if u32::try_from(taken).is_ok_and(|taken| taken >= full) && why.is_none() {
            return declined(
                say!("all demanded readings of this measurement are taken"),
                say!(
                    "to replace one, correct it with a reason; to add one, give the reason for the further reading"
                ),
            );
        }
        return Ok(None);
    };
    let holds = state
        .step(step)
        .is_some_and(|state| state.readings_of(measure).any(|reading| reading.stamp.entry == entry));
    if !holds {
        return declined(
            say!("entry {entry} is no reading of this measurement that still holds", entry = entry),
            say!("choose one that does"),
        );
    }
    match why {
        Some(why) => Ok(Some(Correction { entry, why })),
        None => {
            declined(say!("a correction needs a reason"), say!("write why the earlier reading is replaced"))
        }
    }
}

#[expect(clippy::too_many_arguments, reason = "one parameter for each thing that was typed")]
pub(super) fn read(
    plan: &Plan,
    by: Actor,
    step: &str,
    measure_id: &str,
    value: ReadingValue,
    instrument: Option<String>,
    corrects: Option<Correction>,
    facts: &Facts<'_>,
) -> Result<Event, Declined> {
    let planned = planned(plan, step)?;
    let Some(measure) = planned.step.measure(measure_id) else {
        let hint = suggest(measure_id, planned.step.measures.iter().map(|measure| measure.id.as_str()));
        return declined(
            say!(
                "\"{}\" has no measurement \"{measure_id}\"",
                of_checklist(&planned.step.title),
                measure_id = measure_id
            ),
            hint.unwrap_or(say!("it demands none; write a note instead").to_string()),
        );
    };
    check_value(plan, measure, &value)?;
    let (instrument, load_instrument) = instruments(text(instrument).as_deref(), measure, facts)?;
    Ok(Event::ReadingTaken(ReadingTaken {
        by,
        step: step.to_string(),
        measure: measure_id.to_string(),
        value,
        instrument,
        load_instrument,
        corrects,
    }))
}

/// What the reading was taken with. A load–deflection series names two, parted by `+` or a comma: one for the
/// deflection, one for the load; which is which is told by what they measure.
fn instruments(
    named: Option<&str>,
    measure: &Measure,
    facts: &Facts<'_>,
) -> Result<(Option<InstrumentUse>, Option<InstrumentUse>), Declined> {
    let load_unit = match &measure.kind {
        MeasureKind::LoadDeflection(demand) => Some(demand.load_unit),
        _ => None,
    };
    let (mut instrument, mut load) = (None, None);
    for id in
        named.into_iter().flat_map(|named| named.split(['+', ','])).map(str::trim).filter(|id| !id.is_empty())
    {
        let used = instrument_use(id, measure, facts)?;
        let reads_load = load_unit.is_some_and(|unit| {
            facts.instruments.find(id).is_some_and(|found| found.unit.dimension() == unit.dimension())
        });
        let (place, what) =
            if reads_load { (&mut load, say!("the load")) } else { (&mut instrument, say!("this reading")) };
        if let Some(other) = place.replace(used) {
            return declined(
                say!("two instruments are named for {what}: {} and {id}", other.id, what = what, id = id),
                say!("name the one that was used"),
            );
        }
    }
    Ok((instrument, load))
}

fn instrument_use(id: &str, measure: &Measure, facts: &Facts<'_>) -> Result<InstrumentUse, Declined> {
    let Some(instrument) = facts.instruments.find(id) else {
        let hint = suggest(id, facts.instruments.0.iter().map(|instrument| instrument.id.as_str()));
        return declined(
            say!("the register has no instrument \"{id}\"", id = id),
            hint.unwrap_or(say!("enter it into instruments.toml").to_string()),
        );
    };
    // A tyre gauge under a length would drop its uncertainty and make a plain pass of a doubtful value.
    if !measure.is_measured_in(instrument.unit) {
        let wanted: Vec<&str> = measure.instrument_units().iter().map(|unit| unit.symbol()).collect();
        return declined(
            say!(
                "{id} reads in {}, and \"{}\" is measured in {}",
                instrument.unit.symbol(),
                of_checklist(&measure.title),
                wanted.join(say!(" and ")),
                id = id
            ),
            say!("name the instrument that was used"),
        );
    }
    Ok(as_used(instrument))
}

/// The instrument as the record keeps it: as the register describes it today.
pub fn as_used(instrument: &Instrument) -> InstrumentUse {
    let quantity = |number: Option<Number>| number.map(|value| Quantity::new(value, instrument.unit));
    InstrumentUse {
        id: instrument.id.clone(),
        title: instrument.title.clone(),
        calibration_due: instrument.calibration_due,
        resolution: quantity(instrument.resolution),
        uncertainty: quantity(instrument.uncertainty),
    }
}

/// The kind of value fits the measurement, its units fit, and no load is above a ceiling.
fn check_value(plan: &Plan, measure: &Measure, value: &ReadingValue) -> Result<(), Declined> {
    let same_dimension = |quantity: &Quantity, unit: crate::quantity::Unit| match quantity.in_unit_f64(unit) {
        Ok(_) => Ok(()),
        Err(error) => declined(error.to_string(), say!("enter it in {}", unit.symbol())),
    };
    match (&measure.kind, value) {
        (MeasureKind::Number { unit, .. }, ReadingValue::Number { quantity }) => {
            same_dimension(quantity, *unit)
        }
        (MeasureKind::Pair { unit, .. }, ReadingValue::Pair { left, right }) => {
            same_dimension(left, *unit)?;
            same_dimension(right, *unit)
        }
        (MeasureKind::Choice { choices, .. }, ReadingValue::Choice { choice }) => {
            if choices.contains(choice) {
                Ok(())
            } else {
                declined(
                    say!("\"{choice}\" is no choice here", choice = of_checklist(choice)),
                    say!("choose one of: {}", all_of_checklist(choices)),
                )
            }
        }
        (MeasureKind::Text, ReadingValue::Text { text }) if text.trim().is_empty() => {
            declined(say!("the text is empty"), say!("write what was found"))
        }
        (MeasureKind::Count { .. }, ReadingValue::Count { .. })
        | (MeasureKind::Text, ReadingValue::Text { .. })
        | (MeasureKind::Date { .. }, ReadingValue::Date { .. }) => Ok(()),
        (MeasureKind::Table { compute }, ReadingValue::Table { text }) => check_table(compute, text),
        (MeasureKind::LoadDeflection(demand), ReadingValue::Series { points }) => {
            super::series::check_series(plan, demand, points)
        }
        _ => declined(
            say!("\"{}\" wants a {}", of_checklist(&measure.title), said(measure.kind_word())),
            say!("enter the value in that form"),
        ),
    }
}

/// A table goes into the record as it is, so it must be whole and small enough for one entry.
fn check_table(compute: &str, text: &str) -> Result<(), Declined> {
    const LARGEST_BYTES: usize = 32 * 1024;
    if text.len() > LARGEST_BYTES {
        return declined(
            say!("the table has {} bytes", text.len()),
            say!(
                "keep it under {LARGEST_BYTES}; add the whole file as evidence",
                LARGEST_BYTES = LARGEST_BYTES
            ),
        );
    }
    match compute_table(compute, text) {
        Ok(_) => Ok(()),
        Err(why) => declined(
            why,
            say!("correct the table; spanwise compute {compute} --example shows one", compute = compute),
        ),
    }
}
