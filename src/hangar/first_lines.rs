//! The first lines of a new session: tried on an empty state before anything is written.

use super::{Hangar, HangarError};
use crate::airframe::RecordedDefect;
use crate::event::{Actor, DefectRaised, Event, FromRecord};
use crate::plan::Plan;
use crate::state::{Stamped, State};
use crate::store::Draft;

/// The events as lines to create a session with.
///
/// # Errors
/// One of them does not fit the plan: a fault of the program, and nothing is begun.
pub(super) fn drafts(hangar: &Hangar, plan: &Plan, events: &[Event]) -> Result<Vec<Draft>, HangarError> {
    let fault = say!("report this: it is a fault of the program; nothing was begun");
    let mut state = State::new(plan);
    let mut drafts = Vec::new();
    for (entry, event) in (0..).zip(events) {
        let (kind, body) = event.to_parts().map_err(|error| HangarError::disk(error, fault))?;
        let draft = hangar.clock.draft(&kind, body);
        let trial = Stamped {
            entry,
            wall: draft.wall.clone(),
            mono_ms: draft.mono_ms,
            hash: String::new(),
            event: event.clone(),
        };
        state.apply(plan, &trial).map_err(|error| HangarError::disk(error, fault))?;
        drafts.push(draft);
    }
    Ok(drafts)
}

/// Every defect that stands open in the airframe's record, raised anew: it stands undecided until this annual deals with it.
pub(super) fn defects_of_the_record(plan: &Plan, by: &Actor) -> Vec<Event> {
    plan.airframe
        .open_defects()
        .zip(1..)
        .map(|(known, number)| Event::DefectRaised(raised(plan, by, known, number)))
        .collect()
}

fn raised(plan: &Plan, by: &Actor, known: &RecordedDefect, number: u32) -> DefectRaised {
    DefectRaised {
        by: by.clone(),
        defect: format!("d{number}"),
        // A step that this plan does not have cannot inspect it again.
        step: known.step.clone().filter(|step| plan.step(step).is_some()),
        what: known.what.clone(),
        component: known.component.clone(),
        side: known.side.clone(),
        station_mm: known.station_mm,
        severity: known.severity,
        from_record: Some(FromRecord {
            id: known.id.clone(),
            standing: known.standing.word().to_string(),
            found: known.found,
            until: known.until,
            session: known.session.clone(),
            session_defect: known.session_defect.clone(),
        }),
    }
}
