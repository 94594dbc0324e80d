//! The signed texts: one line of canonical JSON (RFC 8785), made from the entry, with the session and the purpose in it.

use serde_json::{Value, json};

use super::key::{KeyError, SecretKey};
use crate::event::{Countersigned, IndependentlyInspected, Seal, SignedOff};

/// Namespace of the certifier's signature, the second person's on a control, and the second person's on the sign-off.
pub const SEAL: &str = "spanwise-seal-v1";
pub const INSPECTION: &str = "spanwise-inspection-v1";
pub const COUNTERSIGN: &str = "spanwise-countersign-v1";

/// What the certifier signs: the sign-off's whole entry but for the signature, with the session's id.
///
/// It names the number of entries before it, the hash of the last of them, the plan, the evidence and the statement.
pub fn sign_off_text(sid: &str, signed: &SignedOff) -> Vec<u8> {
    text(SEAL, sid, &SignedOff { seal: None, ..signed.clone() })
}

/// What a second person signs after inspecting a control: the entry but for the signature.
pub fn inspection_text(sid: &str, inspected: &IndependentlyInspected) -> Vec<u8> {
    text(INSPECTION, sid, &IndependentlyInspected { seal: None, ..inspected.clone() })
}

/// What a second person signs about a sign-off: the entry but for the signature; it names the sign-off by its hash,
/// so that the first signature is covered.
pub fn countersign_text(sid: &str, added: &Countersigned) -> Vec<u8> {
    text(COUNTERSIGN, sid, &Countersigned { seal: None, ..added.clone() })
}

fn text(purpose: &str, sid: &str, body: &impl serde::Serialize) -> Vec<u8> {
    // Neither can fail for these types: they hold text, whole numbers and decimals kept as text.
    let mut body = serde_json::to_value(body).unwrap_or(Value::Null);
    if let Value::Object(object) = &mut body {
        object.remove("seal");
        object.insert("purpose".to_string(), json!(purpose));
        object.insert("session".to_string(), json!(sid));
    }
    serde_json_canonicalizer::to_vec(&body).unwrap_or_default()
}

/// Signs a sign-off in place.
///
/// # Errors
/// The key cannot sign.
pub fn seal_sign_off(sid: &str, signed: &mut SignedOff, key: &SecretKey) -> Result<(), KeyError> {
    signed.seal = Some(made(SEAL, &sign_off_text(sid, signed), key)?);
    Ok(())
}

/// Signs an independent inspection in place.
///
/// # Errors
/// The key cannot sign.
pub fn seal_inspection(
    sid: &str,
    inspected: &mut IndependentlyInspected,
    key: &SecretKey,
) -> Result<(), KeyError> {
    inspected.seal = Some(made(INSPECTION, &inspection_text(sid, inspected), key)?);
    Ok(())
}

/// Signs a countersignature in place.
///
/// # Errors
/// The key cannot sign.
pub fn seal_countersign(sid: &str, added: &mut Countersigned, key: &SecretKey) -> Result<(), KeyError> {
    added.seal = Some(made(COUNTERSIGN, &countersign_text(sid, added), key)?);
    Ok(())
}

fn made(namespace: &str, text: &[u8], key: &SecretKey) -> Result<Seal, KeyError> {
    Ok(Seal { key: key.public_line().to_string(), signature: key.sign(namespace, text)? })
}
