//! The sign-off, what the second person adds to it, and the signatures under both.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::{Actor, EntryNumber};
use crate::quantity::Number;

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Outcome {
    /// Airworthy: 14 CFR 43.11(a)(4).
    Release,
    /// Completed, not airworthy, with the list of discrepancies: 14 CFR 43.11(a)(5) and (b).
    NotAirworthy,
}

impl Outcome {
    pub fn word(self) -> &'static str {
        match self {
            Outcome::Release => mark!("released"),
            Outcome::NotAirworthy => mark!("completed, not airworthy"),
        }
    }
}

/// The signature over everything before it. Written whole or not at all: it is one entry.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct SignedOff {
    pub by: Actor,
    pub outcome: Outcome,
    /// The exact words that the signer saw.
    pub statement: String,
    pub certificate: String,
    pub authorisation: String,
    pub date: NaiveDate,
    /// Total time in service at sign-off, hours.
    pub hours: Number,
    pub launches: u32,
    /// Number of entries before this one, and the hash of the last of them.
    pub count: u64,
    pub head: String,
    pub plan: String,
    /// SHA-256 over the sorted list of evidence hashes and sizes.
    pub evidence: String,
    /// The list given to owner or operator; empty on release.
    pub discrepancies: Vec<Discrepancy>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub seal: Option<Seal>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Discrepancy {
    /// Id of the defect, directive or item it comes from.
    pub from: String,
    pub text: String,
}

/// A signature and the key that made it, both in OpenSSH's own text forms.
///
/// What is signed is never stored twice: [`crate::seal`] makes the signed text from the entry itself.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Seal {
    /// `ssh-ed25519 AAAA…`, without a comment.
    pub key: String,
    /// `-----BEGIN SSH SIGNATURE-----` …, as `ssh-keygen -Y sign` writes it.
    pub signature: String,
}

/// A second person's word on a signed session: the only kind of entry that may stand after the sign-off.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Countersigned {
    pub by: Actor,
    /// The sign-off that it is about: number and hash of its entry.
    pub entry: EntryNumber,
    pub hash: String,
    /// Authorisation number of the second person, where the register has one.
    pub authorisation: Option<String>,
    /// False: the second person has seen it and does not agree.
    pub agrees: bool,
    pub note: String,
    pub seal: Option<Seal>,
}
