//! A SHA-256 value as a type, so that no other 64 characters can pass for one.

use std::fmt;
use std::str::FromStr;

use serde::{Deserialize, Deserializer, Serialize, Serializer};
use sha2::{Digest, Sha256};

/// A SHA-256 value (32 bytes). Shown and stored as 64 lower-case hexadecimal characters.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hash(pub [u8; 32]);

/// Why a text is not a hash.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct HashError {
    found: String,
}

impl Hash {
    /// The value that stands for "no line before" in line 0.
    pub const ZERO: Hash = Hash([0; 32]);
}

/// SHA-256 of the bytes alone (plan, evidence, fragments).
pub fn sha256(bytes: &[u8]) -> Hash {
    Hash(Sha256::digest(bytes).into())
}

/// SHA-256 of tag, one zero byte and the bytes. The tag names purpose and version, so that a hash made for
/// one purpose can never pass for another.
pub fn tagged(tag: &str, bytes: &[u8]) -> Hash {
    let mut hasher = Sha256::new();
    hasher.update(tag.as_bytes());
    hasher.update([0]);
    hasher.update(bytes);
    Hash(hasher.finalize().into())
}

/// SHA-256 fed piece by piece, for files too large to hold.
#[derive(Default)]
pub struct Hasher(Sha256);

impl Hasher {
    pub fn new() -> Self {
        Self::default()
    }

    pub fn update(&mut self, bytes: &[u8]) {
        self.0.update(bytes);
    }

    pub fn finish(self) -> Hash {
        Hash(self.0.finalize().into())
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let mut text = String::with_capacity(64);
        for byte in self.0 {
            for nibble in [byte >> 4, byte & 15] {
                text.push(char::from(b"0123456789abcdef"[usize::from(nibble)]));
            }
        }
        f.pad(&text)
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Hash({self})")
    }
}

impl FromStr for Hash {
    type Err = HashError;

    /// Takes exactly 64 characters `0-9a-f`. Capitals are refused: one value has one spelling.
    fn from_str(text: &str) -> Result<Self, HashError> {
        let refuse = || HashError { found: text.chars().take(80).collect() };
        let bytes = text.as_bytes();
        if bytes.len() != 64 {
            return Err(refuse());
        }
        let mut out = [0; 32];
        for (slot, pair) in out.iter_mut().zip(bytes.chunks_exact(2)) {
            let high = nibble(pair[0]).ok_or_else(refuse)?;
            let low = nibble(pair[1]).ok_or_else(refuse)?;
            *slot = high << 4 | low;
        }
        Ok(Hash(out))
    }
}

fn nibble(byte: u8) -> Option<u8> {
    match byte {
        b'0'..=b'9' => Some(byte - b'0'),
        b'a'..=b'f' => Some(byte - b'a' + 10),
        _ => None,
    }
}

impl fmt::Display for HashError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&say!("\"{}\" is not a hash; expected 64 characters out of 0-9 and a-f", self.found))
    }
}

impl std::error::Error for HashError {}

impl Serialize for Hash {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Hash {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        String::deserialize(deserializer)?.parse().map_err(serde::de::Error::custom)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4 and the NIST example values.
    #[test]
    fn published_digests() {
        let million = "a".repeat(1_000_000);
        let cases = [
            ("", "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"),
            ("abc", "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"),
            (
                "abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq",
                "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1",
            ),
            (
                "abcdefghbcdefghicdefghijdefghijkefghijklfghijklmghijklmnhijklmnoijklmnopjklmnopqklmnopqrlmnopqrsmnopqrstnopqrstu",
                "cf5b16a778af8380036ce59e7b0492370b249b11e8f07a51afac45037afee9d1",
            ),
            (&million, "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0"),
        ];
        for (message, digest) in cases {
            assert_eq!(sha256(message.as_bytes()).to_string(), digest);
            let mut pieces = Hasher::new();
            message.as_bytes().chunks(77).for_each(|piece| pieces.update(piece));
            assert_eq!(pieces.finish().to_string(), digest);
        }
    }

    #[test]
    fn one_spelling_only() {
        let hash = sha256(b"abc");
        let text = hash.to_string();
        assert_eq!(text.parse(), Ok(hash));
        assert!(text.to_uppercase().parse::<Hash>().is_err());
        assert!(text[1..].parse::<Hash>().is_err());
        assert!(format!("g{}", &text[1..]).parse::<Hash>().is_err());
        assert!("ä".repeat(32).parse::<Hash>().is_err());
        let json = serde_json::to_string(&hash).unwrap();
        assert_eq!(json, format!("\"{text}\""));
        assert_eq!(serde_json::from_str::<Hash>(&json).unwrap(), hash);
        assert!(serde_json::from_str::<Hash>("\"00\"").is_err());
    }
}
