//! A hash as text.

use spanwise::journal::{Hash, sha256};

use super::{Target, text};

pub fn target() -> Target {
    Target::new("hash", 4_000, run).seeds(|| vec![sha256(b"one").to_string().into_bytes(), vec![b'0'; 64]])
}

fn run(input: &[u8]) -> bool {
    let typed = text(input);
    match typed.parse::<Hash>() {
        Ok(hash) => {
            assert_eq!(hash.to_string(), typed, "one value has one spelling");
            true
        }
        Err(why) => why.to_string().is_empty(),
    }
}
