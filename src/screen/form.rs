//! A form: a few fields, filled with the keyboard, saved or kept as a draft. It never loses typed text by itself.

use super::desk::Passphrase;
use super::field::{Entry, Field};
use super::purpose::Purpose;
use super::seen::Target;
use crate::command::{Id, Key};
use crate::paper::Passage;

/// Fields that PgUp and PgDn pass over.
const LEAP: usize = 10;

/// Why something was not recorded, and what to do next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    pub why: String,
    pub next: String,
}

impl Problem {
    pub fn new(why: impl Into<String>, next: impl Into<String>) -> Problem {
        Problem { why: why.into(), next: next.into() }
    }
}

#[derive(Debug, Clone)]
pub struct Form {
    pub purpose: Purpose,
    pub title: String,
    pub intro: Vec<String>,
    pub caution: Option<String>,
    pub fields: Vec<Field>,
    pub at: usize,
    pub problem: Option<Problem>,
    /// Something was typed since it was opened.
    pub touched: bool,
    /// Throwing away was asked for once.
    pub armed: bool,
    /// Of a form that changes a record or register: what the file was when it was opened.
    pub on_file: Option<Box<OnFile>>,
    /// Of rows entered from a printed sheet: the sheet, who wrote on it, and when.
    pub paper: Option<Box<Passage>>,
}

/// The file that a form changes, as it was shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct OnFile {
    pub hash: String,
    /// Each field as it stood, in the order of the form: only what differs is written.
    pub was: Vec<String>,
}

/// What a key did to a form.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FormStep {
    Stays,
    Save,
    Leave,
    ThrowAway,
}

impl Form {
    pub fn new(purpose: Purpose, title: impl Into<String>) -> Form {
        Form {
            purpose,
            title: title.into(),
            intro: Vec::new(),
            caution: None,
            fields: Vec::new(),
            at: 0,
            problem: None,
            touched: false,
            armed: false,
            on_file: None,
            paper: None,
        }
    }

    pub fn intro(mut self, text: impl Into<String>) -> Form {
        self.intro.push(text.into());
        self
    }

    pub fn caution(mut self, text: Option<String>) -> Form {
        self.caution = text;
        self
    }

    pub fn field(mut self, field: Field) -> Form {
        self.fields.push(field);
        self
    }

    /// A passphrase exactly as typed.
    pub fn secret(&self, name: &str) -> Passphrase {
        let typed = self.fields.iter().find(|field| field.name == name).map(|field| &field.entry);
        match typed {
            Some(Entry::Text(input)) => Passphrase::new(input.value()),
            _ => Passphrase::new(""),
        }
    }

    /// Takes every secret out: a form that is kept or shown again has none.
    pub fn forget_secrets(&mut self) {
        self.fields.iter_mut().for_each(Field::forget);
    }

    /// The typed text, trimmed; empty where there is no such field.
    pub fn text(&self, name: &str) -> String {
        self.fields
            .iter()
            .find(|field| field.name == name)
            .and_then(|field| match &field.entry {
                Entry::Text(input) => Some(input.value().trim().to_string()),
                _ => None,
            })
            .unwrap_or_default()
    }

    /// The text, or nothing where nothing was typed.
    pub fn given(&self, name: &str) -> Option<String> {
        Some(self.text(name)).filter(|text| !text.is_empty())
    }

    pub fn chosen(&self, name: &str) -> Option<usize> {
        self.fields.iter().find(|field| field.name == name).and_then(|field| match field.entry {
            Entry::Choice { at, .. } | Entry::Find { at, .. } => at,
            _ => None,
        })
    }

    /// The indexes that are ticked.
    pub fn ticked(&self, name: &str) -> Vec<usize> {
        let ticks = self.fields.iter().find(|field| field.name == name).map(|field| &field.entry);
        match ticks {
            Some(Entry::Ticks { on, .. }) => {
                on.iter().enumerate().filter(|(_, on)| **on).map(|(index, _)| index).collect()
            }
            _ => Vec::new(),
        }
    }

    /// Nothing stands in any field: there is nothing to keep.
    pub fn is_blank(&self) -> bool {
        self.fields.iter().all(|field| match &field.entry {
            Entry::Text(input) => input.value().trim().is_empty(),
            Entry::Choice { at, .. } => at.is_none(),
            Entry::Find { typed, at, .. } => at.is_none() && typed.value().trim().is_empty(),
            Entry::Ticks { on, .. } => !on.contains(&true),
        })
    }

    /// To the field of this name, where there is one.
    pub fn go_to(&mut self, name: &str) {
        if let Some(at) = self.fields.iter().position(|field| field.name == name) {
            self.at = at;
        }
    }

    pub fn command(&mut self, id: Id) -> FormStep {
        let last = self.fields.len().saturating_sub(1);
        let was_armed = std::mem::take(&mut self.armed);
        match id {
            Id::Enter if self.at < last => self.at += 1,
            Id::Enter | Id::Save => return FormStep::Save,
            Id::FieldNext => self.at = if self.at < last { self.at + 1 } else { 0 },
            Id::FieldPrevious => self.at = self.at.checked_sub(1).unwrap_or(last),
            Id::ScrollDown => self.at = (self.at + LEAP).min(last),
            Id::ScrollUp => self.at = self.at.saturating_sub(LEAP),
            Id::KeepDraft => return FormStep::Leave,
            Id::ThrowAway if was_armed || !self.touched => return FormStep::ThrowAway,
            Id::ThrowAway => {
                self.armed = true;
                self.problem = Some(Problem::new(
                    "this would throw away what you typed",
                    "Ctrl-X once more does it; any other key goes on",
                ));
            }
            _ => {}
        }
        FormStep::Stays
    }

    pub fn type_key(&mut self, key: Key) {
        self.armed = false;
        let at = self.at;
        if let Some(field) = self.fields.get_mut(at)
            && field.key(key)
        {
            self.touched = true;
            self.problem = None;
        }
    }

    pub fn paste(&mut self, text: &str) {
        let at = self.at;
        if let Some(field) = self.fields.get_mut(at) {
            field.paste(text);
            self.touched = true;
        }
    }

    pub fn click(&mut self, target: Target) {
        match target {
            Target::Field(index) if index < self.fields.len() => self.at = index,
            Target::Choice(index) => {
                if let Some(field) = self.fields.get_mut(self.at) {
                    field.take(index);
                    self.touched = true;
                }
            }
            _ => {}
        }
    }
}
