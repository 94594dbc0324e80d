//! Does a signature fit what stands in the record? The strict check of Ed25519: weak keys and second forms of a
//! signature are refused (RFC 8032, section 5.1.7; the reject vectors stand in this module's tests).

use std::fmt;

use ed25519_dalek::{Signature, VerifyingKey};
use ssh_key::public::KeyData;
use ssh_key::{HashAlg, PublicKey, SshSig};

use super::text::{COUNTERSIGN, INSPECTION, SEAL, countersign_text, inspection_text, sign_off_text};
use crate::event::{Countersigned, IndependentlyInspected, Seal, SignedOff};

/// `SHA256:…`, as `ssh-keygen -l` shows it.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct KeyId(String);

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum SealFault {
    /// No signature stands there.
    Missing,
    KeyUnreadable(String),
    SignatureUnreadable(String),
    /// Made for another purpose.
    Namespace {
        found: String,
    },
    /// The signature names another key than the entry does.
    OtherKey,
    /// What stands in the record is not what was signed.
    DoesNotFit,
}

/// # Errors
/// See [`SealFault`].
pub fn check_sign_off(sid: &str, signed: &SignedOff) -> Result<KeyId, SealFault> {
    check(SEAL, &sign_off_text(sid, signed), signed.seal.as_ref())
}

/// # Errors
/// See [`SealFault`].
pub fn check_inspection(sid: &str, inspected: &IndependentlyInspected) -> Result<KeyId, SealFault> {
    check(INSPECTION, &inspection_text(sid, inspected), inspected.seal.as_ref())
}

/// # Errors
/// See [`SealFault`].
pub fn check_countersign(sid: &str, added: &Countersigned) -> Result<KeyId, SealFault> {
    check(COUNTERSIGN, &countersign_text(sid, added), added.seal.as_ref())
}

/// The short name of a public key.
///
/// # Errors
/// It is no OpenSSH Ed25519 public key.
pub fn key_id(public: &str) -> Result<KeyId, SealFault> {
    PublicKey::from_openssh(public)
        .map(|key| KeyId(key.fingerprint(HashAlg::Sha256).to_string()))
        .map_err(|error| SealFault::KeyUnreadable(error.to_string()))
}

pub(super) fn check(namespace: &str, text: &[u8], seal: Option<&Seal>) -> Result<KeyId, SealFault> {
    let seal = seal.ok_or(SealFault::Missing)?;
    let public =
        PublicKey::from_openssh(&seal.key).map_err(|error| SealFault::KeyUnreadable(error.to_string()))?;
    let signature = SshSig::from_pem(&seal.signature)
        .map_err(|error| SealFault::SignatureUnreadable(error.to_string()))?;
    // One form only: whatever else reads as the same signature would leave a byte that could be changed unseen.
    let again = signature.to_pem(ssh_key::LineEnding::LF);
    if again.as_deref() != Ok(seal.signature.as_str())
        || super::public_key_line(&seal.key).as_deref() != Ok(&seal.key)
    {
        return Err(SealFault::SignatureUnreadable(
            say!("it is not in the form in which it was made").to_string(),
        ));
    }
    if signature.namespace() != namespace {
        return Err(SealFault::Namespace { found: signature.namespace().to_string() });
    }
    if signature.public_key() != public.key_data() {
        return Err(SealFault::OtherKey);
    }
    let KeyData::Ed25519(key) = public.key_data() else {
        return Err(SealFault::KeyUnreadable(say!("it is {}, not ssh-ed25519", public.algorithm())));
    };
    let data = SshSig::signed_data(namespace, signature.hash_alg(), text)
        .map_err(|error| SealFault::SignatureUnreadable(error.to_string()))?;
    let key =
        VerifyingKey::from_bytes(&key.0).map_err(|error| SealFault::KeyUnreadable(error.to_string()))?;
    let raw = Signature::from_slice(signature.signature_bytes())
        .map_err(|error| SealFault::SignatureUnreadable(error.to_string()))?;
    key.verify_strict(&data, &raw).map_err(|_| SealFault::DoesNotFit)?;
    Ok(KeyId(public.fingerprint(HashAlg::Sha256).to_string()))
}

impl fmt::Display for KeyId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

impl fmt::Display for SealFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            SealFault::Missing => f.write_str(say!("it bears no signature")),
            SealFault::KeyUnreadable(why) => f.write_str(&say!("its key cannot be read ({why})", why = why)),
            SealFault::SignatureUnreadable(why) => {
                f.write_str(&say!("its signature cannot be read ({why})", why = why))
            }
            SealFault::Namespace { found } => {
                f.write_str(&say!("its signature was made for another purpose ({found})", found = found))
            }
            SealFault::OtherKey => f.write_str(say!("its signature was made with another key than it names")),
            SealFault::DoesNotFit => f.write_str(say!("what stands there is not what was signed")),
        }
    }
}

impl std::error::Error for SealFault {}

#[cfg(test)]
mod tests {
    use super::*;
    use ed25519_dalek::{Signer, SigningKey};

    fn bytes<const N: usize>(hex: &str) -> [u8; N] {
        let mut out = [0; N];
        for (at, byte) in out.iter_mut().enumerate() {
            *byte = u8::from_str_radix(&hex[2 * at..2 * at + 2], 16).unwrap();
        }
        out
    }

    /// RFC 8032, section 7.1, TEST 1 to 3: seed, public key, message, signature.
    const PUBLISHED: [(&str, &str, &str, &str); 3] = [
        (
            "9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60",
            "d75a980182b10ab7d54bfed3c964073a0ee172f3daa62325af021a68f707511a",
            "",
            "e5564300c360ac729086e2cc806e828a84877f1eb8e5d974d873e065224901555fb8821590a33bacc61e39701cf9b46bd25bf5f0595bbe24655141438e7a100b",
        ),
        (
            "4ccd089b28ff96da9db6c346ec114e0f5b8a319f35aba624da8cf6ed4fb8a6fb",
            "3d4017c3e843895a92b70aa74d1b7ebc9c982ccf2ec4968cc0cd55f12af4660c",
            "72",
            "92a009a9f0d4cab8720e820b5f642540a2b27b5416503f8fb3762223ebdb69da085ac1e43e15996e458f3613d0f11d8c387b2eaeb4302aeeb00d291612bb0c00",
        ),
        (
            "c5aa8df43f9f837bedb7442f31dcb7b166d38535076f094b85ce3a2e0b4458f7",
            "fc51cd8e6218a1a38da47ed00230f0580816ed13ba3303ac5deb911548908025",
            "af82",
            "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac18ff9b538d16f290ae67f760984dc6594a7c15e9716ed28dc027beceea1ec40a",
        ),
    ];

    #[test]
    fn published_signatures() {
        for (seed, public, message, signature) in PUBLISHED {
            let message: Vec<u8> =
                (0..message.len() / 2).map(|at| bytes::<1>(&message[2 * at..2 * at + 2])[0]).collect();
            let key = SigningKey::from_bytes(&bytes(seed));
            assert_eq!(key.verifying_key().to_bytes(), bytes(public));
            let made = key.sign(&message);
            assert_eq!(made.to_bytes(), bytes::<64>(signature));
            key.verifying_key().verify_strict(&message, &made).unwrap();
        }
    }

    /// Derived from RFC 8032 TEST 3: S replaced by S + L, a bit of R flipped, another message.
    #[test]
    fn signatures_to_refuse() {
        let (_, public, _, signature) = PUBLISHED[2];
        let key = VerifyingKey::from_bytes(&bytes(public)).unwrap();
        let malleable = "6291d657deec24024827e69c3abe01a30ce548a284743a445e3680d7db5ac3ac05d391b0a77904e98404ef037747a56e4a7c15e9716ed28dc027beceea1ec41a";
        let refused = |text: &[u8], signature: [u8; 64]| {
            key.verify_strict(text, &Signature::from_bytes(&signature)).is_err()
        };
        assert!(refused(&[0xaf, 0x82], bytes(malleable)));
        let mut flipped: [u8; 64] = bytes(signature);
        flipped[0] ^= 1;
        assert!(refused(&[0xaf, 0x82], flipped));
        assert!(refused(&[0xaf, 0x83], bytes(signature)));
    }
}
