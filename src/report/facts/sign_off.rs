//! The sign-off and the signatures under it.

use serde::Serialize;

use super::Mark;
use crate::seal::key_id;
use crate::state::State;

#[derive(Debug, Clone, Serialize)]
pub struct SignOffFacts {
    #[serde(flatten)]
    pub mark: Mark,
    pub outcome: String,
    pub statement: String,
    /// Kind of certificate, and its number.
    pub certificate: String,
    pub authorisation: String,
    pub date: String,
    pub hours: String,
    pub launches: u32,
    /// Number of entries before the sign-off and the hash of the last of them.
    pub count: u64,
    pub head: String,
    pub plan: String,
    pub evidence: String,
    pub discrepancies: Vec<DiscrepancyFacts>,
    /// Fingerprint of the key that signed; none on a session without a seal.
    pub key: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct DiscrepancyFacts {
    pub from: String,
    pub text: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct Countersignature {
    #[serde(flatten)]
    pub mark: Mark,
    pub agrees: bool,
    pub note: String,
    pub authorisation: Option<String>,
    pub key: Option<String>,
}

/// One signature as `seal-files` writes it out for OpenSSH.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SignatureFile {
    /// File name without its ending.
    pub file: String,
    pub person: String,
    pub namespace: String,
    /// As OpenSSH's `verify-time` takes it (UTC).
    pub verify_time: String,
}

fn fingerprint(key: &str) -> Option<String> {
    key_id(key).ok().map(|id| id.to_string())
}

pub(super) fn sign_off(state: &State) -> Option<SignOffFacts> {
    let told = state.signed.as_ref()?;
    let signed = &told.what;
    Some(SignOffFacts {
        mark: Mark::of(&told.stamp),
        outcome: signed.outcome.word().to_string(),
        statement: signed.statement.clone(),
        certificate: signed.certificate.clone(),
        authorisation: signed.authorisation.clone(),
        date: signed.date.to_string(),
        hours: signed.hours.to_string(),
        launches: signed.launches,
        count: signed.count,
        head: signed.head.clone(),
        plan: signed.plan.clone(),
        evidence: signed.evidence.clone(),
        discrepancies: signed
            .discrepancies
            .iter()
            .map(|item| DiscrepancyFacts { from: item.from.clone(), text: item.text.clone() })
            .collect(),
        key: signed.seal.as_ref().and_then(|seal| fingerprint(&seal.key)),
    })
}

pub(super) fn countersignatures(state: &State) -> Vec<Countersignature> {
    state
        .countersigned
        .iter()
        .map(|told| Countersignature {
            mark: Mark::of(&told.stamp),
            agrees: told.what.agrees,
            note: told.what.note.clone(),
            authorisation: told.what.authorisation.clone(),
            key: told.what.seal.as_ref().and_then(|seal| fingerprint(&seal.key)),
        })
        .collect()
}
