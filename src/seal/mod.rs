//! Signatures: the exact text that is signed, Ed25519 keys and signatures in OpenSSH's forms, and their check.
