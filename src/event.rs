//! What happened, in the past tense. One event is one journal entry; nothing is ever rewritten.
//!
//! The kind word and the body's keys are the record's language: they never change their meaning. The body
//! holds no floating-point number; every measured value is kept as it was entered.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::checklist::{Configuration, Severity};
use crate::quantity::{Number, Quantity};

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
    SignedOff(SignedOff),
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

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum StepResult {
    Passed,
    Failed,
    NotApplicable,
}

impl StepResult {
    pub fn word(self) -> &'static str {
        match self {
            StepResult::Passed => "passed",
            StepResult::Failed => "failed",
            StepResult::NotApplicable => "not applicable",
        }
    }
}

/// An earlier entry that this one replaces, and why. The earlier one stays, struck through.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Correction {
    pub entry: EntryNumber,
    pub why: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Answered {
    pub by: Actor,
    pub step: String,
    pub result: StepResult,
    /// Demanded for "not applicable"; otherwise free.
    pub reason: Option<String>,
    pub corrects: Option<Correction>,
    /// The rectified defect after which the step was worked again.
    pub reinspects: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct ReadingTaken {
    pub by: Actor,
    pub step: String,
    pub measure: String,
    pub value: ReadingValue,
    pub instrument: Option<InstrumentUse>,
    /// Of a load–deflection series: what the load was read with; `instrument` is then that of the deflection.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub load_instrument: Option<InstrumentUse>,
    pub corrects: Option<Correction>,
}

/// What a reading was taken with.
#[derive(Debug, Clone, Copy, Default)]
pub struct Used<'a> {
    pub instrument: Option<&'a InstrumentUse>,
    /// What the load of a series was read with.
    pub load: Option<&'a InstrumentUse>,
}

impl Used<'_> {
    /// The ids, where an instrument was named.
    pub fn ids(&self) -> Option<String> {
        let ids: Vec<&str> =
            [self.instrument, self.load].into_iter().flatten().map(|used| used.id.as_str()).collect();
        (!ids.is_empty()).then(|| ids.join(" and "))
    }
}

impl ReadingTaken {
    pub fn used(&self) -> Used<'_> {
        Used { instrument: self.instrument.as_ref(), load: self.load_instrument.as_ref() }
    }
}

/// A reading as entered, with the unit as entered.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum ReadingValue {
    Number {
        quantity: Quantity,
    },
    Pair {
        left: Quantity,
        right: Quantity,
    },
    Count {
        count: u32,
    },
    Choice {
        choice: String,
    },
    Text {
        text: String,
    },
    Date {
        date: NaiveDate,
    },
    Series {
        points: Vec<SeriesPoint>,
    },
    /// A table of readings exactly as it was taken in.
    Table {
        text: String,
    },
}

/// One line of a load–deflection table, in the order in which it was read.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SeriesPoint {
    pub direction: String,
    /// True while the load grows, false on the way back down.
    pub loading: bool,
    /// Without sign: the direction tells it.
    pub load: Quantity,
    pub deflection: Quantity,
}

/// The instrument as the register described it on the day of the reading.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct InstrumentUse {
    pub id: String,
    pub title: String,
    pub calibration_due: Option<NaiveDate>,
    pub resolution: Option<Quantity>,
    /// Expanded uncertainty of the certificate, k = 2.
    pub uncertainty: Option<Quantity>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct EvidenceAdded {
    pub by: Actor,
    pub step: Option<String>,
    /// Id of the step's evidence demand that it answers.
    pub demand: Option<String>,
    pub defect: Option<String>,
    pub sha256: String,
    pub bytes: u64,
    pub name: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DefectRaised {
    pub by: Actor,
    /// `d1`, `d2` … in the order of raising.
    pub defect: String,
    pub step: Option<String>,
    pub what: String,
    pub component: Option<String>,
    pub side: Option<String>,
    /// From the type's datum.
    pub station_mm: Option<Number>,
    pub severity: Severity,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Disposition {
    /// Put right now, then inspected again by the step.
    Rectify,
    /// Handed to a repairer; the airframe stays on the ground.
    Refer,
    /// Left within what the rules allow, with a limit.
    Defer,
    /// The airframe is grounded.
    NotAirworthy,
}

impl Disposition {
    pub const WORDS: [(&'static str, Disposition); 4] = [
        ("rectify", Disposition::Rectify),
        ("refer", Disposition::Refer),
        ("defer", Disposition::Defer),
        ("not-airworthy", Disposition::NotAirworthy),
    ];

    pub fn word(self) -> &'static str {
        match self {
            Disposition::Rectify => "rectify",
            Disposition::Refer => "refer",
            Disposition::Defer => "defer",
            Disposition::NotAirworthy => "not airworthy",
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DefectDisposed {
    pub by: Actor,
    pub defect: String,
    pub disposition: Disposition,
    pub note: String,
    /// Limit of a deferral.
    pub until: Option<NaiveDate>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DefectRectified {
    pub by: Actor,
    pub defect: String,
    /// What was done, with the data used.
    pub work: String,
    /// A flight-control connection was disturbed: an independent inspection is needed.
    pub disturbed_controls: bool,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DirectiveAnswer {
    Complied,
    NotApplicable,
    /// Repeating or dated, and its due date lies ahead.
    NotYetDue,
}

impl DirectiveAnswer {
    pub const WORDS: [(&'static str, DirectiveAnswer); 3] = [
        ("complied", DirectiveAnswer::Complied),
        ("not-applicable", DirectiveAnswer::NotApplicable),
        ("not-yet-due", DirectiveAnswer::NotYetDue),
    ];

    pub fn word(self) -> &'static str {
        match self {
            DirectiveAnswer::Complied => "complied with",
            DirectiveAnswer::NotApplicable => "not applicable",
            DirectiveAnswer::NotYetDue => "not yet due",
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DirectiveAnswered {
    pub by: Actor,
    pub directive: String,
    pub answer: DirectiveAnswer,
    pub note: String,
    /// When it falls due again.
    pub next_due: Option<NaiveDate>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum LifeAnswer {
    WithinLife,
    Replaced,
}

impl LifeAnswer {
    pub const WORDS: [(&'static str, LifeAnswer); 2] =
        [("within-life", LifeAnswer::WithinLife), ("replaced", LifeAnswer::Replaced)];

    pub fn word(self) -> &'static str {
        match self {
            LifeAnswer::WithinLife => "within its life",
            LifeAnswer::Replaced => "replaced or overhauled",
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LifeItemAnswered {
    pub by: Actor,
    pub item: String,
    pub answer: LifeAnswer,
    pub note: String,
    /// Where it was replaced: when the new one falls due.
    pub next_due: Option<NaiveDate>,
}

/// What the second person looked at (AMC to M.A.402: assembly, locking, sense of operation; range of movement).
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum ControlCheck {
    Assembly,
    Locking,
    Sense,
    Range,
}

impl ControlCheck {
    pub const ALL: [ControlCheck; 4] =
        [ControlCheck::Assembly, ControlCheck::Locking, ControlCheck::Sense, ControlCheck::Range];

    pub const WORDS: [(&'static str, ControlCheck); 4] = [
        ("assembly", ControlCheck::Assembly),
        ("locking", ControlCheck::Locking),
        ("sense", ControlCheck::Sense),
        ("range", ControlCheck::Range),
    ];

    pub fn word(self) -> &'static str {
        match self {
            ControlCheck::Assembly => "assembly",
            ControlCheck::Locking => "locking",
            ControlCheck::Sense => "sense of operation",
            ControlCheck::Range => "range of movement",
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct IndependentlyInspected {
    pub by: Actor,
    pub step: String,
    /// Which connections, in words.
    pub connections: String,
    pub checked: Vec<ControlCheck>,
    pub satisfactory: bool,
    /// Authorisation number of the second person, where the register has one.
    pub authorisation: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Recovered {
    pub byte_offset: u64,
    pub len: u64,
    pub sha256: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Airworthy: 14 CFR 43.11(a)(4).
    Release,
    /// Completed, not airworthy, with the list of discrepancies: 14 CFR 43.11(a)(5) and (b).
    NotAirworthy,
}

impl Outcome {
    pub fn word(self) -> &'static str {
        match self {
            Outcome::Release => "released",
            Outcome::NotAirworthy => "completed, not airworthy",
        }
    }
}

/// The signature over everything before it. Written whole or not at all: it is one entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SignedOff {
    pub by: Actor,
    pub outcome: Outcome,
    /// The exact words that the signer saw.
    pub statement: String,
    pub certificate: String,
    pub authorisation: String,
    pub date: NaiveDate,
    /// Total time in service at sign-off, hours.
    pub hours: Number,
    pub launches: u32,
    /// Number of entries before this one, and the hash of the last of them.
    pub count: u64,
    pub head: String,
    pub plan: String,
    /// SHA-256 over the sorted list of evidence hashes and sizes.
    pub evidence: String,
    /// The list given to owner or operator; empty on release.
    pub discrepancies: Vec<Discrepancy>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Discrepancy {
    /// Id of the defect, directive or item it comes from.
    pub from: String,
    pub text: String,
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
            Event::DefectRaised(event) => Some(&event.by),
            Event::DefectDisposed(event) => Some(&event.by),
            Event::DefectRectified(event) => Some(&event.by),
            Event::DirectiveAnswered(event) => Some(&event.by),
            Event::LifeItemAnswered(event) => Some(&event.by),
            Event::IndependentlyInspected(event) => Some(&event.by),
            Event::SignedOff(event) => Some(&event.by),
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
            _ => Err(EventUnreadable { kind: String::new(), why: "it is no object".to_string() }),
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
        write!(f, "an entry of kind \"{}\" is not understood: {}", self.kind, self.why)
    }
}

impl std::error::Error for EventUnreadable {}
