//! What the checklist demands: TOML source read into checked, typed steps with their places kept.
//!
//! Three kinds exist. A *programme* is the general annual; a *type supplement* adds to it, tightens it and,
//! with a reason, withdraws from it; a *targeted module* is selected by reports and occurrences.

mod condition;
mod configuration;
mod configuration_words;
pub mod format;
mod hidden;
mod laid_open;
mod library;
mod measure;
mod outline;
pub mod prose;
mod read;
mod read_hidden;
mod read_measure;
mod read_outline;
mod read_supplement;
mod step;
mod supplement;

use std::sync::Arc;

use chrono::NaiveDate;
use semver::{Version, VersionReq};

use crate::diagnostic::Source;
use crate::source::Located;

pub use crate::vocabulary::Severity;
pub use condition::{Circumstances, Condition};
pub use configuration::{Aspect, Configuration, Setting};
pub use configuration_words::{aspect_words, configuration_words, setting_words};
pub use hidden::{HiddenItem, HiddenKind, MappedArea, Side, component_words, same_component};
pub use laid_open::LaidOpen;
pub use library::{Library, builtin_register, builtin_sources, misplaced};
pub use measure::{Guard, Measure, MeasureKind, SeriesDemand};
pub use outline::{Outline, TailplanePlace};
pub use read::{TITLE_LIMIT, read_checklist, read_checklist_through};
pub use step::{EvidenceDemand, EvidenceKind, OnFailure, Section, Step};
pub use supplement::{BuildStandard, StatedVariation, Supplement, Tightening, TypeData, Withdrawal};

/// The file format that this program reads.
pub const FORMAT: u32 = 1;

/// One issued edition of a checklist, read and checked by itself.
#[derive(Debug, Clone)]
pub struct Checklist {
    pub source: Arc<Source>,
    pub id: Located<String>,
    pub version: Located<Version>,
    pub title: String,
    pub issued: NaiveDate,
    pub author: String,
    pub about: String,
    pub requires: Vec<Requirement>,
    pub kind: Kind,
    pub sections: Vec<Located<Section>>,
    pub steps: Vec<Located<Step>>,
}

/// Another checklist that this one builds on.
#[derive(Debug, Clone)]
pub struct Requirement {
    pub id: Located<String>,
    pub range: VersionReq,
}

#[derive(Debug, Clone)]
pub enum Kind {
    Programme,
    Supplement(Box<Supplement>),
    Module(Selection),
}

/// Which report and occurrence kinds select a module.
#[derive(Debug, Clone, Default)]
pub struct Selection {
    pub reports: Vec<Located<String>>,
    pub occurrences: Vec<Located<String>>,
}

impl Selection {
    pub fn selects(&self, kind: &str) -> bool {
        self.reports.iter().chain(&self.occurrences).any(|selected| selected.value == kind)
    }
}

impl Kind {
    pub fn word(&self) -> &'static str {
        match self {
            Kind::Programme => "programme",
            Kind::Supplement(_) => "supplement",
            Kind::Module(_) => "module",
        }
    }
}

impl Checklist {
    pub fn step(&self, id: &str) -> Option<&Located<Step>> {
        self.steps.iter().find(|step| step.value.id == id)
    }
}
