//! When a directive or bulletin falls due.

use super::{Stated, joined, limit_of, usage};
use crate::airframe::{Airframe, Compliance, Counters, Directive};
use crate::measure::life::{CountsFrom, Due, Installed, LifeError, Usage};

/// `None` where it does not apply, or is complied with and does not repeat.
///
/// A repeating one counts from its last compliance, and a stated date counts, too, where it lies after that compliance. One that
/// was never complied with falls due as stated.
///
/// # Errors
/// Dates or counters that run backwards; dates outside the calendar.
pub fn directive_due(
    airframe: &Airframe,
    directive: &Directive,
    now: &Usage,
) -> Result<Option<Due>, LifeError> {
    if !directive.applies {
        return Ok(None);
    }
    let done = last_done(airframe, directive);
    if done.is_some() && !directive.repeating {
        return Ok(None);
    }
    let mut stated = Stated {
        due: directive.due,
        hours: directive.due_hours,
        launches: directive.due_launches,
        cycles: None,
    };
    let Some(done) = done else { return Ok(joined(stated.parts(now))) };
    // What was stated for a compliance that has been done since is history.
    stated.due = stated.due.filter(|due| *due > done.on);
    stated.hours = stated.hours.filter(|due| done.hours.is_none_or(|then| *due > then));
    stated.launches = stated.launches.filter(|due| done.launches.is_none_or(|then| *due > then));
    let mut parts = stated.parts(now);
    if let Some(interval) = &directive.interval {
        let then =
            usage(done.on, &Counters { hours: done.hours, launches: done.launches, cycles: done.cycles });
        let nothing = usage(done.on, &Counters::default());
        let item = Installed { manufactured: None, airframe_then: then, item_then: nothing };
        let mut limit = limit_of(interval, CountsFrom::Installation);
        // A counter that was not written down with the compliance cannot be counted from it.
        limit.hours = limit.hours.filter(|_| done.hours.is_some());
        limit.launches = limit.launches.filter(|_| done.launches.is_some());
        limit.cycles = limit.cycles.filter(|_| done.cycles.is_some());
        if limit != crate::measure::life::LifeLimit::default() {
            parts.extend(limit.due(&item, now)?.parts);
        }
    }
    Ok(joined(parts))
}

/// The newest compliance, from the list or from the day that the directive itself states.
fn last_done(airframe: &Airframe, directive: &Directive) -> Option<Compliance> {
    let listed = airframe.last_compliance(&directive.id).cloned();
    let stated = directive.complied.map(|on| Compliance {
        directive: directive.id.clone(),
        on,
        hours: None,
        launches: None,
        cycles: None,
        by: String::new(),
        how: String::new(),
    });
    match (listed, stated) {
        (Some(listed), Some(stated)) => Some(if stated.on > listed.on { stated } else { listed }),
        (listed, stated) => listed.or(stated),
    }
}
