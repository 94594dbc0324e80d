//! When a life-limited item falls due.

use super::{Stated, joined, limit_of, usage};
use crate::airframe::{CountsFrom as From, Life, LifeItem};
use crate::measure::life::{CountsFrom, Due, Installed, LifeError, Part, Usage};

/// By the limits that are stated and those that are counted, whichever comes first. `None` where the record states none.
///
/// # Errors
/// Dates or counters that run backwards; dates outside the calendar.
pub fn life_item_due(item: &LifeItem, now: &Usage) -> Result<Option<Due>, LifeError> {
    let stated =
        Stated { due: item.due, hours: item.due_hours, launches: item.due_launches, cycles: item.due_cycles };
    let mut parts = stated.parts(now);
    if let Some(life) = &item.life {
        parts.extend(counted(life, now)?);
    }
    Ok(joined(parts))
}

fn counted(life: &Life, now: &Usage) -> Result<Vec<Part>, LifeError> {
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
    Ok(limit_of(&life.interval, from).due(&item, now)?.parts)
}
