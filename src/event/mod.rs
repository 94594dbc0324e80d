//! What happened, in the past tense. One event is one journal entry; nothing is ever rewritten.
//!
//! The kind word and the body's keys are the record's language: they never change their meaning. The body
//! holds no floating-point number; every measured value is kept as it was entered.

mod defect;
mod follow;
mod paper;
mod papers;
mod sign;
mod work;

use serde::{Deserialize, Serialize};

use crate::checklist::Configuration;

pub use defect::{DefectDisposed, DefectRaised, DefectRectified, Disposition, FromRecord};
pub use follow::{Carried, PlanRevised, RevisionCause};
pub use paper::{FromPaper, OnPaper};
pub use papers::{
    ControlCheck, DirectiveAnswer, DirectiveAnswered, IndependentlyInspected, LifeAnswer, LifeItemAnswered,
    Position,
};
pub use sign::{Countersigned, Discrepancy, Outcome, Seal, SignedOff};
pub use work::{
    Answered, Correction, EvidenceAdded, Initialled, InstrumentUse, ReadingTaken, ReadingValue, SeriesPoint,
    StepResult, TICKED, Used, initialled_words, ticked_work,
};

/// Sequence number of a journal entry.
pub type EntryNumber = u64;

/// Who did it. The name is kept beside the id so that the record can be read without the register.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Actor {
    pub id: String,
    pub name: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", content = "body", rename_all = "snake_case")]
pub enum Event {
    Opened(Opened),
    RunStarted(RunStarted),
    ConfigurationConfirmed {
        by: Actor,
        configuration: Configuration,
    },
    Answered(Answered),
    ReadingTaken(ReadingTaken),
    /// An answer or a reading taken back, with the reason; it stays in the record, struck through.
    Withdrawn {
        by: Actor,
        entry: EntryNumber,
        why: String,
    },
    Noted {
        by: Actor,
        step: Option<String>,
        text: String,
    },
    EvidenceAdded(EvidenceAdded),
    /// A helper says which work of a step was theirs. It accepts nothing: that is for the certifier's answer.
    Initialled(Initialled),
    DefectRaised(DefectRaised),
    DefectDisposed(DefectDisposed),
    DefectRectified(DefectRectified),
    /// Re-inspection of a rectified defect that no step found.
    DefectReinspected {
        by: Actor,
        defect: String,
        satisfactory: bool,
        note: String,
    },
    ReportSetAside {
        by: Actor,
        report: String,
        reason: String,
    },
    DirectiveAnswered(DirectiveAnswered),
    LifeItemAnswered(LifeItemAnswered),
    IndependentlyInspected(IndependentlyInspected),
    Paused {
        by: Actor,
        note: Option<String>,
    },
    Resumed {
        by: Actor,
    },
    ClockStepped {
        wall_before: String,
        wall_now: String,
        wall_change_ms: i64,
        elapsed_ms: i64,
    },
    /// Written by recovery: a torn fragment was set aside.
    Recovered(Recovered),
    PlanRevised(PlanRevised),
    Carried(Carried),
    FromPaper(FromPaper),
    SignedOff(SignedOff),
    Countersigned(Countersigned),
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Opened {
    pub format: u32,
    pub program: String,
    /// SHA-256 of `plan.json`, lower-case hex.
    pub plan: String,
    pub registration: String,
    pub type_id: String,
    pub serial: String,
    pub by: Actor,
    pub device: String,
    pub continues: Option<Continues>,
}

/// An earlier session that this one follows, by its id and the hash of its last entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Continues {
    pub sid: String,
    pub head: String,
    pub reason: String,
}

/// A program took the session up for writing. Shows where two copies of a session parted.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RunStarted {
    pub program: String,
    pub device: String,
    pub boot: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Recovered {
    pub byte_offset: u64,
    pub len: u64,
    pub sha256: String,
}

impl Event {
    /// Who did it, where a person did.
    pub fn actor(&self) -> Option<&Actor> {
        match self {
            Event::Opened(opened) => Some(&opened.by),
            Event::RunStarted(_) | Event::ClockStepped { .. } | Event::Recovered(_) => None,
            Event::ConfigurationConfirmed { by, .. }
            | Event::Withdrawn { by, .. }
            | Event::Noted { by, .. }
            | Event::DefectReinspected { by, .. }
            | Event::ReportSetAside { by, .. }
            | Event::Paused { by, .. }
            | Event::Resumed { by } => Some(by),
            Event::Answered(event) => Some(&event.by),
            Event::ReadingTaken(event) => Some(&event.by),
            Event::EvidenceAdded(event) => Some(&event.by),
            Event::Initialled(event) => Some(&event.by),
            Event::DefectRaised(event) => Some(&event.by),
            Event::DefectDisposed(event) => Some(&event.by),
            Event::DefectRectified(event) => Some(&event.by),
            Event::DirectiveAnswered(event) => Some(&event.by),
            Event::LifeItemAnswered(event) => Some(&event.by),
            Event::IndependentlyInspected(event) => Some(&event.by),
            Event::PlanRevised(event) => Some(&event.by),
            Event::Carried(event) => event.event.actor(),
            Event::FromPaper(event) => event.event.actor(),
            Event::SignedOff(event) => Some(&event.by),
            Event::Countersigned(event) => Some(&event.by),
        }
    }

    /// The event itself, or the one that was carried over from an earlier session or entered from paper.
    pub fn inner(&self) -> &Event {
        match self {
            Event::Carried(carried) => carried.event.inner(),
            Event::FromPaper(entered) => entered.event.inner(),
            other => other,
        }
    }

    /// Where it stood on paper, of what was entered from paper, in this session or in the one it was carried over from.
    pub fn paper(&self) -> Option<&OnPaper> {
        match self {
            Event::Carried(carried) => carried.event.paper(),
            Event::FromPaper(entered) => Some(&entered.paper),
            _ => None,
        }
    }

    /// The step that it concerns, where it concerns one.
    pub fn step(&self) -> Option<&str> {
        match self {
            Event::Answered(event) => Some(&event.step),
            Event::ReadingTaken(event) => Some(&event.step),
            Event::IndependentlyInspected(event) => Some(&event.step),
            Event::Noted { step, .. } => step.as_deref(),
            Event::EvidenceAdded(event) => event.step.as_deref(),
            Event::DefectRaised(event) => event.step.as_deref(),
            Event::Initialled(event) => Some(&event.step),
            Event::Carried(event) => event.event.step(),
            Event::FromPaper(event) => event.event.step(),
            _ => None,
        }
    }

    /// Kind word and body for the journal.
    pub fn to_parts(&self) -> Result<(String, serde_json::Value), EventUnreadable> {
        let unreadable =
            |error: serde_json::Error| EventUnreadable { kind: String::new(), why: error.to_string() };
        match serde_json::to_value(self).map_err(unreadable)? {
            serde_json::Value::Object(mut object) => {
                let kind = object.get("kind").and_then(|kind| kind.as_str()).unwrap_or_default().to_string();
                Ok((kind, object.remove("body").unwrap_or(serde_json::Value::Null)))
            }
            _ => Err(EventUnreadable { kind: String::new(), why: say!("it is no object").to_string() }),
        }
    }

    /// Reads the event back from a journal entry's kind word and body.
    pub fn from_parts(kind: &str, body: &serde_json::Value) -> Result<Event, EventUnreadable> {
        let object = serde_json::json!({ "kind": kind, "body": body });
        serde_json::from_value(object)
            .map_err(|error| EventUnreadable { kind: kind.to_string(), why: error.to_string() })
    }
}

/// A journal entry that this program does not understand.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EventUnreadable {
    pub kind: String,
    pub why: String,
}

impl std::fmt::Display for EventUnreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&say!("an entry of kind \"{}\" is not understood: {}", self.kind, self.why))
    }
}

impl std::error::Error for EventUnreadable {}
