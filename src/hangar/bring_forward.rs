//! Bringing the airframe's record up to date from a signed session.
//!
//! The signature stands whatever becomes of it: where the record cannot be written, the same is done later.

use std::path::Path;

use chrono::NaiveDate;

use super::continuing::follower_of;
use super::records::lock;
use super::{Hangar, HangarError, Viewing, summaries};
use crate::airframe::edit::edited;
use crate::airframe::{Airframe, read_airframe};
use crate::diagnostic::Source;
use crate::event::{Continues, SignedOff};
use crate::forward::{Signed, forward, is_brought};
use crate::session::Declined;
use crate::store::replace::replace;
use crate::store::texts::read_text;

/// What was brought forward.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Brought {
    pub sid: String,
    pub registration: String,
    /// One line for each change, and for what a person has to see to by hand.
    pub words: Vec<String>,
    /// The record held it already: nothing was changed.
    pub already: bool,
}

impl Brought {
    /// In one line, for a message behind a signature.
    pub fn summary(&self) -> String {
        let registration = &self.registration;
        if self.already {
            return format!("already there: the record of {registration} holds this annual");
        }
        format!(
            "the record of {registration} is brought forward, {} lines: spanwise carried {registration}",
            self.words.len()
        )
    }
}

/// A signed annual that the airframe's record does not hold.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotBrought {
    pub sid: String,
    pub registration: String,
    pub date: NaiveDate,
    pub outcome: &'static str,
}

impl NotBrought {
    pub fn why(&self) -> String {
        format!(
            "the annual of {} signed on {} ({}) was not brought forward: what it found would be missing here",
            self.registration, self.date, self.outcome
        )
    }

    pub fn next(&self) -> String {
        format!("spanwise bring-forward {:.12}", self.sid)
    }
}

/// Reads the record afresh, changes it, checks the new text with its reader, and puts it in the old one's place.
/// Doing it twice changes nothing.
///
/// # Errors
/// The session is not signed, damaged, or continued by another one; the record has faults, was changed meanwhile, or cannot
/// be written. Nothing is changed then.
pub fn bring_forward(hangar: &Hangar, sid: &str) -> Result<Brought, HangarError> {
    let view = Viewing::open(hangar, sid)?;
    let signed = may_bring(hangar, &view)?;
    let (earlier, first) = chain(hangar, &view, &signed);
    let session = Signed {
        sid: &view.sid,
        plan: &view.plan,
        state: &view.state,
        signed: &signed,
        earlier: &earlier,
        first: &first,
    };
    let registration = view.plan.airframe.registration.clone();
    let file = record_path(hangar, &registration)?;
    let change = |record: &Airframe| {
        let forward = forward(&session, record);
        (forward.edits, (forward.words, is_brought(record, &view.sid)))
    };
    let (words, already) = change_record(hangar, &file, change)?;
    Ok(Brought { sid: view.sid.clone(), registration, words, already })
}

fn declined<T>(why: impl Into<String>, next: impl Into<String>) -> Result<T, HangarError> {
    Err(HangarError::Declined(Declined { why: why.into(), next: next.into() }))
}

fn may_bring(hangar: &Hangar, view: &Viewing) -> Result<SignedOff, HangarError> {
    if let Some(problem) = view.integrity.first() {
        return Err(HangarError::Damaged { why: problem.clone() });
    }
    let Some(signed) = &view.state.signed else {
        return declined("the session is not signed", "only a signed annual is brought forward");
    };
    if let Some(later) = follower_of(hangar, &view.sid) {
        return declined(
            format!("session {:.12} is continued by {later:.12}, which tells the newer state", view.sid),
            format!("bring that one forward once it is signed: spanwise bring-forward {later:.12}"),
        );
    }
    Ok(signed.what.clone())
}

/// The sessions that this one continues, and the first sign-off among them.
fn chain(hangar: &Hangar, view: &Viewing, signed: &SignedOff) -> (Vec<String>, SignedOff) {
    let continues =
        |view: &Viewing| -> Option<Continues> { view.state.opened.as_ref()?.what.continues.clone() };
    let (mut earlier, mut first) = (Vec::new(), signed.clone());
    let mut next = continues(view);
    while let Some(before) = next.filter(|before| !earlier.contains(&before.sid)) {
        earlier.push(before.sid.clone());
        // One that is no longer at hand ends the search: its id is known all the same.
        let Ok(before) = Viewing::open(hangar, &before.sid) else { break };
        if let Some(told) = &before.state.signed {
            first = told.what.clone();
        }
        next = continues(&before);
    }
    (earlier, first)
}

/// The file of an airframe's record.
pub(super) fn record_path(hangar: &Hangar, registration: &str) -> Result<String, HangarError> {
    hangar.airframe(registration).map(|file| file.source.name.clone())
}

/// Changes a record's file: `change` sees the record as it stands on the disk now. Returns what `change` tells.
pub(super) fn change_record<T>(
    hangar: &Hangar,
    file: &str,
    change: impl FnOnce(&Airframe) -> (Vec<crate::airframe::edit::Edit>, T),
) -> Result<T, HangarError> {
    let _lock = lock(hangar)?;
    let path = Path::new(file);
    let read = || read_text(path, file).map_err(|fault| HangarError::Files(vec![fault]));
    let source = read()?;
    let record = read_airframe(&source).map_err(HangarError::Files)?;
    let (edits, told) = change(&record);
    if edits.is_empty() {
        return Ok(told);
    }
    let text = edited(&source.text, &edits)
        .map_err(|fault| HangarError::Declined(Declined { why: fault.why, next: fault.next }))?;
    read_airframe(&Source::new(file, &text)).map_err(HangarError::Files)?;
    if read()?.text != source.text {
        return declined(format!("{file} was changed meanwhile"), "nothing was changed; do the same again");
    }
    replace(hangar.disk.as_ref(), path, text.as_bytes())
        .map_err(|error| HangarError::store(&error, "the record is as it was; do the same again"))?;
    Ok(told)
}

/// The newest signed annual of this airframe where its record does not hold it. A record that names a later annual is
/// kept by hand, and right.
pub fn not_brought_forward(hangar: &Hangar, registration: &str) -> Option<NotBrought> {
    let record = hangar.airframe(registration).ok()?.airframe.as_ref().ok()?;
    let newest = summaries(hangar).into_iter().find(|session| {
        session.registration.eq_ignore_ascii_case(registration)
            && session.signed.is_some()
            && session.continued_by.is_none()
    })?;
    let (date, outcome) = newest.signed?;
    let by_hand = record.annuals.iter().map(|annual| annual.date).max().max(record.last_annual);
    if is_brought(record, &newest.sid) || by_hand.is_some_and(|last| last > date) {
        return None;
    }
    Some(NotBrought {
        sid: newest.sid,
        registration: record.registration.clone(),
        date,
        outcome: outcome.word(),
    })
}
