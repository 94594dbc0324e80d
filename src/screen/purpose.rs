//! What a form is for. A draft is found again by it.

use crate::event::{EntryNumber, Outcome};

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Purpose {
    Note {
        step: Option<String>,
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
    Search,
    Sign(Outcome),
    Countersign,
    Rescue,
}

impl Purpose {
    /// For the list of drafts.
    pub fn words(&self) -> String {
        match self {
            Purpose::Note { step: Some(step) } => format!("note on {step}"),
            Purpose::Note { step: None } => "note".to_string(),
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
            Purpose::Directive { directive } => format!("answer to {directive}"),
            Purpose::LifeItem { item } => format!("answer to {item}"),
            Purpose::Inspect { step } => format!("independent inspection of {step}"),
            Purpose::Pause => "pause".to_string(),
            Purpose::Search => "search".to_string(),
            Purpose::Sign(_) => "sign-off".to_string(),
            Purpose::Countersign => "countersignature".to_string(),
            Purpose::Rescue => "rescue copy".to_string(),
        }
    }
}
