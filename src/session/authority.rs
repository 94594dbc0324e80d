//! Who may record what: anybody at work reads, films, notes and initials; only the certifier accepts.
//!
//! 14 CFR 43.7 and 65.95, ML.A.801(b): the person who signs answers for the whole inspection. Helpers work under that person, and
//! the record shows whose hands it was (Part-ML ML.A.801 and AMC M.A.402 in the older wording, from memory).

use super::Request;
use super::decide::{Declined, Facts, declined};
use crate::event::{Actor, EntryNumber};
use crate::plan::Plan;
use crate::state::State;

/// Declines what only the certifier may do, and the taking back of another person's entry by anybody else.
pub(super) fn check(
    plan: &Plan,
    state: &State,
    by: &Actor,
    request: &Request,
    facts: &Facts<'_>,
) -> Result<(), Declined> {
    let certifies =
        facts.people.find(&by.id).is_some_and(|person| person.certifies(&plan.airframe.type_id, facts.today));
    if certifies {
        return Ok(());
    }
    if let Some((what, next)) = acceptance(request) {
        let type_id = &plan.airframe.type_id;
        return declined(
            say!(
                "{} holds no valid authorisation for the annual of a {type_id} and cannot {what}",
                by.name,
                type_id = type_id,
                what = what
            ),
            next,
        );
    }
    let entry = match request {
        Request::Withdraw { entry, .. } => *entry,
        Request::Read { corrects: Some(entry), .. } => *entry,
        _ => return Ok(()),
    };
    match author(state, entry) {
        Some((_, true)) => declined(
            say!("entry {entry} is an answer, and {} does not certify", by.name, entry = entry),
            say!("let the certifier take it back"),
        ),
        Some((author, false)) if author != by.id => declined(
            say!("entry {entry} was made by another person", entry = entry),
            say!("let that person or the certifier correct it; write a note meanwhile"),
        ),
        _ => Ok(()),
    }
}

/// What of the request is an acceptance, in words, and what a helper does instead.
fn acceptance(request: &Request) -> Option<(&'static str, &'static str)> {
    let initial = say!("initial what you did and saw; the certifier answers the step");
    Some(match request {
        Request::Answer { .. } => (say!("answer a step"), initial),
        Request::DisposeDefect { .. } => (say!("decide on a defect"), say!("the certifier decides")),
        Request::ReinspectDefect { .. } => {
            (say!("re-inspect a defect"), say!("the certifier re-inspects it"))
        }
        Request::SetReportAside { .. } => {
            (say!("set a report aside"), say!("let the certifier set it aside"))
        }
        Request::AnswerDirective { .. } => (say!("answer a directive"), say!("let the certifier answer it")),
        Request::AnswerLifeItem { .. } => {
            (say!("answer a life-limited item"), say!("let the certifier answer it"))
        }
        _ => return None,
    })
}

/// Who made an entry that could be taken back, and whether it is an answer.
fn author(state: &State, entry: EntryNumber) -> Option<(&str, bool)> {
    for step in state.steps.values() {
        let answers = step.answers.iter().map(|answer| (&answer.stamp, true));
        let readings = step.readings.iter().map(|reading| (&reading.stamp, false));
        let initials = step.initials.iter().map(|initials| (&initials.stamp, false));
        let mut all = answers.chain(readings).chain(initials);
        if let Some((stamp, is_answer)) = all.find(|(stamp, _)| stamp.entry == entry) {
            return Some((&stamp.by.id, is_answer));
        }
    }
    let defects = state.defects.iter().map(|defect| &defect.stamp);
    let evidence = state.evidence.iter().map(|told| &told.stamp);
    let confirmed = state.confirmations.iter().map(|told| &told.stamp);
    let found = defects.chain(evidence).chain(confirmed).find(|stamp| stamp.entry == entry)?;
    Some((&found.by.id, false))
}
