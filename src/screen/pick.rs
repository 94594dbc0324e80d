//! One of a few: which measurement, which person, what to correct. Digits take directly, letters a measurement. In a list
//! that single digits do not reach, digits and letters only go to one, and Enter takes it.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::field::digit;
use super::form_draw::{FEW, show};
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
    /// Carry a command of the screen out, as its key would.
    Command(Id),
    /// Go to a hit of the search.
    Hit(usize),
    Quit,
    Nothing,
}

#[derive(Debug, Clone)]
pub struct Pick {
    pub title: String,
    pub intro: Vec<String>,
    pub options: Vec<(String, Then)>,
    pub at: usize,
    /// The number typed so far in a list that single digits do not reach.
    typed: usize,
}

impl Pick {
    pub fn new(title: impl Into<String>) -> Pick {
        Pick { title: title.into(), intro: Vec::new(), options: Vec::new(), at: 0, typed: 0 }
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
        self.typed = 0;
        match id {
            Id::Up => self.at = self.at.saturating_sub(1),
            Id::Down => self.at = (self.at + 1).min(self.options.len().saturating_sub(1)),
            Id::Enter => return self.take(self.at),
            Id::Back => return Some(Then::Nothing),
            _ => {}
        }
        None
    }

    pub fn type_key(&mut self, key: Key) -> Option<Then> {
        match key {
            Key::Char(c) if self.is_long() => {
                self.go_to(c);
                None
            }
            Key::Char(c) if self.by_letter() => self.take(letter(c)?),
            Key::Char(c) => self.take(digit(c, self.options.len())?),
            _ => None,
        }
    }

    /// More than digits reach: a digit would take the first where the twelfth was meant.
    fn is_long(&self) -> bool {
        self.options.len() > FEW && !self.by_letter()
    }

    /// By digits to the option of that number, one digit after the other; by a letter to the next option that begins with it.
    fn go_to(&mut self, c: char) {
        if let Some(typed) = c.to_digit(10).and_then(|typed| usize::try_from(typed).ok()) {
            let longer = self.typed * 10 + typed;
            self.typed = if longer <= self.options.len() { longer } else { typed };
            if let Some(at) = self.typed.checked_sub(1).filter(|at| *at < self.options.len()) {
                self.at = at;
            }
            return;
        }
        self.typed = 0;
        let begins = |index: &usize| {
            self.options
                .get(*index)
                .and_then(|(label, _)| label.chars().next())
                .is_some_and(|first| first.to_lowercase().eq(c.to_lowercase()))
        };
        let all = self.options.len();
        if let Some(found) = (1..=all).map(|step| (self.at + step) % all).find(begins) {
            self.at = found;
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
        if self.is_long() {
            let told = say!(
                "{} of {}; digits and letters go to one, Enter takes it",
                self.at + 1,
                self.options.len()
            );
            page.text(look.quiet(), &told);
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
            while look.big && page.lines.len() < first + usize::from(super::big::ITEM) {
                page.lines.push(ratatui::text::Line::default());
            }
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
    fn in_a_long_list_digits_and_letters_go_and_only_enter_takes() {
        let mut pick = Pick::new("Which?");
        for (at, word) in ["ant", "bee", "cat", "dog"].iter().cycle().take(12).enumerate() {
            pick = pick.option(format!("{word} {at}"), Then::ActAs(at.to_string()));
        }
        let at = |pick: &mut Pick, typed: &str| {
            for c in typed.chars() {
                assert_eq!(pick.type_key(Key::Char(c)), None, "{c} takes nothing");
            }
            pick.at
        };
        assert_eq!(at(&mut pick, "12"), 11);
        assert_eq!(at(&mut pick, "3"), 2, "there is no 123rd");
        assert_eq!(at(&mut pick, "d"), 3);
        assert_eq!(at(&mut pick, "d"), 7);
        assert_eq!(at(&mut pick, "0"), 7, "there is no such one");
        assert_eq!(pick.command(Id::Enter), Some(Then::ActAs("7".into())));
    }

    #[test]
    fn a_value_typed_at_once_is_no_choice_of_a_measurement() {
        let read = |measure: &str| Then::Read { step: "s".into(), measure: measure.into(), corrects: None };
        let mut pick =
            Pick::new("Which?").option("hours", read("hours")).option("launches", read("launches"));
        for c in "3190,5 h".chars().filter(|c| *c != 'h') {
            assert_eq!(pick.type_key(Key::Char(c)), None, "{c}");
        }
        assert_eq!(pick.type_key(Key::Char('b')), Some(read("launches")));
        assert_eq!(pick.type_key(Key::Char('c')), None);
        assert_eq!(pick.key_of(1), "b");
        let mut quit = Pick::new("Leave?").option("stay", Then::Nothing).option("leave", Then::Quit);
        assert_eq!(quit.type_key(Key::Char('2')), Some(Then::Quit));
    }
}
