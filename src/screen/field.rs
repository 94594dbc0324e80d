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
    /// One of many: typing narrows them down, left and right go among those that are left.
    Find {
        options: Vec<String>,
        typed: Input,
        at: Option<usize>,
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

    /// A choice of many, narrowed down by typing.
    pub fn find(
        name: &'static str,
        label: impl Into<String>,
        options: Vec<String>,
        at: Option<usize>,
    ) -> Field {
        let entry = Entry::Find { options, typed: Input::default(), at };
        Field { name, label: label.into(), hint: String::new(), entry, is_secret: false }
    }

    /// Ticks what is named.
    pub fn ticked(mut self, names: &[&str]) -> Field {
        if let Entry::Ticks { options, on, .. } = &mut self.entry {
            for (option, on) in options.iter().zip(on) {
                *on = names.contains(&option.as_str());
            }
        }
        self
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
                Key::Char(c) if c.is_alphabetic() => {
                    *at = next_with(options, *at, c);
                    false
                }
                Key::Char(c) => digit(c, options.len()).is_some_and(|index| {
                    *at = index;
                    toggle(on, index)
                }),
                _ => false,
            },
            Entry::Find { options, typed, at } => find_key(options, typed, at, key),
        }
    }

    /// A click on one of the options.
    pub fn take(&mut self, index: usize) {
        match &mut self.entry {
            Entry::Choice { options, at } | Entry::Find { options, at, .. } if index < options.len() => {
                *at = Some(index);
            }
            Entry::Ticks { on, at, .. } => {
                *at = index;
                toggle(on, index);
            }
            _ => {}
        }
    }

    pub fn paste(&mut self, text: &str) {
        if let Entry::Text(input) | Entry::Find { typed: input, .. } = &mut self.entry {
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

/// The next option that begins with this letter.
fn next_with(options: &[String], at: usize, letter: char) -> usize {
    let begins = |option: &String| {
        option.chars().next().is_some_and(|first| first.to_lowercase().eq(letter.to_lowercase()))
    };
    let found = (1..=options.len()).map(|step| (at + step) % options.len());
    found.into_iter().find(|index| options.get(*index).is_some_and(begins)).unwrap_or(at)
}

/// Indexes of the options in which every typed word occurs.
pub fn left_over(options: &[String], typed: &str) -> Vec<usize> {
    let words: Vec<String> = typed.to_lowercase().split_whitespace().map(str::to_string).collect();
    let fits = |option: &String| {
        let option = option.to_lowercase();
        words.iter().all(|word| option.contains(word.as_str()))
    };
    options.iter().enumerate().filter(|(_, option)| fits(option)).map(|(index, _)| index).collect()
}

fn find_key(options: &[String], typed: &mut Input, at: &mut Option<usize>, key: Key) -> bool {
    let before = (typed.value().to_string(), *at);
    match key {
        Key::Left | Key::Right => {
            let left = left_over(options, typed.value());
            let place = at.and_then(|at| left.iter().position(|index| *index == at));
            let last = left.len().saturating_sub(1);
            let next = match (place, key == Key::Right) {
                (None, _) => 0,
                (Some(place), true) => (place + 1).min(last),
                (Some(place), false) => place.saturating_sub(1),
            };
            *at = left.get(next).copied();
        }
        _ => {
            if type_into(typed, key) {
                // Only what is the one left is taken by itself.
                let left = left_over(options, typed.value());
                *at = match left[..] {
                    [one] => Some(one),
                    _ => None,
                };
            }
        }
    }
    before != (typed.value().to_string(), *at)
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

    fn type_all(field: &mut Field, text: &str) {
        for c in text.chars() {
            field.key(Key::Char(c));
        }
    }

    #[test]
    fn typing_narrows_down_and_only_the_last_one_left_is_taken_by_itself() {
        let options = ["hail: hail", "heavy-landing: heavy landing", "wing-heavy: one wing heavy"];
        let mut field = Field::find("kind", "kind", options.map(String::from).to_vec(), None);
        let chosen = |field: &Field| match field.entry {
            Entry::Find { at, .. } => at,
            _ => None,
        };
        type_all(&mut field, "heavy");
        assert_eq!(chosen(&field), None, "two are left");
        type_all(&mut field, " wing");
        assert_eq!(chosen(&field), Some(2));
        for _ in 0..10 {
            field.key(Key::Backspace);
        }
        assert_eq!(chosen(&field), None);
        field.key(Key::Right);
        field.key(Key::Right);
        assert_eq!(chosen(&field), Some(1));
        type_all(&mut field, "xyz");
        field.key(Key::Right);
        assert_eq!(chosen(&field), None, "nothing is left");
    }

    #[test]
    fn pasted_line_breaks_become_spaces() {
        let mut field = Field::text("note", "note", "a");
        field.paste("b\nc\rd\r\ne\u{7}");
        assert!(matches!(&field.entry, Entry::Text(input) if input.value() == "ab c d e"));
    }
}
