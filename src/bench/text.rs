//! Words of titles and instructions; figures in messages.

/// Where sentences begin: the text's start and after a full stop, colon, question mark or line end.
pub(super) fn sentences(text: &str) -> impl Iterator<Item = &str> {
    let bytes = text.as_bytes();
    let mut at = 0;
    std::iter::from_fn(move || {
        while at < bytes.len() && (bytes[at].is_ascii_whitespace() || b".:!?;".contains(&bytes[at])) {
            at += 1;
        }
        if at >= bytes.len() {
            return None;
        }
        let start = at;
        while at < bytes.len() {
            let ends = b".:!?;".contains(&bytes[at]) && bytes.get(at + 1).is_none_or(u8::is_ascii_whitespace);
            if ends || bytes[at] == b'\n' {
                break;
            }
            at += 1;
        }
        Some(&text[start..at])
    })
}

/// The words in order, without what stands between them.
pub(super) fn words(text: &str) -> impl Iterator<Item = &str> {
    text.split(|c: char| !c.is_alphanumeric() && c != '-' && c != '\'').filter(|word| !word.is_empty())
}

/// Whether `phrase` (lower case) stands in `text` (lower case) as whole words.
pub(super) fn has_phrase(text: &str, phrase: &str) -> bool {
    text.match_indices(phrase).any(|(at, _)| {
        let before = text[..at].chars().next_back().is_none_or(|c| !c.is_alphanumeric());
        before && text[at + phrase.len()..].chars().next().is_none_or(|c| !c.is_alphanumeric())
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sentences_keep_decimals_and_break_at_stops() {
        let found: Vec<&str> = sentences("How: pull 2.5 mm. Then look.\nGood: é.").collect();
        assert_eq!(found, ["How", "pull 2.5 mm", "Then look", "Good", "é"]);
    }

    #[test]
    fn a_phrase_is_whole_words() {
        assert!(has_phrase("first run, tailplane on: learn", "tailplane on"));
        assert!(!has_phrase("tailplane only", "tailplane on"));
    }
}
