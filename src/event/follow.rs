//! How a session goes on under another plan, and how one session goes on where another ended.

use serde::{Deserialize, Serialize};

use super::{Actor, EntryNumber, Event};

/// Why a session got another plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum RevisionCause {
    /// A newer checklist edition was taken up.
    Edition,
    /// A report or occurrence came in while the session ran.
    Report,
}

impl RevisionCause {
    pub fn word(self) -> &'static str {
        match self {
            RevisionCause::Edition => mark!("newer edition taken up"),
            RevisionCause::Report => mark!("report taken in"),
        }
    }
}

/// From here on the session is worked by another plan. Answers of unchanged steps hold; changed steps are to be
/// worked again; steps that the new plan does not have stay in the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanRevised {
    pub by: Actor,
    pub cause: RevisionCause,
    pub why: String,
    /// SHA-256 of the plan until now, and of the plan from now on, lower-case hex.
    pub previous: String,
    pub plan: String,
    /// Ids of the steps that are new, changed, and gone; in the order of the new plan, the gone ones in that of the old.
    pub added: Vec<String>,
    pub changed: Vec<String>,
    pub gone: Vec<String>,
}

/// An event of the session that this one continues, carried over at its beginning, in its order.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Carried {
    /// The session in which it was recorded, and its number, wall clock and hash there.
    pub sid: String,
    pub from: EntryNumber,
    pub wall: String,
    pub hash: String,
    /// As recorded there, but that it names entries by their numbers in this session.
    pub event: Box<Event>,
}
