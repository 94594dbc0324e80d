//! Why a pack is not made or not installed.

use std::fmt;

use crate::diagnostic::{Diagnostic, render};
use crate::hangar::HangarError;
use crate::words::date;

/// An edition that is at hand with another content than the pack's.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Conflict {
    pub edition: String,
    /// Where the one at hand lies.
    pub at_hand: String,
    pub sha256_at_hand: String,
    pub sha256_in_pack: String,
}

impl Conflict {
    fn words(&self) -> String {
        say!(
            "{edition} is at hand with another content: {at_hand}\n    at hand      {sha256_at_hand}\n    \
             in the pack  {sha256_in_pack}",
            edition = self.edition,
            at_hand = self.at_hand,
            sha256_at_hand = self.sha256_at_hand,
            sha256_in_pack = self.sha256_in_pack
        )
    }
}

#[derive(Debug)]
pub enum Refusal {
    /// Nothing vouches for the key; with what could be done.
    NotVouched {
        sentence: String,
        next: &'static str,
    },
    /// Faults in the pack's own editions.
    Contents(Vec<Diagnostic>),
    /// Faults in the hangar's own checklists.
    OwnFaults(Vec<Diagnostic>),
    /// Requirements that nothing at hand and nothing in the pack meets.
    Requirements(Vec<Diagnostic>),
    Conflicts(Vec<Conflict>),
    /// A later pack of this name and author is installed.
    Older {
        made_on: chrono::NaiveDate,
        installed: chrono::NaiveDate,
    },
    /// Anything else, with what to do.
    Declined {
        why: String,
        next: String,
    },
    Failed(HangarError),
}

impl Refusal {
    pub fn declined(why: impl Into<String>, next: impl Into<String>) -> Refusal {
        Refusal::Declined { why: why.into(), next: next.into() }
    }
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Refusal::NotVouched { sentence, next } => {
                f.write_str(&say!("it is {sentence}; {next}", sentence = sentence, next = next))
            }
            Refusal::Contents(faults) => {
                let next = say!("the pack's editions have faults; ask its author for a repaired one");
                write!(f, "{}\n{next}", shown(faults))
            }
            Refusal::OwnFaults(faults) => {
                let next =
                    say!("the hangar's own checklists have faults; correct them first (spanwise check)");
                write!(f, "{}\n{next}", shown(faults))
            }
            Refusal::Requirements(faults) => {
                let next = say!("the pack requires what is not at hand; install that first");
                write!(f, "{}\n{next}", shown(faults))
            }
            Refusal::Conflicts(conflicts) => {
                for conflict in conflicts {
                    writeln!(f, "{}", conflict.words())?;
                }
                f.write_str(say!(
                    "an issued edition is never overwritten; ask the author to issue it under a version of its own"
                ))
            }
            Refusal::Older { made_on, installed } => f.write_str(&say!(
                "it was made on {made_on}, and a later pack of this name and author, made on {installed}, is installed: \
                 it may hold what its author has taken back; install it all the same with --older --why \"…\"",
                made_on = date(*made_on),
                installed = date(*installed)
            )),
            Refusal::Declined { why, next } => write!(f, "{why}; {next}"),
            Refusal::Failed(error) => error.fmt(f),
        }
    }
}

fn shown(faults: &[Diagnostic]) -> String {
    render(faults, false)
}

impl From<HangarError> for Refusal {
    fn from(error: HangarError) -> Self {
        Refusal::Failed(error)
    }
}
