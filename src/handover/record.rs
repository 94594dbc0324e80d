//! What the session keeps of a hand-over: which brief went out, known by its content.

use sha2::{Digest, Sha256};

use super::brief::Brief;
use crate::words::{Language, with_language};

/// How such a note begins. It stands in records: it stays as it is, whatever words the screens use.
const HANDED_OVER: &str = "handed over to the repairer";

/// Whether a note is one of [`handover_note`].
pub fn is_handover_note(text: &str) -> bool {
    text.strip_prefix(HANDED_OVER).is_some_and(|rest| rest.starts_with(": "))
}

/// SHA-256 of the brief's text, as the file holds it; small hexadecimal digits.
pub fn brief_sha256(text: &str) -> String {
    Sha256::digest(text.as_bytes()).iter().map(|byte| format!("{byte:02x}")).collect()
}

/// The note for the session: defects, file with its hash, openings with what their check came to.
///
/// It goes into the record, so it is English whatever language is spoken.
pub fn handover_note(brief: &Brief, file: &str, text: &str) -> String {
    with_language(Language::English, || note(brief, file, text))
}

fn note(brief: &Brief, file: &str, text: &str) -> String {
    let defects: Vec<&str> = brief.defects.iter().map(|defect| defect.id.as_str()).collect();
    let openings: Vec<String> = brief
        .openings
        .iter()
        .map(|check| format!("{} (margin {} mm): {}", check.opening, check.margin.mm, check.outcome.words()))
        .collect();
    let openings = if openings.is_empty() {
        "no opening proposed".to_string()
    } else {
        format!("openings proposed: {}", openings.join("; "))
    };
    format!(
        "{HANDED_OVER}: {} by the brief \"{file}\", sha256 {}, as of entry {}; {openings}",
        defects.join(", "),
        brief_sha256(text),
        brief.entries
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// FIPS 180-4 example "abc" (from memory).
    #[test]
    fn the_hash_is_that_of_the_content() {
        assert_eq!(brief_sha256("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    }
}
