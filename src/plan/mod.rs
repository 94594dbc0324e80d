//! The frozen plan of one session: programme, supplement and the modules that the reports select.
//!
//! A plan is made once, by [`compose`], and never changes afterwards; its hash stands in the first journal
//! entry. A newer checklist edition does not touch it.

mod changed;
mod compose;
mod order;
mod tighten;
mod why;

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};
use sha2::{Digest, Sha256};

use crate::airframe::Airframe;
use crate::checklist::{Section, Step, TypeData};

pub use compose::{ComposeInput, compose};
pub use why::SelectedModule;

/// Layout version of `plan.json`.
pub const PLAN_FORMAT: u32 = 1;

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Plan {
    pub format: u32,
    pub airframe: Airframe,
    pub of_type: Option<TypeData>,
    pub editions: Vec<Edition>,
    pub reports: Vec<PlannedReport>,
    pub sections: Vec<Section>,
    pub steps: Vec<PlanStep>,
    pub withdrawn: Vec<WithdrawnStep>,
}

/// A checklist edition that went into the plan.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Edition {
    pub id: String,
    pub version: String,
    pub kind: String,
    pub title: String,
    /// SHA-256 of the file's bytes, lower-case hex.
    pub sha256: String,
    pub source: String,
}

/// A recorded report or occurrence and what it selected.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlannedReport {
    pub id: String,
    pub kind: String,
    pub date: chrono::NaiveDate,
    pub by: String,
    pub text: String,
    /// Ids of the modules selected; empty means that it must be set aside in writing.
    pub modules: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PlanStep {
    #[serde(flatten)]
    pub step: Step,
    pub origin: Origin,
    /// Ids of the reports for which it is here; empty for steps of every annual.
    pub because: Vec<String>,
    pub changes: Vec<Change>,
}

/// Where a step was written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Origin {
    pub checklist: String,
    pub version: String,
    pub line: u32,
}

/// What a supplement changed, and why.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Change {
    pub by: String,
    /// In English, as it goes into the record; [`Change::words`] shows it.
    pub what: String,
    pub reason: String,
    /// Line of the supplement's file. Plans frozen before it was kept have none, and keep their hash.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<u32>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct WithdrawnStep {
    pub id: String,
    pub title: String,
    pub by: String,
    pub reason: String,
    /// As in [`Change`].
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub line: Option<u32>,
}

/// Why bytes are no plan that this program can use.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlanUnreadable(pub String);

impl std::fmt::Display for PlanUnreadable {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&say!("the frozen plan cannot be read: {}", self.0))
    }
}

impl std::error::Error for PlanUnreadable {}

impl Plan {
    pub fn step(&self, id: &str) -> Option<&PlanStep> {
        self.steps.iter().find(|step| step.step.id == id)
    }

    pub fn position(&self, id: &str) -> Option<usize> {
        self.steps.iter().position(|step| step.step.id == id)
    }

    pub fn section_title(&self, id: &str) -> Option<&str> {
        self.sections.iter().find(|section| section.id == id).map(|section| section.title.as_str())
    }

    /// Canonical JSON (RFC 8785): the bytes that are hashed and stored.
    pub fn to_bytes(&self) -> Result<Vec<u8>, PlanUnreadable> {
        serde_json_canonicalizer::to_vec(self).map_err(|error| PlanUnreadable(error.to_string()))
    }

    pub fn from_bytes(bytes: &[u8]) -> Result<Plan, PlanUnreadable> {
        let plan: Plan = serde_json::from_slice(bytes).map_err(|error| PlanUnreadable(error.to_string()))?;
        if plan.format != PLAN_FORMAT {
            return Err(PlanUnreadable(say!(
                "it has layout {}, and this program knows {known}",
                plan.format,
                known = PLAN_FORMAT
            )));
        }
        Ok(plan)
    }
}

/// The plans that one session was worked by, each under its hash: the first, and every one that a revision took up.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Plans {
    first: Plan,
    later: BTreeMap<String, Plan>,
}

impl Plans {
    pub fn new(first: Plan) -> Plans {
        Plans { first, later: BTreeMap::new() }
    }

    pub fn first(&self) -> &Plan {
        &self.first
    }

    /// A later plan by its hash.
    pub fn of(&self, hash: &str) -> Option<&Plan> {
        self.later.get(hash)
    }

    pub fn add(&mut self, hash: String, plan: Plan) {
        self.later.insert(hash, plan);
    }
}

/// Lower-case hex SHA-256 of the exact plan bytes.
pub fn plan_hash(bytes: &[u8]) -> String {
    hex(&Sha256::digest(bytes))
}

pub(crate) fn hex(bytes: &[u8]) -> String {
    bytes.iter().map(|byte| format!("{byte:02x}")).collect()
}
