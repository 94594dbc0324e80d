//! A correction after signing: a new session that continues the signed one, which is never touched.
//!
//! Everything that holds in the earlier session is carried over, each entry with its number, time and hash there.

use std::collections::BTreeMap;
use std::path::PathBuf;

use super::begin::RECORD_FORMAT;
use super::first_lines::drafts;
use super::opening_entry::others;
use super::work::{PROGRAM, device_name};
use super::{Begun, Hangar, HangarError, Viewing};
use crate::airframe::AuthorisationKind;
use crate::completion::EvidenceFile;
use crate::event::{Actor, Carried, Continues, Correction, EntryNumber, Event, FromPaper, Opened};
use crate::journal::{Entry, Hash};
use crate::session::Declined;
use crate::state::Stamped;
use crate::store::{Evidence, SessionFolder, create_with, new_session_id};

/// Begins a session that continues a signed one, or what can still be read of a damaged one.
///
/// # Errors
/// The earlier session is still running, is continued already, or the disk fails; nothing exists then.
pub fn continue_session(hangar: &Hangar, sid: &str, by: &Actor, reason: &str) -> Result<Begun, HangarError> {
    let earlier = Viewing::open(hangar, sid)?;
    may_continue(hangar, &earlier, by, reason)?;
    let new_sid = new_session_id().map_err(|error| HangarError::disk(error, "try again"))?;
    let opened = Event::Opened(Opened {
        format: RECORD_FORMAT,
        program: PROGRAM.to_string(),
        plan: earlier.plan_hash.clone(),
        registration: earlier.plan.airframe.registration.clone(),
        type_id: earlier.plan.airframe.type_id.clone(),
        serial: earlier.plan.airframe.serial.clone(),
        by: by.clone(),
        device: device_name(),
        continues: Some(Continues {
            sid: sid.to_string(),
            head: earlier.state.head.clone(),
            reason: reason.trim().to_string(),
        }),
    });
    let events: Vec<Event> = std::iter::once(opened).chain(carried(&earlier)).collect();
    let drafts = drafts(hangar, &earlier.plan, &events)?;
    let bytes = earlier
        .plan
        .to_bytes()
        .map_err(|error| HangarError::disk(error, "report this: it is a fault of the program"))?;
    let nothing = "nothing was begun; free space, or choose another hangar folder";
    hangar.folder.ensure(hangar.disk.as_ref()).map_err(|error| HangarError::disk(error, nothing))?;
    create_with(
        hangar.disk.clone(),
        &hangar.sessions_folder(),
        &new_sid,
        &bytes,
        drafts,
        &evidence(hangar, &earlier),
    )
    .map_err(|error| HangarError::disk(error, nothing))?;
    Ok(Begun { sid: new_sid, plan_hash: earlier.plan_hash, steps: earlier.plan.steps.len(), from_record: 0 })
}

/// What a session says of the one that it continues, and of the one that continues it: both show it.
pub fn neighbours(hangar: &Hangar, view: &Viewing) -> Vec<String> {
    let mut words = Vec::new();
    if let Some(earlier) = view.state.opened.as_ref().and_then(|told| told.what.continues.as_ref()) {
        words.push(format!("this session continues {:.12}: {}", earlier.sid, earlier.reason));
    }
    for other in sessions_that_continue(hangar, &view.sid) {
        let reason = other.reason;
        words
            .push(format!("this session is continued by {:.12}, begun {}: {reason}", other.sid, other.begun));
    }
    words
}

/// The session that continues this one.
pub(super) fn follower_of(hangar: &Hangar, sid: &str) -> Option<String> {
    sessions_that_continue(hangar, sid).into_iter().next().map(|follower| follower.sid)
}

struct Follower {
    sid: String,
    begun: String,
    reason: String,
}

fn sessions_that_continue(hangar: &Hangar, sid: &str) -> Vec<Follower> {
    let follower = |(folder, first, opened): (SessionFolder, Entry, Opened)| {
        let earlier = opened.continues.filter(|earlier| earlier.sid == sid)?;
        let begun = first.wall.get(..16).unwrap_or(&first.wall).replace('T', " ");
        Some(Follower { sid: folder.sid, begun, reason: earlier.reason })
    };
    others(hangar, sid).into_iter().filter_map(follower).collect()
}

fn may_continue(hangar: &Hangar, earlier: &Viewing, by: &Actor, reason: &str) -> Result<(), HangarError> {
    let declined =
        |why: String, next: &str| Err(HangarError::Declined(Declined { why, next: next.to_string() }));
    // A signed annual is opened again by who may sign one.
    let person = hangar.person(&by.id)?;
    if !person.authorisations.iter().any(|held| held.kind == AuthorisationKind::AnnualRelease) {
        return declined(
            format!("{} holds no authorisation to sign an annual", by.name),
            "let a certifier continue it; write your observation to the certifier",
        );
    }
    if earlier.state.signed.is_none() && earlier.integrity.is_empty() {
        return declined(
            "the session is not signed: it can be worked as it is".to_string(),
            "open it, and correct there; spanwise work",
        );
    }
    if earlier.entries.is_empty() {
        return declined("nothing of it can be read".to_string(), "begin a new annual");
    }
    if let Some(other) = sessions_that_continue(hangar, &earlier.sid).first() {
        return declined(
            format!("it is continued already by session {:.12}, begun {}", other.sid, other.begun),
            "work that one, or continue it in its turn",
        );
    }
    if reason.trim().is_empty() {
        return declined(
            "no reason is given".to_string(),
            "write why it is continued; both sessions show it",
        );
    }
    Ok(())
}

/// What is carried over, in its order, with the numbers that entries get in the new session.
fn carried(earlier: &Viewing) -> Vec<Event> {
    let mut numbers: BTreeMap<EntryNumber, EntryNumber> = BTreeMap::new();
    let mut events = Vec::new();
    for stamped in &earlier.entries {
        let Some(event) = carry(earlier, stamped, &numbers) else { continue };
        // What stood on paper stays told as that.
        let event = match stamped.event.paper() {
            Some(paper) => Event::FromPaper(FromPaper { paper: paper.clone(), event: Box::new(event) }),
            None => event,
        };
        numbers.insert(stamped.entry, events.len() as u64 + 1);
        events.push(Event::Carried(match &stamped.event {
            // Where it was recorded first stays told, however often it is carried on.
            Event::Carried(before) => Carried { event: Box::new(event), ..before.clone() },
            _ => Carried {
                sid: earlier.sid.clone(),
                from: stamped.entry,
                wall: stamped.wall.clone(),
                hash: stamped.hash.clone(),
                event: Box::new(event),
            },
        }));
    }
    events
}

fn carry(
    earlier: &Viewing,
    stamped: &Stamped,
    numbers: &BTreeMap<EntryNumber, EntryNumber>,
) -> Option<Event> {
    let mut event = stamped.event.inner().clone();
    let is_planned = |step: &str| earlier.plan.step(step).is_some();
    let reopened = |step: &str| {
        earlier.state.revisions.iter().any(|told| {
            told.stamp.entry > stamped.entry
                && (told.what.changed.iter().any(|id| id == step)
                    || told.what.added.iter().any(|id| id == step))
        })
    };
    // What was said of a step that the plan has no longer, or demands otherwise by now, stays in the earlier record.
    let holds = |step: &str| is_planned(step) && !reopened(step);
    let renumbered = |correction: &mut Option<Correction>| {
        *correction = correction.take().and_then(|correction| {
            Some(Correction { entry: *numbers.get(&correction.entry)?, ..correction })
        });
    };
    match &mut event {
        Event::Opened(_)
        | Event::RunStarted(_)
        | Event::Paused { .. }
        | Event::Resumed { .. }
        | Event::ClockStepped { .. }
        | Event::Recovered(_)
        | Event::PlanRevised(_)
        | Event::SignedOff(_)
        | Event::Countersigned(_)
        | Event::Carried(_)
        | Event::FromPaper(_) => return None,
        Event::Answered(answered) => {
            renumbered(&mut answered.corrects);
            return holds(&answered.step).then_some(event);
        }
        Event::ReadingTaken(taken) => {
            renumbered(&mut taken.corrects);
            return holds(&taken.step).then_some(event);
        }
        Event::Initialled(initialled) => return holds(&initialled.step).then_some(event),
        Event::IndependentlyInspected(inspected) => return holds(&inspected.step).then_some(event),
        Event::Withdrawn { entry, .. } => *entry = *numbers.get(entry)?,
        Event::Noted { step: Some(step), .. } if !is_planned(step) => return None,
        Event::EvidenceAdded(added) => {
            added.step = added.step.take().filter(|step| is_planned(step));
        }
        Event::DefectRaised(raised) => {
            raised.step = raised.step.take().filter(|step| is_planned(step));
        }
        _ => {}
    }
    Some(event)
}

/// The evidence files that are still what they were; a missing one is missing in the new session, too, and refused there.
fn evidence(hangar: &Hangar, earlier: &Viewing) -> Vec<(Hash, PathBuf)> {
    let files = Evidence::new(hangar.disk.clone(), &earlier.dir);
    let found = earlier.context(None).evidence.iter().filter(|(_, found)| **found == EvidenceFile::Present);
    let mut list = Vec::new();
    for (name, _) in found {
        if let Ok(hash) = name.parse::<Hash>() {
            let path = files.path_of(&hash);
            list.push((hash, path));
        }
    }
    list
}
