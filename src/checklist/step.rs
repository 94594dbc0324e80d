//! One step of a checklist, as a frozen plan carries it.

use serde::{Deserialize, Serialize};

use super::{Condition, Configuration, LaidOpen, Measure};
use crate::source::Located;
use crate::vocabulary::Severity;

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Section {
    pub id: String,
    pub title: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Step {
    pub id: String,
    pub section: Located<String>,
    pub title: String,
    pub instruction: String,
    pub caution: Option<String>,
    pub mandatory: bool,
    pub may_be_not_applicable: bool,
    /// Rule ids that this step answers.
    pub basis: Vec<Located<String>>,
    pub configuration: Configuration,
    /// Steps that must be answered before.
    pub after: Vec<Located<String>>,
    /// It comes after every step that is not last itself. Plans frozen before this key existed have none.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub last: bool,
    /// Hands needed.
    pub people: u32,
    pub minutes: u32,
    pub kit: Vec<String>,
    /// A load is applied to the structure.
    pub loads: bool,
    /// A second person must inspect what this step connects or disturbs.
    pub independent: bool,
    pub when: Vec<Condition>,
    pub evidence: Vec<EvidenceDemand>,
    pub measures: Vec<Measure>,
    pub on_failure: Option<OnFailure>,
    /// Places that can be looked at only in some configuration. Plans frozen before these were known have none of them,
    /// and keep their hash.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub looks_at: Vec<LaidOpen>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct EvidenceDemand {
    pub id: String,
    pub kind: EvidenceKind,
    pub count: u32,
    /// What it must show.
    pub what: String,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum EvidenceKind {
    Photo,
    Film,
    Recording,
    Document,
}

impl EvidenceKind {
    pub const WORDS: [(&'static str, EvidenceKind); 4] = [
        (mark!("photo"), EvidenceKind::Photo),
        (mark!("film"), EvidenceKind::Film),
        (mark!("recording"), EvidenceKind::Recording),
        (mark!("document"), EvidenceKind::Document),
    ];

    pub fn word(self) -> &'static str {
        EvidenceKind::WORDS.iter().find(|(_, kind)| *kind == self).map_or("file", |(word, _)| word)
    }
}

/// What a failure usually means; a hint for the inspector, never a verdict.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct OnFailure {
    pub severity: Severity,
    pub hint: Option<String>,
    /// Steps worth pulling forward after a failure.
    pub follow: Vec<Located<String>>,
    /// The checklist allows a defect of this step to be deferred with a limit.
    pub may_defer: bool,
}

impl Step {
    pub fn measure(&self, id: &str) -> Option<&Measure> {
        self.measures.iter().find(|measure| measure.id == id)
    }
}
