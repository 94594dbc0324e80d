//! One field of a form: text, a choice of few, or ticks.

use tui_input::{Input, InputRequest};

use crate::command::Key;

#[derive(Debug, Clone)]
pub enum Entry {
    Text(Input),
    /// `None` while nothing is chosen: a stray Enter must not record the first option.
    Choice {
        options: Vec<String>,
        at: Option<usize>,
    },
    Ticks {
        options: Vec<String>,
        on: Vec<bool>,
        at: usize,
    },
}

#[derive(Debug, Clone)]
pub struct Field {
    /// By which the answer is looked up.
    pub name: &'static str,
    pub label: String,
    pub hint: String,
    pub entry: Entry,
    /// A passphrase: shown as dots, never kept as a draft, never written anywhere.
    pub is_secret: bool,
}

impl Field {
    pub fn text(name: &'static str, label: impl Into<String>, value: impl Into<String>) -> Field {
        let entry = Entry::Text(Input::new(value.into()));
        Field { name, label: label.into(), hint: String::new(), entry, is_secret: false }
    }

    pub fn choice(
        name: &'static str,
        label: impl Into<String>,
        options: Vec<String>,
        at: Option<usize>,
    ) -> Field {
        let at = at.filter(|at| *at < options.len());
        let entry = Entry::Choice { options, at };
        Field { name, label: label.into(), hint: String::new(), entry, is_secret: false }
    }

    pub fn ticks(name: &'static str, label: impl Into<String>, options: Vec<String>) -> Field {
        let on = vec![false; options.len()];
        let entry = Entry::Ticks { options, on, at: 0 };
        Field { name, label: label.into(), hint: String::new(), entry, is_secret: false }
    }

    pub fn secret(name: &'static str, label: impl Into<String>) -> Field {
        Field { is_secret: true, ..Field::text(name, label, "") }
    }

    /// Forgets a secret.
    pub fn forget(&mut self) {
        if self.is_secret {
            self.entry = Entry::Text(Input::default());
        }
    }

    pub fn hint(mut self, hint: impl Into<String>) -> Field {
        self.hint = hint.into();
        self
    }

    /// Takes a key that is no command. True when the content changed.
    pub fn key(&mut self, key: Key) -> bool {
        match &mut self.entry {
            Entry::Text(input) => type_into(input, key),
            Entry::Choice { options, at } => {
                let before = *at;
                let last = options.len().saturating_sub(1);
                *at = match key {
                    Key::Left => Some(before.map_or(0, |at| at.saturating_sub(1))),
                    Key::Right => Some(before.map_or(0, |at| (at + 1).min(last))),
                    Key::Char(' ') => Some(before.map_or(0, |at| if at < last { at + 1 } else { 0 })),
                    Key::Char(c) => digit(c, options.len()).or(before),
                    Key::Backspace | Key::Delete => None,
                    _ => before,
                };
                *at != before
            }
            Entry::Ticks { options, on, at } => match key {
                Key::Left => {
                    *at = at.saturating_sub(1);
                    false
                }
                Key::Right => {
                    *at = (*at + 1).min(options.len().saturating_sub(1));
                    false
                }
                Key::Char(' ') => toggle(on, *at),
                Key::Char(c) => digit(c, options.len()).is_some_and(|index| {
                    *at = index;
                    toggle(on, index)
                }),
                _ => false,
            },
        }
    }

    /// A click on one of the options.
    pub fn take(&mut self, index: usize) {
        match &mut self.entry {
            Entry::Choice { options, at } if index < options.len() => *at = Some(index),
            Entry::Ticks { on, at, .. } => {
                *at = index;
                toggle(on, index);
            }
            _ => {}
        }
    }

    pub fn paste(&mut self, text: &str) {
        if let Entry::Text(input) = &mut self.entry {
            // Terminals send a pasted line break as a carriage return.
            for c in text.replace("\r\n", "\n").chars() {
                let c = if matches!(c, '\n' | '\r' | '\t') { ' ' } else { c };
                if !c.is_control() {
                    input.handle(InputRequest::InsertChar(c));
                }
            }
        }
    }
}

fn toggle(on: &mut [bool], index: usize) -> bool {
    match on.get_mut(index) {
        Some(flag) => {
            *flag = !*flag;
            true
        }
        None => false,
    }
}

/// `1` is the first of `count`.
pub fn digit(c: char, count: usize) -> Option<usize> {
    let number = usize::try_from(c.to_digit(10)?).ok()?;
    number.checked_sub(1).filter(|index| *index < count)
}

/// Editing keys of a text. True when the text changed.
pub fn type_into(input: &mut Input, key: Key) -> bool {
    let request = match key {
        Key::Char(c) => InputRequest::InsertChar(c),
        Key::Backspace => InputRequest::DeletePrevChar,
        Key::Delete => InputRequest::DeleteNextChar,
        Key::Left => InputRequest::GoToPrevChar,
        Key::Right => InputRequest::GoToNextChar,
        Key::Home => InputRequest::GoToStart,
        Key::End => InputRequest::GoToEnd,
        Key::Ctrl('u') => InputRequest::DeleteLine,
        _ => return false,
    };
    input.handle(request).is_some_and(|changed| changed.value)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn digits_choose_and_letters_do_not() {
        let mut field = Field::choice("severity", "severity", vec!["minor".into(), "major".into()], None);
        assert!(field.key(Key::Char('2')));
        assert!(!field.key(Key::Char('3')), "there is no third");
        assert!(!field.key(Key::Char('0')));
        assert!(matches!(field.entry, Entry::Choice { at: Some(1), .. }));
        assert!(field.key(Key::Backspace), "what was chosen can be taken back");
        assert!(matches!(field.entry, Entry::Choice { at: None, .. }));
    }

    #[test]
    fn pasted_line_breaks_become_spaces() {
        let mut field = Field::text("note", "note", "a");
        field.paste("b\nc\rd\r\ne\u{7}");
        assert!(matches!(&field.entry, Entry::Text(input) if input.value() == "ab c d e"));
    }
}
