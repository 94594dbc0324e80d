//! Defects from raising to re-inspection.

use chrono::NaiveDate;

use super::NewDefect;
use super::decide::{Declined, Facts, declined, known_defect, planned, text};
use crate::event::{Actor, DefectDisposed, DefectRaised, DefectRectified, Disposition, Event};
use crate::plan::Plan;
use crate::state::State;
use crate::words::date;

pub(super) fn raise(plan: &Plan, state: &State, by: Actor, defect: NewDefect) -> Result<Event, Declined> {
    if let Some(step) = &defect.step {
        planned(plan, step)?;
    }
    if defect.what.trim().is_empty() {
        return declined(say!("the defect is not described"), say!("write what is wrong"));
    }
    Ok(Event::DefectRaised(DefectRaised {
        by,
        defect: state.next_defect_id(),
        step: defect.step,
        what: defect.what.trim().to_string(),
        component: text(defect.component),
        side: text(defect.side),
        station_mm: defect.station_mm,
        severity: defect.severity,
        from_record: None,
    }))
}

pub(super) fn dispose(
    state: &State,
    by: Actor,
    id: &str,
    disposition: Disposition,
    note: String,
    until: Option<NaiveDate>,
    facts: &Facts<'_>,
) -> Result<Event, Declined> {
    let defect = known_defect(state, id)?;
    if !defect.is_open() {
        return declined(say!("defect {id} is closed", id = id), say!("raise a new defect if there is more"));
    }
    if disposition == Disposition::Defer {
        match until {
            None => {
                return declined(
                    say!("a deferral needs a limit"),
                    say!("give the date until which it may wait"),
                );
            }
            Some(until) if until <= facts.today => {
                let why = match until == facts.today {
                    true => say!("{until} is today", until = date(until)),
                    false => say!("{until} has passed already", until = date(until)),
                };
                return declined(why, say!("give a date that lies ahead"));
            }
            Some(_) => {}
        }
    }
    let until = until.filter(|_| disposition == Disposition::Defer);
    Ok(Event::DefectDisposed(DefectDisposed {
        by,
        defect: id.to_string(),
        disposition,
        note: note.trim().to_string(),
        until,
    }))
}

pub(super) fn rectify(
    state: &State,
    by: Actor,
    id: &str,
    work: String,
    disturbed_controls: bool,
) -> Result<Event, Declined> {
    let defect = known_defect(state, id)?;
    if !defect.is_open() {
        return declined(say!("defect {id} is closed", id = id), say!("raise a new defect if there is more"));
    }
    if defect.disposition().is_none() {
        return declined(
            say!("defect {id} has no disposition", id = id),
            say!("decide first what becomes of it"),
        );
    }
    if work.trim().is_empty() {
        return declined(say!("the work is not described"), say!("write what was done, by which data"));
    }
    Ok(Event::DefectRectified(DefectRectified {
        by,
        defect: id.to_string(),
        work: work.trim().to_string(),
        disturbed_controls,
    }))
}

pub(super) fn reinspect(
    state: &State,
    by: Actor,
    id: &str,
    satisfactory: bool,
    note: String,
) -> Result<Event, Declined> {
    let defect = known_defect(state, id)?;
    if let Some(step) = &defect.raised.step {
        return declined(
            say!("defect {id} was found by the step \"{step}\"", id = id, step = step),
            say!("work that step again: its answer is the re-inspection"),
        );
    }
    if defect.rectifications.is_empty() {
        return declined(
            say!("defect {id} is not rectified yet", id = id),
            say!("record the rectification first"),
        );
    }
    if note.trim().is_empty() {
        return declined(
            say!("the re-inspection is not described"),
            say!("write what was looked at and what was seen"),
        );
    }
    Ok(Event::DefectReinspected { by, defect: id.to_string(), satisfactory, note: note.trim().to_string() })
}
