//! The signature under a checklist pack.

use super::check::{KeyId, SealFault, check};
use super::key::{KeyError, SecretKey};
use crate::event::Seal;

/// Namespace of an author's signature under a checklist pack.
pub const PACK: &str = "spanwise-pack-v1";

/// Signs the header's line of a pack.
///
/// # Errors
/// The key cannot sign.
pub fn sign_pack(text: &[u8], key: &SecretKey) -> Result<Seal, KeyError> {
    Ok(Seal { key: key.public_line().to_string(), signature: key.sign(PACK, text)? })
}

/// Checks the signature under the header's line of a pack.
///
/// # Errors
/// See [`SealFault`].
pub fn check_pack(text: &[u8], seal: &Seal) -> Result<KeyId, SealFault> {
    check(PACK, text, Some(seal))
}
