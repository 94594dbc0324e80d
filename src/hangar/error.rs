//! What can go wrong around a session, told as what, where and what to do next.

use std::fmt;

use crate::diagnostic::Diagnostic;
use crate::session::Declined;
use crate::store::StoreError;

#[derive(Debug)]
pub enum HangarError {
    /// Faults in files that people write.
    Files(Vec<Diagnostic>),
    /// The request was not recorded.
    Declined(Declined),
    /// The record is damaged: it can be shown, never continued.
    Damaged { why: String },
    /// Another program has the session open for writing.
    InUse { why: String },
    /// The disk failed while something was written.
    Disk { why: String, next: String },
    /// The disk is full. Nothing was lost, and the same can be recorded again once there is room.
    Full { why: String, next: String },
    /// The place cannot be written at all; it can be read.
    ReadOnly { why: String },
    /// Nothing of that name.
    NotFound { why: String, next: String },
}

impl HangarError {
    pub fn not_found(why: impl Into<String>, next: impl Into<String>) -> Self {
        HangarError::NotFound { why: why.into(), next: next.into() }
    }

    pub fn declined(why: impl Into<String>, next: impl Into<String>) -> Self {
        HangarError::Declined(Declined { why: why.into(), next: next.into() })
    }

    pub fn disk(why: impl fmt::Display, next: impl Into<String>) -> Self {
        HangarError::Disk { why: why.to_string(), next: next.into() }
    }

    /// A failure of the store, told by what it was: a full disk is no broken one.
    pub fn store(error: &StoreError, next: impl Into<String>) -> Self {
        if error.is_no_space() {
            let next = say!("make room on this disk, then do the same again").to_string();
            return HangarError::Full { why: error.to_string(), next };
        }
        HangarError::disk(error, next)
    }

    /// Why, and what to do next, for a screen that shows them apart.
    pub fn parts(&self) -> (String, String) {
        match self {
            HangarError::Files(faults) => {
                let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
                (lines.join("\n"), say!("correct the file, then try again").to_string())
            }
            HangarError::Declined(declined) => (declined.why.clone(), declined.next.clone()),
            HangarError::Damaged { why } => (
                say!("the record is damaged: {why}", why = why),
                say!("keep it as it is; begin a new session that names this one in a note").to_string(),
            ),
            HangarError::InUse { why } => {
                (why.clone(), say!("close the other program, or only look").to_string())
            }
            HangarError::ReadOnly { why } => (
                why.clone(),
                say!(
                    "it can be looked at; to go on, copy it to a place that can be written: spanwise rescue"
                )
                .to_string(),
            ),
            HangarError::Full { why, next }
            | HangarError::Disk { why, next }
            | HangarError::NotFound { why, next } => (why.clone(), next.clone()),
        }
    }
}

impl fmt::Display for HangarError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (why, next) = self.parts();
        write!(f, "{why}; {next}")
    }
}

impl std::error::Error for HangarError {}

impl From<Declined> for HangarError {
    fn from(declined: Declined) -> Self {
        HangarError::Declined(declined)
    }
}

impl From<Vec<Diagnostic>> for HangarError {
    fn from(faults: Vec<Diagnostic>) -> Self {
        HangarError::Files(faults)
    }
}
