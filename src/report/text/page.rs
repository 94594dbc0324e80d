//! Lines of a page of text.

use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// Columns of a page.
pub(super) const WIDTH: usize = 80;

pub(super) struct Page {
    text: String,
}

impl Page {
    pub(super) fn new() -> Page {
        Page { text: String::new() }
    }

    /// One empty line; never two.
    pub(super) fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    pub(super) fn line(&mut self, line: &str) {
        self.text.push_str(line.trim_end());
        self.text.push('\n');
    }

    /// A line that must not be wrapped, such as a command to be copied; it may be longer than the page.
    pub(super) fn whole(&mut self, line: &str) {
        self.line(&format!("  {line}"));
    }

    /// Text wrapped at blanks; lines after the first stand `hanging` further in.
    pub(super) fn para(&mut self, indent: usize, hanging: usize, text: &str) {
        for (index, line) in wrap(text, WIDTH - indent, hanging).into_iter().enumerate() {
            let deeper = if index == 0 { indent } else { indent + hanging };
            self.line(&format!("{}{line}", " ".repeat(deeper)));
        }
    }

    /// A name and its value, the value's further lines below its first.
    pub(super) fn kept(&mut self, indent: usize, name: &str, gap: &str, value: &str) {
        let lines = wrap(value, WIDTH.saturating_sub(indent.max(name.width() + gap.len())), 0);
        for (index, line) in lines.into_iter().enumerate() {
            if index == 0 {
                self.line(&format!("{name}{gap}{line}"));
            } else {
                self.line(&format!("{}{line}", " ".repeat(indent)));
            }
        }
    }

    pub(super) fn finish(self) -> String {
        self.text
    }
}

/// Lines of at most `width` columns, the later ones `hanging` less. Longer words are broken.
pub(super) fn wrap(text: &str, width: usize, hanging: usize) -> Vec<String> {
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
