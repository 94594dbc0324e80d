//! Everything that can be recorded in a running session.

use chrono::NaiveDate;

use crate::checklist::{Configuration, Severity};
use crate::event::{
    ControlCheck, DirectiveAnswer, Disposition, EntryNumber, LifeAnswer, ReadingValue, StepResult,
};
use crate::quantity::Number;

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Request {
    Confirm(Configuration),
    /// `why` is demanded when an answer already stands: then this is a correction.
    Answer {
        step: String,
        result: StepResult,
        reason: Option<String>,
        why: Option<String>,
    },
    /// `corrects` names the entry of the reading that this one replaces.
    Read {
        step: String,
        measure: String,
        value: ReadingValue,
        instrument: Option<String>,
        corrects: Option<EntryNumber>,
        why: Option<String>,
    },
    Withdraw {
        entry: EntryNumber,
        why: String,
    },
    Note {
        step: Option<String>,
        text: String,
    },
    /// Say which work of a step one did oneself; accepting it is the certifier's answer.
    Initial {
        step: String,
        work: String,
    },
    AddEvidence {
        step: Option<String>,
        demand: Option<String>,
        defect: Option<String>,
        sha256: String,
        bytes: u64,
        name: String,
    },
    RaiseDefect(NewDefect),
    DisposeDefect {
        defect: String,
        disposition: Disposition,
        note: String,
        until: Option<NaiveDate>,
    },
    RectifyDefect {
        defect: String,
        work: String,
        disturbed_controls: bool,
    },
    ReinspectDefect {
        defect: String,
        satisfactory: bool,
        note: String,
    },
    SetReportAside {
        report: String,
        reason: String,
    },
    AnswerDirective {
        directive: String,
        answer: DirectiveAnswer,
        note: String,
        next_due: Option<NaiveDate>,
    },
    AnswerLifeItem {
        item: String,
        answer: LifeAnswer,
        note: String,
        next_due: Option<NaiveDate>,
    },
    InspectIndependently {
        step: String,
        connections: String,
        checked: Vec<ControlCheck>,
        satisfactory: bool,
    },
    Pause {
        note: Option<String>,
    },
    Resume,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NewDefect {
    pub step: Option<String>,
    pub what: String,
    pub component: Option<String>,
    pub side: Option<String>,
    /// From the type's datum.
    pub station_mm: Option<Number>,
    pub severity: Severity,
}
