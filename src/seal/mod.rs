//! Signatures: the exact text that is signed, Ed25519 keys and signatures in OpenSSH's forms, and their check.
//!
//! What is signed is made anew from the entry each time, so that no second copy can differ from it. Namespaces
//! keep a signature for one purpose from passing for another (PROTOCOL.sshsig of OpenSSH).

mod check;
mod key;
mod pack;
mod signers;
mod text;

pub use check::{KeyId, SealFault, check_countersign, check_inspection, check_sign_off, key_id};
pub use key::{KeyError, SecretKey, public_key_line};
pub use pack::{PACK, check_pack, sign_pack};
pub use signers::allowed_signers;
pub use text::{
    COUNTERSIGN, INSPECTION, SEAL, countersign_text, inspection_text, seal_countersign, seal_inspection,
    seal_sign_off, sign_off_text,
};
