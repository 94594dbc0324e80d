//! Lines of a page of text.

use unicode_width::UnicodeWidthStr;

use crate::columns::wrap;

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
