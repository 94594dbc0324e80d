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
            Purpose::Note { step: Some(step) } => say!("note on {step}", step),
            Purpose::Note { step: None } => say!("note").to_string(),
            Purpose::Initial { step } => say!("initials on {step}", step),
            Purpose::NotApplicable { step } => say!("\"not applicable\" of {step}", step),
            Purpose::CorrectAnswer { step } => say!("correction of {step}", step),
            Purpose::Reading { step, measure, .. } => say!("reading {measure} of {step}", measure, step),
            Purpose::Evidence { .. } => say!("evidence").to_string(),
            Purpose::Defect { step: Some(step) } => say!("defect of {step}", step),
            Purpose::Defect { step: None } => say!("defect").to_string(),
            Purpose::Dispose { defect } => say!("decision on {defect}", defect),
            Purpose::Rectify { defect } => say!("rectification of {defect}", defect),
            Purpose::Reinspect { defect } => say!("re-inspection of {defect}", defect),
            Purpose::Withdraw { entry } => say!("taking back of entry {entry}", entry),
            Purpose::SetAside { report } => say!("setting aside of {report}", report),
            Purpose::NewReport { kind } => say!("report of the kind {kind}", kind),
            Purpose::TakeUp => say!("taking up of another plan").to_string(),
            Purpose::Directive { directive } => say!("answer to {directive}", directive),
            Purpose::LifeItem { item } => say!("answer to {item}", item),
            Purpose::Inspect { step } => say!("independent inspection of {step}", step),
            Purpose::Pause => say!("pause").to_string(),
            Purpose::Opening => say!("proposed opening").to_string(),
            Purpose::Brief => say!("brief to a file").to_string(),
            Purpose::PaperHead => say!("sheet to enter").to_string(),
            Purpose::FromPaper { sheet } => say!("rows of sheet {sheet}", sheet),
            Purpose::Search => say!("search").to_string(),
            Purpose::ToEntry => say!("entry to go to").to_string(),
            Purpose::ToStep => say!("step to go to").to_string(),
            Purpose::Sign(_) => say!("sign-off").to_string(),
            Purpose::Continue => say!("continuing the session").to_string(),
            Purpose::Countersign => say!("countersignature").to_string(),
            Purpose::Rescue => say!("rescue copy").to_string(),
            Purpose::NewAirframe => say!("new airframe (n in the hangar)").to_string(),
            Purpose::RecordHead { registration } => say!("record of {registration}", registration),
            Purpose::AddEntry { file, list, of, .. } => {
                let list = list_word(list);
                match of.is_empty() {
                    true => say!("new {list} in {file}", list, file = file.words()),
                    false => say!("new {list} of {of} in {file}", list, of, file = file.words()),
                }
            }
            Purpose::ChangeEntry { file, spot, name } => {
                let list = list_word(spot.list);
                say!("{list} {name} in {file}", list, name, file = file.words())
            }
            Purpose::NewKey { person } => say!("key of {person}", person),
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
                format!("{ON_FILE}add {} {list} {of}", kept_file(file))
            }
            Purpose::ChangeEntry { file, spot, name } => {
                let below = spot.below.as_ref().map_or(String::new(), |(_, at)| at.to_string());
                format!("{ON_FILE}change {} {} {below} {name}", kept_file(file), spot.list)
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

/// One of a list, by the list's key.
fn list_word(list: &str) -> String {
    let word = match list {
        "report" => say!("of a pilot" => "report"),
        "directive" => say!("directive"),
        "compliance" => say!("compliance"),
        "life_item" => say!("life item"),
        "defect" => say!("defect"),
        "modification" => say!("modification"),
        "repair" => say!("repair"),
        "weighing" => say!("weighing"),
        "certificate" => say!("certificate"),
        "manual" => say!("manual"),
        "fitted" => say!("fitted"),
        "annual" => say!("annual"),
        "earlier_reading" => say!("earlier reading"),
        "reference" => say!("reference"),
        "person" => say!("person"),
        "authorisation" => say!("authorisation"),
        "instrument" => say!("instrument"),
        other => return other.replace('_', " "),
    };
    word.to_string()
}

/// A file by the words that it was always kept by, whatever language is spoken.
fn kept_file(file: &RecordFile) -> String {
    match file {
        RecordFile::Airframe(registration) => format!("the record of {registration}"),
        RecordFile::People => "the people register".to_string(),
        RecordFile::Instruments => "the instrument register".to_string(),
    }
}
