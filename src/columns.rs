//! Text in columns, for pages of plain text.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Lines of at most `width` columns, the later ones `hanging` less. Longer words are broken.
pub fn wrap(text: &str, width: usize, hanging: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let mut word = word;
        loop {
            let room = if lines.is_empty() { width } else { width.saturating_sub(hanging) }.max(2);
            let gap = usize::from(!line.is_empty());
            if line.width() + gap + word.width() <= room {
                line.push_str(&" ".repeat(gap));
                line.push_str(word);
                break;
            }
            if line.is_empty() {
                let (head, rest) = word.split_at(split(word, room));
                lines.push(head.to_string());
                word = rest;
            } else {
                lines.push(std::mem::take(&mut line));
            }
        }
    }
    if !line.is_empty() || lines.is_empty() {
        lines.push(line);
    }
    lines
}

/// With spaces behind it up to `width` columns; a longer text stays as it is.
pub fn padded(text: &str, width: usize) -> String {
    format!("{text}{}", " ".repeat(width.saturating_sub(text.width())))
}

/// Where a word is broken: at least behind its first letter.
fn split(word: &str, room: usize) -> usize {
    let mut used = 0;
    for (at, c) in word.char_indices() {
        used += c.width().unwrap_or(0);
        if at > 0 && used > room {
            return at;
        }
    }
    word.len()
}
