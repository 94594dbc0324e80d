//! Bringing the airframe's record up to date from a signed session.
//!
//! The signature stands whatever becomes of it: where the record cannot be written, the same is done later.

use chrono::NaiveDate;

use super::continuing::follower_of;
use super::records::edit_by;
use super::{Hangar, HangarError, Viewing, summaries};
use crate::airframe::edit::Edit;
use crate::airframe::sheet::RecordFile;
use crate::airframe::{Airframe, read_airframe};
use crate::event::{Continues, SignedOff};
use crate::forward::{Signed, forward, is_brought};
use crate::words::{date, said};

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
            return say!(
                "already there: the record of {registration} holds this annual",
                registration = registration
            );
        }
        say!(
            "the record of {registration} is brought forward, {} lines: spanwise carried {registration}",
            self.words.len(),
            registration = registration
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
        say!(
            "the annual of {} signed on {} ({}) was not brought forward: what it found would be missing here",
            self.registration,
            date(self.date),
            said(self.outcome)
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
    let change = |record: &Airframe| {
        let forward = forward(&session, record);
        (forward.edits, (forward.words, is_brought(record, &view.sid)))
    };
    let (words, already) = change_record(hangar, &registration, change)?;
    Ok(Brought { sid: view.sid.clone(), registration, words, already })
}

fn may_bring(hangar: &Hangar, view: &Viewing) -> Result<SignedOff, HangarError> {
    if let Some(problem) = view.integrity.first() {
        return Err(HangarError::Damaged { why: problem.clone() });
    }
    let Some(signed) = &view.state.signed else {
        return Err(HangarError::declined(
            say!("the session is not signed"),
            say!("only a signed annual is brought forward"),
        ));
    };
    if let Some(later) = follower_of(hangar, &view.sid) {
        return Err(HangarError::declined(
            say!(
                "session {} is continued by {later}, which tells the newer state",
                format_args!("{:.12}", view.sid),
                later = format_args!("{:.12}", later)
            ),
            say!(
                "bring that one forward once it is signed: spanwise bring-forward {later}",
                later = format_args!("{:.12}", later)
            ),
        ));
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

/// Changes an airframe's record by what it says. Returns what `change` tells.
pub(super) fn change_record<T>(
    hangar: &Hangar,
    registration: &str,
    change: impl FnOnce(&Airframe) -> (Vec<Edit>, T),
) -> Result<T, HangarError> {
    edit_by(hangar, &RecordFile::Airframe(registration.to_string()), |source| {
        Ok(change(&read_airframe(source).map_err(HangarError::Files)?))
    })
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
