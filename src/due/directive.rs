//! When a directive or bulletin falls due.

use super::{Reckoning, Stated, joined, limit_of, usage};
use crate::airframe::{Airframe, Compliance, Counters, Directive, Interval};
use crate::measure::life::{CountsFrom, Due, Installed, LifeError, LifeLimit, Usage};
use crate::words::{date, said};

/// The parts of [`directive_reckoned`] that can be counted.
///
/// # Errors
/// As there.
pub fn directive_due(
    airframe: &Airframe,
    directive: &Directive,
    now: &Usage,
) -> Result<Option<Due>, LifeError> {
    Ok(directive_reckoned(airframe, directive, now)?.due)
}

/// Nothing where it does not apply, or is complied with and does not repeat.
///
/// A repeating one counts from its last compliance, and a stated date counts, too, where it lies after that compliance. One that
/// was never complied with falls due as stated. A counter that was not written down with the compliance is told as such.
///
/// # Errors
/// Dates or counters that run backwards; dates outside the calendar.
pub fn directive_reckoned(
    airframe: &Airframe,
    directive: &Directive,
    now: &Usage,
) -> Result<Reckoning, LifeError> {
    if !directive.applies {
        return Ok(Reckoning::default());
    }
    let mut stated = Stated {
        due: directive.due,
        hours: directive.due_hours,
        launches: directive.due_launches,
        cycles: None,
    };
    let Some(done) = last_done(airframe, directive) else {
        let due = joined(stated.parts(now));
        let troubles = if due.is_none() { vec![said(NEVER_COMPLIED).to_string()] } else { Vec::new() };
        return Ok(Reckoning { due, troubles });
    };
    if done.on > now.date {
        return Err(LifeError::Backwards { start: done.on, today: now.date });
    }
    if !directive.repeating {
        return Ok(Reckoning::default());
    }
    // What was stated for a compliance that has been done since is history.
    stated.due = stated.due.filter(|due| *due > done.on);
    stated.hours = stated.hours.filter(|due| done.hours.is_none_or(|then| *due > then));
    stated.launches = stated.launches.filter(|due| done.launches.is_none_or(|then| *due > then));
    let mut parts = stated.parts(now);
    let mut troubles = Vec::new();
    if let Some(interval) = &directive.interval {
        troubles = uncounted(airframe, interval, &done);
        parts.extend(from_compliance(airframe, interval, &done, now)?);
    }
    let due = joined(parts);
    if due.is_none() && troubles.is_empty() {
        troubles.push(said(NO_INTERVAL).to_string());
    }
    Ok(Reckoning { due, troubles })
}

const NEVER_COMPLIED: &str =
    mark!("no compliance is recorded, and no day or counter by which it has to be complied with");
const NO_INTERVAL: &str = mark!("it repeats, and neither an interval nor the next due date is recorded");

fn from_compliance(
    airframe: &Airframe,
    interval: &Interval,
    done: &Compliance,
    now: &Usage,
) -> Result<Vec<crate::measure::life::Part>, LifeError> {
    let then = usage(done.on, &Counters { hours: done.hours, launches: done.launches, cycles: done.cycles });
    let nothing = usage(done.on, &Counters::default());
    let item = Installed { manufactured: None, airframe_then: then, item_then: nothing };
    let mut limit = limit_of(interval, CountsFrom::Installation);
    // A counter that was not written down with the compliance cannot be counted from it.
    limit.hours = limit.hours.filter(|_| done.hours.is_some());
    limit.launches = limit.launches.filter(|_| done.launches.is_some());
    limit.cycles = limit.cycles.filter(|_| done.cycles.is_some() && airframe.cycles.is_some());
    if limit == LifeLimit::default() {
        return Ok(Vec::new());
    }
    Ok(limit.due(&item, now)?.parts)
}

/// Which counters of the interval cannot be counted, and why.
fn uncounted(airframe: &Airframe, interval: &Interval, done: &Compliance) -> Vec<String> {
    let told = |is_counted: bool, is_known: bool, counter: &str| {
        (is_counted && !is_known).then(|| {
            say!(
                "its {counter} cannot be counted: the compliance of {day} was written down without the airframe's {counter}",
                counter = said(counter),
                day = date(done.on)
            )
        })
    };
    let no_cycles = interval.cycles.is_some() && airframe.cycles.is_none();
    [
        told(interval.hours.is_some(), done.hours.is_some(), mark!("hours")),
        told(interval.launches.is_some(), done.launches.is_some(), mark!("launches")),
        told(interval.cycles.is_some(), done.cycles.is_some(), mark!("cycles")),
        no_cycles.then(|| said(super::NO_CYCLES).to_string()),
    ]
    .into_iter()
    .flatten()
    .collect()
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
