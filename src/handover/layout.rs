//! A page of text, 80 columns wide, with the caution under every heading.

use unicode_width::UnicodeWidthStr;

use super::CAUTION;

/// Columns of a page on paper.
pub(super) const WIDTH: usize = 80;

/// Room for the deepest indent and a word.
const NARROWEST: usize = 24;

/// Text that grows line by line.
pub(super) struct Page {
    text: String,
    width: usize,
}

impl Page {
    pub(super) fn new() -> Page {
        Page::within(WIDTH)
    }

    /// A page of its own width; narrower than [`NARROWEST`] it is not made.
    pub(super) fn within(width: usize) -> Page {
        Page { text: String::new(), width: width.max(NARROWEST) }
    }

    /// A heading, underlined, with the caution below it.
    pub(super) fn section(&mut self, title: &str) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.para(0, title);
        self.text.push_str(&"-".repeat(title.width().min(self.width)));
        self.text.push('\n');
        self.para(0, &format!("CAUTION: {CAUTION}"));
        self.text.push('\n');
    }

    /// Text wrapped at blanks; lines after the first stand two columns further in.
    pub(super) fn para(&mut self, indent: usize, text: &str) {
        for (index, line) in wrap(text, self.width - indent, 2).into_iter().enumerate() {
            let deeper = if index == 0 { indent } else { indent + 2 };
            self.text.push_str(&" ".repeat(deeper));
            self.text.push_str(&line);
            self.text.push('\n');
        }
    }

    /// Lines as they are, such as a picture.
    pub(super) fn lines(&mut self, indent: usize, text: &str) {
        for line in text.lines() {
            let line = format!("{}{line}", " ".repeat(indent));
            self.text.push_str(line.trim_end());
            self.text.push('\n');
        }
    }

    pub(super) fn finish(self) -> String {
        self.text
    }
}

/// Lines of at most `width` columns, the later ones `hanging` less. Longer words are broken.
fn wrap(text: &str, width: usize, hanging: usize) -> Vec<String> {
    let mut lines = Vec::new();
    let mut line = String::new();
    for word in text.split_whitespace() {
        let mut word = word.to_string();
        loop {
            let room = if lines.is_empty() { width } else { width - hanging };
            let gap = usize::from(!line.is_empty());
            if line.width() + gap + word.width() <= room {
                line.push_str(&" ".repeat(gap));
                line.push_str(&word);
                break;
            }
            if line.is_empty() {
                let (head, rest) = split_at_width(&word, room);
                lines.push(head);
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

/// At least one character goes into the first part, so that the rest gets shorter.
fn split_at_width(word: &str, room: usize) -> (String, String) {
    let mut end = 0;
    for (at, c) in word.char_indices() {
        let next = at + c.len_utf8();
        if end > 0 && word[..next].width() > room {
            break;
        }
        end = next;
    }
    (word[..end].to_string(), word[end..].to_string())
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn lines_hang_and_long_words_break() {
        assert_eq!(wrap("one two three", 8, 2), ["one two", "three"]);
        assert_eq!(wrap("abcdefghij", 4, 1), ["abcd", "efg", "hij"]);
        assert_eq!(wrap("", 8, 2), [""]);
    }

    proptest! {
        #[test]
        fn no_line_is_wider_than_the_page_and_no_letter_is_lost(text in "[a-zß€ ]{0,300}") {
            let lines = wrap(&text, 40, 2);
            prop_assert!(lines.iter().all(|line| line.width() <= 40));
            let letters = |text: &str| text.chars().filter(|c| !c.is_whitespace()).collect::<String>();
            prop_assert_eq!(letters(&lines.concat()), letters(&text));
        }

        #[test]
        fn no_text_panics(text in "\\PC{0,60}") {
            let _ = wrap(&text, 10, 2);
        }
    }
}
