//! What a form is for. A draft is found again by it.

use crate::airframe::sheet::{RecordFile, Spot};
use crate::event::{EntryNumber, Outcome};

/// Begins the key of forms that are kept in the hangar's folder, not in a session's.
pub const ON_FILE: &str = "file ";

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    Note {
        step: Option<String>,
    },
    /// What a person did of a step.
    Initial {
        step: String,
    },
    NotApplicable {
        step: String,
    },
    /// The answer of a step that is answered already.
    CorrectAnswer {
        step: String,
    },
    Reading {
        step: String,
        measure: String,
        corrects: Option<EntryNumber>,
    },
    Evidence {
        step: Option<String>,
        defect: Option<String>,
    },
    Defect {
        step: Option<String>,
    },
    Dispose {
        defect: String,
    },
    Rectify {
        defect: String,
    },
    Reinspect {
        defect: String,
    },
    Withdraw {
        entry: EntryNumber,
    },
    SetAside {
        report: String,
    },
    /// A report of this kind, into the airframe's record.
    NewReport {
        kind: String,
    },
    /// Another plan, as it was shown.
    TakeUp,
    Directive {
        directive: String,
    },
    LifeItem {
        item: String,
    },
    Inspect {
        step: String,
    },
    Pause,
    /// An opening proposed to the repairer.
    Opening,
    /// The brief, to a file.
    Brief,
    /// Which printed sheet is entered.
    PaperHead,
    /// The lines of a printed sheet.
    FromPaper {
        sheet: String,
    },
    Search,
    /// Of the replay: the number of an entry, and a step by id or title.
    ToEntry,
    ToStep,
    Sign(Outcome),
    Countersign,
    Continue,
    Rescue,
    NewAirframe,
    /// The keys above the lists of an airframe's record.
    RecordHead {
        registration: String,
    },
    /// `of`: the name of the entry that the new one belongs to, as a person's authorisation.
    AddEntry {
        file: RecordFile,
        list: &'static str,
        below: Option<(String, usize)>,
        of: String,
    },
    ChangeEntry {
        file: RecordFile,
        spot: Spot,
        name: String,
    },
    NewKey {
        person: String,
    },
}

impl Purpose {
    /// It asks the screen itself and records nothing: no draft is kept of it.
    pub fn asks_the_screen(&self) -> bool {
        matches!(self, Purpose::Search | Purpose::ToEntry | Purpose::ToStep | Purpose::PaperHead)
    }

    /// It changes a record or register of the hangar and belongs to no session.
    pub fn is_on_file(&self) -> bool {
        matches!(
            self,
            Purpose::NewAirframe
                | Purpose::RecordHead { .. }
                | Purpose::AddEntry { .. }
                | Purpose::ChangeEntry { .. }
                | Purpose::NewKey { .. }
        )
    }

    /// For the list of drafts.
    pub fn words(&self) -> String {
        match self {
            Purpose::Note { step: Some(step) } => format!("note on {step}"),
            Purpose::Note { step: None } => "note".to_string(),
            Purpose::Initial { step } => format!("initials on {step}"),
            Purpose::NotApplicable { step } => format!("\"not applicable\" of {step}"),
            Purpose::CorrectAnswer { step } => format!("correction of {step}"),
            Purpose::Reading { step, measure, .. } => format!("reading {measure} of {step}"),
            Purpose::Evidence { .. } => "evidence".to_string(),
            Purpose::Defect { step: Some(step) } => format!("defect of {step}"),
            Purpose::Defect { step: None } => "defect".to_string(),
            Purpose::Dispose { defect } => format!("decision on {defect}"),
            Purpose::Rectify { defect } => format!("rectification of {defect}"),
            Purpose::Reinspect { defect } => format!("re-inspection of {defect}"),
            Purpose::Withdraw { entry } => format!("taking back of entry {entry}"),
            Purpose::SetAside { report } => format!("setting aside of {report}"),
            Purpose::NewReport { kind } => format!("report of the kind {kind}"),
            Purpose::TakeUp => "taking up of another plan".to_string(),
            Purpose::Directive { directive } => format!("answer to {directive}"),
            Purpose::LifeItem { item } => format!("answer to {item}"),
            Purpose::Inspect { step } => format!("independent inspection of {step}"),
            Purpose::Pause => "pause".to_string(),
            Purpose::Opening => "proposed opening".to_string(),
            Purpose::Brief => "brief to a file".to_string(),
            Purpose::PaperHead => "sheet to enter".to_string(),
            Purpose::FromPaper { sheet } => format!("rows of sheet {sheet}"),
            Purpose::Search => "search".to_string(),
            Purpose::ToEntry => "entry to go to".to_string(),
            Purpose::ToStep => "step to go to".to_string(),
            Purpose::Sign(_) => "sign-off".to_string(),
            Purpose::Continue => "continuing the session".to_string(),
            Purpose::Countersign => "countersignature".to_string(),
            Purpose::Rescue => "rescue copy".to_string(),
            Purpose::NewAirframe => "new airframe (n in the hangar)".to_string(),
            Purpose::RecordHead { registration } => format!("record of {registration}"),
            Purpose::AddEntry { file, list, of, .. } => {
                let of = if of.is_empty() { String::new() } else { format!(" of {of}") };
                format!("new {}{of} in {}", list.replace('_', " "), file.words())
            }
            Purpose::ChangeEntry { file, spot, name } => {
                format!("{} {name} in {}", spot.list.replace('_', " "), file.words())
            }
            Purpose::NewKey { person } => format!("key of {person}"),
        }
    }

    /// By which typed text is found again in another run. `None` for what is not kept: a search is nothing to
    /// lose, a rescue copy is for a disk that no longer writes, and what confirms a signature is typed afresh.
    pub fn kept_as(&self) -> Option<String> {
        let of = |what: &Option<String>| what.as_deref().unwrap_or("-").to_string();
        Some(match self {
            Purpose::Note { step } => format!("note {}", of(step)),
            Purpose::Initial { step } => format!("initial {step}"),
            Purpose::NotApplicable { step } => format!("not-applicable {step}"),
            Purpose::CorrectAnswer { step } => format!("correct-answer {step}"),
            Purpose::Reading { step, measure, corrects } => {
                format!("reading {step} {measure} {}", of(&corrects.map(|entry| entry.to_string())))
            }
            Purpose::Evidence { step, defect } => format!("evidence {} {}", of(step), of(defect)),
            Purpose::Defect { step } => format!("defect {}", of(step)),
            Purpose::Dispose { defect } => format!("dispose {defect}"),
            Purpose::Rectify { defect } => format!("rectify {defect}"),
            Purpose::Reinspect { defect } => format!("reinspect {defect}"),
            Purpose::Withdraw { entry } => format!("withdraw {entry}"),
            Purpose::SetAside { report } => format!("set-aside {report}"),
            Purpose::NewReport { kind } => format!("new-report {kind}"),
            Purpose::Directive { directive } => format!("directive {directive}"),
            Purpose::LifeItem { item } => format!("life-item {item}"),
            Purpose::Inspect { step } => format!("inspect {step}"),
            Purpose::Pause => "pause".to_string(),
            Purpose::Opening => "opening".to_string(),
            Purpose::Brief => "brief".to_string(),
            Purpose::Continue => "continue".to_string(),
            Purpose::FromPaper { sheet } => format!("paper {sheet}"),
            Purpose::NewAirframe => format!("{ON_FILE}new"),
            Purpose::RecordHead { registration } => format!("{ON_FILE}head {registration}"),
            Purpose::AddEntry { file, list, of, .. } => {
                format!("{ON_FILE}add {} {list} {of}", file.words())
            }
            Purpose::ChangeEntry { file, spot, name } => {
                let below = spot.below.as_ref().map_or(String::new(), |(_, at)| at.to_string());
                format!("{ON_FILE}change {} {} {below} {name}", file.words(), spot.list)
            }
            // What would change is looked for afresh.
            Purpose::TakeUp
            | Purpose::Search
            | Purpose::PaperHead
            | Purpose::NewKey { .. }
            | Purpose::ToEntry
            | Purpose::ToStep
            | Purpose::Sign(_)
            | Purpose::Countersign
            | Purpose::Rescue => return None,
        })
    }
}
