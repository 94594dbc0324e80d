//! Directives, life-limited items, independent inspections.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Actor, Seal};

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
            DirectiveAnswer::Complied => mark!("complied with"),
            DirectiveAnswer::NotApplicable => mark!("not applicable"),
            DirectiveAnswer::NotYetDue => mark!("not yet due"),
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
            LifeAnswer::WithinLife => mark!("within its life"),
            LifeAnswer::Replaced => mark!("replaced or overhauled"),
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
            ControlCheck::Assembly => mark!("assembly"),
            ControlCheck::Locking => mark!("locking"),
            ControlCheck::Sense => mark!("sense of operation"),
            ControlCheck::Range => mark!("range of movement"),
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
    /// Number of entries before this one and the hash of the last of them: what the second person signed on.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub at: Option<Position>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal: Option<Seal>,
}

/// A place in the record.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Position {
    pub count: u64,
    pub head: String,
}
