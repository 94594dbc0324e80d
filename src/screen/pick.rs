//! One of a few: which measurement, which person, what to correct. Digits take directly.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;

use super::field::digit;
use super::form::show;
use super::look::Look;
use super::seen::{Seen, Target};
use super::text::Page;
use crate::command::{Id, Key};
use crate::event::{EntryNumber, StepResult};

/// What happens when it is taken.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Then {
    ActAs(String),
    Begin {
        registration: String,
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
    ConfirmAndAnswer {
        step: String,
        result: StepResult,
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
            Key::Char(c) => self.take(digit(c, self.options.len())?),
            _ => None,
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
            page.hanging(style, &format!("{mark} {} ", index + 1), label);
            places.extend((first..page.lines.len()).map(|line| (line, Target::Choice(index))));
            if is_at {
                cursor = Some((page.lines.len() - 1, 0));
            }
        }
        show(&page.lines, cursor, places, area, frame, seen);
    }
}
