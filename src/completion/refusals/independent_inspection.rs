//! 8: an independent inspection is missing or by the same person.

use std::collections::BTreeSet;

use super::{Context, Refusal, about_step, steps};
use crate::event::{Actor, ControlCheck};
use crate::plan::PlanStep;
use crate::state::{StepStanding, StepState};

pub const NAME: &str = "independent inspection missing";
pub const DOC: &str = "Where a flight-control connection was assembled or disturbed, a second person inspects \
assembly, locking, sense of operation and range of movement (AMC to M.A.402 in the older wording; the current AMC \
must be compared by a person). The second person did not do the work, holds a valid authorisation for it in the people register, and signs the inspection \
with another key than the certifier's. What is taken apart after it needs another.";

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    let demanding = steps(context).filter(|(planned, state)| {
        let answered = matches!(state.standing(), StepStanding::Passed | StepStanding::Failed);
        answered && (planned.step.independent || state.controls_disturbed)
    });
    for (planned, state) in demanding {
        let missing = missing(context, planned, state);
        let release_only = missing.is_none();
        if let Some(why) = missing.or_else(|| taken_apart(context, planned, state)) {
            found.push(Refusal {
                number: 8,
                name: NAME,
                subject: about_step(planned),
                why,
                clears: "let a second person inspect assembly, locking, sense and range, and record it"
                    .to_string(),
                release_only,
            });
        }
    }
}

fn missing(context: &Context<'_>, planned: &PlanStep, state: &StepState) -> Option<String> {
    let answer = state.answer()?;
    let title = &planned.step.title;
    let after: Vec<_> =
        state.inspections.iter().filter(|inspection| inspection.stamp.entry > answer.stamp.entry).collect();
    let Some(last) = after.last() else {
        return Some(format!("\"{title}\" has no independent inspection after it was answered"));
    };
    if !last.inspected.satisfactory {
        return Some(format!("the independent inspection of \"{title}\" was not satisfactory"));
    }
    let first = &answer.answered.by;
    let workers = workers(context, &planned.step.id, state);
    let by_another: Vec<_> = after
        .iter()
        .filter(|inspection| inspection.inspected.satisfactory)
        .filter(|inspection| !workers.iter().any(|worker| is_same(worker, &inspection.inspected.by)))
        .collect();
    if by_another.is_empty() {
        let by = &last.inspected.by;
        let did = if is_same(first, by) { "answered it" } else { "did work of it" };
        return Some(format!("\"{title}\" was inspected by {}, who {did}", by.name));
    }
    let qualified: Vec<_> =
        by_another.iter().filter(|found| found.inspected.authorisation.is_some()).collect();
    if qualified.is_empty() {
        let by = &by_another[0].inspected.by;
        return Some(format!(
            "\"{title}\" was inspected by {}, who held no valid authorisation for it",
            by.name
        ));
    }
    let signed: Vec<_> = qualified.iter().filter(|found| found.inspected.seal.is_some()).collect();
    let Some(first_signed) = signed.first() else {
        return Some(format!(
            "the independent inspection of \"{title}\" bears no signature of the second person"
        ));
    };
    let signers_key = |public: &str| {
        context.signer.is_some_and(|signer| signer.keys.iter().any(|key| key.public == public))
    };
    if signed.iter().all(|found| found.inspected.seal.as_ref().is_some_and(|seal| signers_key(&seal.key))) {
        return Some(format!(
            "the independent inspection of \"{title}\" by {} was signed with a key of the signer",
            first_signed.inspected.by.name
        ));
    }
    let by_others: BTreeSet<ControlCheck> =
        signed.iter().flat_map(|found| found.inspected.checked.iter().copied()).collect();
    let not_checked: Vec<&str> = ControlCheck::ALL
        .iter()
        .filter(|check| !by_others.contains(check))
        .map(|check| check.word())
        .collect();
    (!not_checked.is_empty())
        .then(|| format!("the independent inspection of \"{title}\" left out: {}", not_checked.join(", ")))
}

/// A connection that was inspected and then undone, or inspected while it was undone, is not inspected as it stands.
/// On the ground it may stay apart, so that it stands against a release only.
fn taken_apart(context: &Context<'_>, planned: &PlanStep, state: &StepState) -> Option<String> {
    let last = state.inspections.last()?;
    if !planned.step.independent {
        return None;
    }
    let connections = planned.step.configuration.connections();
    let (aspect, setting, stamp) = context.state.undone_since(&connections, last.stamp.entry)?;
    let before = if stamp.entry < last.stamp.entry { "while" } else { "and afterwards" };
    Some(format!(
        "\"{}\" was inspected independently, {before} {} {} was confirmed ({}, entry {})",
        planned.step.title,
        aspect.word(),
        setting.word(),
        stamp.short(),
        stamp.entry
    ))
}

/// The same name under two ids is the same person, too.
fn is_same(a: &Actor, b: &Actor) -> bool {
    a.id == b.id || a.name.trim().eq_ignore_ascii_case(b.name.trim())
}

/// Who answered the step, ticked it or wrote its readings on paper, initialled work of it, or did the work that made it be looked at again.
fn workers<'a>(context: &Context<'a>, id: &'a str, state: &'a StepState) -> Vec<&'a Actor> {
    let answered = state.answer().map(|answer| &answer.answered.by);
    let rectified = context.state.defects_of(id).flat_map(|defect| &defect.rectifications);
    let initialled = state.initials().flat_map(|initials| [&initials.stamp.by, initials.stamp.hand()]);
    // Whoever worked it by paper did the first look, whoever typed it in.
    let ticked = state.answer().into_iter().map(|answer| answer.stamp.hand());
    let all = answered.into_iter().chain(rectified.map(|told| &told.what.by)).chain(initialled);
    all.chain(ticked).chain(read_on_paper(state)).collect()
}

fn read_on_paper(state: &StepState) -> impl Iterator<Item = &Actor> {
    let holds =
        state.readings.iter().filter(|reading| reading.struck.is_none() && reading.round == state.round);
    holds.filter_map(|reading| reading.stamp.paper.as_ref()).map(|paper| &paper.written_by)
}
