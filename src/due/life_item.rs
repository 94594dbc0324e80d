//! When a life-limited item falls due.

use super::{Reckoning, Stated, joined, limit_of, usage};
use crate::airframe::{Airframe, CountsFrom as From, Life, LifeItem};
use crate::measure::life::{CountsFrom, Due, Installed, LifeError, LifeLimit, Part, Usage};
use crate::words::said;

/// By the limits that are stated and those that are counted, whichever comes first, where every counter of `now` is
/// known. `None` where the record states none.
///
/// # Errors
/// Dates or counters that run backwards; dates outside the calendar.
pub fn life_item_due(item: &LifeItem, now: &Usage) -> Result<Option<Due>, LifeError> {
    parts_of(item, now, true).map(joined)
}

/// As [`life_item_due`]; cycles are counted only where the airframe's record has them, and what cannot be told is told.
///
/// # Errors
/// As there.
pub fn life_item_reckoned(airframe: &Airframe, item: &LifeItem, now: &Usage) -> Result<Reckoning, LifeError> {
    let has_cycles = airframe.cycles.is_some();
    let due = joined(parts_of(item, now, has_cycles)?);
    let in_cycles =
        item.due_cycles.is_some() || item.life.as_ref().is_some_and(|life| life.interval.cycles.is_some());
    let mut troubles = Vec::new();
    if in_cycles && !has_cycles {
        troubles.push(said(super::NO_CYCLES).to_string());
    } else if due.is_none() {
        troubles.push(say!("the record states no limit of it").to_string());
    }
    Ok(Reckoning { due, troubles })
}

fn parts_of(item: &LifeItem, now: &Usage, has_cycles: bool) -> Result<Vec<Part>, LifeError> {
    let cycles = item.due_cycles.filter(|_| has_cycles);
    let stated = Stated { due: item.due, hours: item.due_hours, launches: item.due_launches, cycles };
    let mut parts = stated.parts(now);
    if let Some(life) = &item.life {
        parts.extend(counted(life, now, has_cycles)?);
    }
    Ok(parts)
}

fn counted(life: &Life, now: &Usage, has_cycles: bool) -> Result<Vec<Part>, LifeError> {
    let from = match life.from {
        From::Installation => CountsFrom::Installation,
        From::Manufacture => CountsFrom::Manufacture,
    };
    // A life from manufacture alone needs no date of installation.
    let Some(begun) = life.installed.or(life.manufactured) else {
        return Err(LifeError::ManufactureDateMissing);
    };
    let item = Installed {
        manufactured: life.manufactured,
        airframe_then: usage(begun, &life.airframe_then),
        item_then: usage(begun, &life.item_then),
    };
    let mut limit = limit_of(&life.interval, from);
    limit.cycles = limit.cycles.filter(|_| has_cycles);
    if limit == LifeLimit::default() {
        return Ok(Vec::new());
    }
    Ok(limit.due(&item, now)?.parts)
}
