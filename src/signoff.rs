//! Proof + certifier + statement → the sign-off event. It takes nothing less.

use chrono::NaiveDate;
use sha2::{Digest, Sha256};

use crate::airframe::{Authorisation, AuthorisationKind, Person};
use crate::completion::Proof;
use crate::completion::totals::totals;
use crate::event::{Actor, Outcome, SignedOff};
use crate::plan::{Plan, hex};
use crate::state::State;

/// Why a proof does not sign this record.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SignOffError {
    /// Something was recorded after the proof was made.
    ProofVoid,
    /// The signer holds no valid authorisation; the completion engine would have said so.
    NoAuthorisation,
}

impl std::fmt::Display for SignOffError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(match self {
            SignOffError::ProofVoid => {
                say!("something was recorded since this was judged; judge again, then sign")
            }
            SignOffError::NoAuthorisation => say!("the signer holds no valid authorisation for this type"),
        })
    }
}

impl std::error::Error for SignOffError {}

/// The statement that the signer certifies, after 14 CFR 43.11(a)(4) and (5).
///
/// It goes into the record, so it is the same in every language. The wording must be compared with the current official text
/// by a person; local rules may ask for another.
pub fn statement(outcome: Outcome, date: NaiveDate) -> String {
    match outcome {
        Outcome::Release => {
            "I certify that this aircraft has been inspected in accordance with annual inspection \
            and was determined to be in airworthy condition."
                .to_string()
        }
        Outcome::NotAirworthy => format!(
            "I certify that this aircraft has been inspected in accordance with annual inspection and a list of \
             discrepancies and unairworthy items dated {date} has been provided for the aircraft owner or operator."
        ),
    }
}

/// The authorisation under which this person signs this type, the one that lasts longest.
pub fn authorisation_for<'a>(
    person: &'a Person,
    type_id: &str,
    today: NaiveDate,
) -> Option<&'a Authorisation> {
    person
        .authorisations
        .iter()
        .filter(|held| {
            held.kind == AuthorisationKind::AnnualRelease && held.covers(type_id) && held.valid_until >= today
        })
        .max_by_key(|held| held.valid_until)
}

/// Makes the sign-off, not yet sealed.
///
/// # Errors
/// [`SignOffError::ProofVoid`] when the record has moved on since the proof was made.
pub fn sign_off(
    proof: Proof,
    plan: &Plan,
    plan_hash: &str,
    state: &State,
    signer: &Person,
    today: NaiveDate,
) -> Result<SignedOff, SignOffError> {
    if proof.count() != state.entries || proof.head() != state.head {
        return Err(SignOffError::ProofVoid);
    }
    let held =
        authorisation_for(signer, &plan.airframe.type_id, today).ok_or(SignOffError::NoAuthorisation)?;
    // 14 CFR 43.11(a)(2): the total time of the day, as it was read, not as the record had it before.
    let now = totals(plan, state);
    Ok(SignedOff {
        by: Actor { id: signer.id.clone(), name: signer.name.clone() },
        outcome: proof.outcome(),
        statement: statement(proof.outcome(), today),
        certificate: held.certificate.clone(),
        authorisation: held.number.clone(),
        date: today,
        hours: now.hours,
        launches: now.launches,
        count: proof.count(),
        head: proof.head().to_string(),
        plan: plan_hash.to_string(),
        evidence: evidence_manifest(state),
        discrepancies: proof.discrepancies().to_vec(),
        seal: None,
    })
}

/// SHA-256 over `<hash> <size>\n` of every standing evidence file, sorted and without repeats.
pub fn evidence_manifest(state: &State) -> String {
    let mut lines: Vec<String> = state
        .evidence
        .iter()
        .filter(|told| told.struck.is_none())
        .map(|told| format!("{} {}\n", told.what.sha256, told.what.bytes))
        .collect();
    lines.sort();
    lines.dedup();
    hex(&Sha256::digest(lines.concat().as_bytes()))
}
