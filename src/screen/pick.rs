//! One of a few: which measurement, which person, what to correct. Digits take directly, letters a measurement.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::field::digit;
use super::form_draw::show;
use super::look::Look;
use super::seen::{Seen, Target};
use super::text::Page;
use crate::airframe::sheet::{RecordFile, Spot};
use crate::checklist::Configuration;
use crate::command::{Id, Key};
use crate::event::{EntryNumber, StepResult};

/// What happens when it is taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Then {
    /// Give the ballast back.
    MakeRoom,
    ActAs(String),
    Begin {
        registration: String,
    },
    Open {
        sid: String,
    },
    /// Write a report of this kind.
    NewReport {
        kind: String,
    },
    Read {
        step: String,
        measure: String,
        corrects: Option<EntryNumber>,
    },
    CorrectAnswer {
        step: String,
    },
    TakeBack {
        entry: EntryNumber,
        what: String,
    },
    /// Answer although something speaks against it.
    Answer {
        step: String,
        result: StepResult,
    },
    Confirm {
        step: String,
    },
    /// Confirm what a block of the hangar order needs.
    ConfirmBlock {
        configuration: Configuration,
    },
    ConfirmAndAnswer {
        step: String,
        result: StepResult,
    },
    /// Take an entry out of a record or register, as it was shown.
    TakeOut {
        file: RecordFile,
        spot: Spot,
        was: String,
    },
    Quit,
    Nothing,
}

#[derive(Debug, Clone)]
pub struct Pick {
    pub title: String,
    pub intro: Vec<String>,
    pub options: Vec<(String, Then)>,
    pub at: usize,
}

impl Pick {
    pub fn new(title: impl Into<String>) -> Pick {
        Pick { title: title.into(), intro: Vec::new(), options: Vec::new(), at: 0 }
    }

    pub fn intro(mut self, text: impl Into<String>) -> Pick {
        self.intro.push(text.into());
        self
    }

    pub fn option(mut self, label: impl Into<String>, then: Then) -> Pick {
        self.options.push((label.into(), then));
        self
    }

    pub fn command(&mut self, id: Id) -> Option<Then> {
        match id {
            Id::Up => self.at = self.at.saturating_sub(1),
            Id::Down => self.at = (self.at + 1).min(self.options.len().saturating_sub(1)),
            Id::Enter => return self.take(self.at),
            Id::Back => return Some(Then::Nothing),
            _ => {}
        }
        None
    }

    pub fn type_key(&self, key: Key) -> Option<Then> {
        match key {
            Key::Char(c) if self.by_letter() => self.take(letter(c)?),
            Key::Char(c) => self.take(digit(c, self.options.len())?),
            _ => None,
        }
    }

    /// Measurements are chosen by letter: a value called out and typed at once would lose its first digits to
    /// the choice, and what is left of it would be recorded.
    fn by_letter(&self) -> bool {
        self.options.iter().any(|(_, then)| matches!(then, Then::Read { corrects: None, .. }))
    }

    fn key_of(&self, index: usize) -> String {
        match u32::try_from(index).ok().and_then(|index| char::from_u32(u32::from('a') + index)) {
            Some(letter) if self.by_letter() && letter.is_ascii_lowercase() => letter.to_string(),
            _ => (index + 1).to_string(),
        }
    }

    pub fn take(&self, index: usize) -> Option<Then> {
        self.options.get(index).map(|(_, then)| then.clone())
    }

    pub fn draw(&self, area: Rect, look: Look, frame: &mut Frame<'_>, seen: &mut Seen) {
        let mut page = Page::new(look, usize::from(area.width).saturating_sub(2));
        page.text(look.strong(), &self.title);
        for intro in &self.intro {
            page.plain(intro);
        }
        page.gap();
        let mut places = Vec::new();
        let mut cursor = None;
        for (index, (label, _)) in self.options.iter().enumerate() {
            let is_at = index == self.at;
            let style = if is_at { look.selected() } else { Style::new() };
            let first = page.lines.len();
            let mark = if is_at { "▶" } else { " " };
            page.hanging(style, &format!("{mark} {} ", self.key_of(index)), label);
            places.extend((first..page.lines.len()).map(|line| (line, Target::Choice(index))));
            if is_at {
                cursor = Some((page.lines.len() - 1, 0));
            }
        }
        show(&page.lines, cursor, places, area, frame, seen);
    }
}

/// `a` is the first.
fn letter(c: char) -> Option<usize> {
    let c = c.to_ascii_lowercase();
    c.is_ascii_lowercase().then(|| usize::from(c as u8 - b'a'))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_typed_at_once_is_no_choice_of_a_measurement() {
        let read = |measure: &str| Then::Read { step: "s".into(), measure: measure.into(), corrects: None };
        let pick = Pick::new("Which?").option("hours", read("hours")).option("launches", read("launches"));
        for c in "3190,5 h".chars().filter(|c| *c != 'h') {
            assert_eq!(pick.type_key(Key::Char(c)), None, "{c}");
        }
        assert_eq!(pick.type_key(Key::Char('b')), Some(read("launches")));
        assert_eq!(pick.type_key(Key::Char('c')), None);
        assert_eq!(pick.key_of(1), "b");
        let quit = Pick::new("Leave?").option("stay", Then::Nothing).option("leave", Then::Quit);
        assert_eq!(quit.type_key(Key::Char('2')), Some(Then::Quit));
    }
}
