//! A page of text, 80 columns wide, with the caution under every heading, and again before a printed page could be
//! without it.

use unicode_width::UnicodeWidthStr;

use super::CAUTION;
use crate::columns::wrap;
use crate::words::said;

/// Columns of a page on paper.
pub(super) const WIDTH: usize = 80;

/// Room for the deepest indent and a word.
const NARROWEST: usize = 24;

/// After so many lines without the caution it stands again before the next item. A printed page holds some 60 lines
/// (common practice, no source).
const LINES_TO_ITEM: usize = 48;

/// After so many it stands again also within an item.
const LINES_WITHIN: usize = 52;

/// Text that grows line by line.
pub(super) struct Page {
    text: String,
    width: usize,
    /// Lines since the caution was told; `None` before it was told at all: a part of a page, shown under one.
    since: Option<usize>,
}

impl Page {
    pub(super) fn new() -> Page {
        Page::within(WIDTH)
    }

    /// A page of its own width; narrower than [`NARROWEST`] it is not made.
    pub(super) fn within(width: usize) -> Page {
        Page { text: String::new(), width: width.max(NARROWEST), since: None }
    }

    /// A heading, underlined, with the caution below it.
    pub(super) fn section(&mut self, title: &str) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.wrapped(0, title);
        self.text.push_str(&"-".repeat(title.width().min(self.width)));
        self.text.push('\n');
        self.caution();
    }

    fn caution(&mut self) {
        self.wrapped(0, &say!("CAUTION: {text}", text = said(CAUTION)));
        self.text.push('\n');
        self.since = Some(0);
    }

    /// Tells the caution once more where `coming` lines more would leave it too far behind.
    fn repeat_caution(&mut self, indent: usize, coming: usize) {
        let limit = if indent == 0 { LINES_TO_ITEM } else { LINES_WITHIN };
        if self.since.is_some_and(|since| since + coming > limit) {
            self.text.push('\n');
            self.caution();
        }
        self.since = self.since.map(|since| since + coming);
    }

    /// Text wrapped at blanks; lines after the first stand two columns further in.
    pub(super) fn para(&mut self, indent: usize, text: &str) {
        self.repeat_caution(indent, wrap(text, self.width - indent, 2).len());
        self.wrapped(indent, text);
    }

    fn wrapped(&mut self, indent: usize, text: &str) {
        for (index, line) in wrap(text, self.width - indent, 2).into_iter().enumerate() {
            let deeper = if index == 0 { indent } else { indent + 2 };
            self.text.push_str(&" ".repeat(deeper));
            self.text.push_str(&line);
            self.text.push('\n');
        }
    }

    /// Lines as they are, such as a picture.
    pub(super) fn lines(&mut self, indent: usize, text: &str) {
        self.repeat_caution(indent, text.lines().count());
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

    #[test]
    fn no_sixty_lines_are_without_the_caution() {
        for (indent, long) in [(0, 1), (2, 1), (0, 9), (4, 9)] {
            let mut page = Page::new();
            page.section("Proposed openings");
            for _ in 0..200 {
                page.para(indent, &"word ".repeat(16 * long));
            }
            page.lines(2, &"│\n".repeat(28));
            let text = page.finish();
            let lines: Vec<&str> = text.lines().collect();
            let without =
                lines.windows(60).find(|page| !page.iter().any(|line| line.starts_with("CAUTION:")));
            assert_eq!(without, None, "indent {indent}");
        }
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
