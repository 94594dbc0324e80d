//! A form's typed text, kept for another run and put back when the same form is opened again.
//!
//! One line for the form, one for each field that holds something, parts separated by tabs. What was chosen is
//! kept by its words, not by its place: a register may have grown in between.

use tui_input::Input;

use super::field::{Entry, Field};
use super::form::Form;
use super::paper::ROW;

/// Begins a form: the purpose's key, and its words for a person.
pub const FORM: &str = "form";
const TEXT: &str = "text";
const CHOICE: &str = "choice";
const TICKS: &str = "ticks";
/// Of a form that changes a file: the text that was shown when it was opened, by its hash.
const SHOWN: &str = "shown";

/// What an earlier run kept of one form that was not opened since.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct KeptForm {
    pub key: String,
    pub words: String,
    /// As it stood in the file, to be kept until the form is opened.
    pub text: String,
}

/// The form as text; nothing for a form that is not kept.
pub fn text_of(form: &Form) -> Option<String> {
    let mut text = line(&[FORM, &form.purpose.kept_as()?, &form.purpose.words()]);
    if let Some(file) = &form.on_file {
        text.push_str(&line(&[SHOWN, &file.hash]));
    }
    // A passphrase is never written anywhere.
    for field in form.fields.iter().filter(|field| !field.is_secret) {
        match &field.entry {
            Entry::Text(input) if input.value().is_empty() => {}
            Entry::Text(input) if field.name == ROW => {
                text.push_str(&line(&[ROW, &field.label, input.value()]));
            }
            Entry::Text(input) => text.push_str(&line(&[TEXT, field.name, input.value()])),
            Entry::Choice { options, at } | Entry::Find { options, at, .. } => {
                if let Some(chosen) = at.and_then(|at| options.get(at)) {
                    text.push_str(&line(&[CHOICE, field.name, chosen]));
                }
            }
            Entry::Ticks { options, on, .. } => {
                let ticked = options.iter().zip(on).filter(|(_, on)| **on).map(|(option, _)| option.as_str());
                text.push_str(&line(&[TICKS, field.name].into_iter().chain(ticked).collect::<Vec<_>>()));
            }
        }
    }
    Some(text)
}

impl KeptForm {
    /// `None` where the piece of text is no form.
    pub fn read(text: &str) -> Option<KeptForm> {
        let head = parts(text.lines().next()?);
        match &head[..] {
            [kind, key, words] if kind == FORM && !key.is_empty() => {
                Some(KeptForm { key: key.clone(), words: words.clone(), text: text.to_string() })
            }
            _ => None,
        }
    }

    /// Puts the kept text into the form. What the form does not ask for any more is left out.
    pub fn fill(&self, form: &mut Form) {
        for line in self.text.lines().skip(1) {
            let parts = parts(line);
            if let ([kind, hash], Some(file)) = (&parts[..], &mut form.on_file)
                && kind == SHOWN
            {
                file.hash.clone_from(hash);
            }
            if let [kind, label, value] = &parts[..]
                && kind == ROW
                && let Some(field) = form.fields.iter_mut().find(|field| field.label == *label)
            {
                field.entry = Entry::Text(Input::new(value.clone()));
            }
            if let [kind, name, values @ ..] = &parts[..]
                && let Some(field) = form.fields.iter_mut().find(|field| field.name == name)
            {
                put(field, kind, values);
            }
        }
        form.touched = true;
    }
}

fn put(field: &mut Field, kind: &str, values: &[String]) {
    match (&mut field.entry, kind, values) {
        (Entry::Text(input), TEXT, [value]) => *input = Input::new(value.clone()),
        (Entry::Choice { options, at } | Entry::Find { options, at, .. }, CHOICE, [value]) => {
            *at = options.iter().position(|option| option == value);
        }
        (Entry::Ticks { options, on, .. }, TICKS, values) => {
            for (option, on) in options.iter().zip(on) {
                *on = values.contains(option);
            }
        }
        _ => {}
    }
}

fn line(parts: &[&str]) -> String {
    let escaped = parts.iter().map(|part| {
        part.replace('\\', "\\\\").replace('\t', "\\t").replace('\n', "\\n").replace('\r', "\\r")
    });
    format!("{}\n", escaped.collect::<Vec<_>>().join("\t"))
}

fn parts(line: &str) -> Vec<String> {
    line.split('\t').map(unescaped).collect()
}

fn unescaped(part: &str) -> String {
    let mut text = String::new();
    let mut signs = part.chars();
    while let Some(c) = signs.next() {
        match (c, c == '\\') {
            (_, true) => match signs.next() {
                Some('t') => text.push('\t'),
                Some('n') => text.push('\n'),
                Some('r') => text.push('\r'),
                Some(other) => text.push(other),
                None => {}
            },
            (c, false) => text.push(c),
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::super::purpose::Purpose;
    use super::*;

    fn form() -> Form {
        Form::new(Purpose::Defect { step: Some("fin.flex".into()) }, "Defect")
            .field(Field::text("what", "what", ""))
            .field(Field::choice("side", "side", vec!["left".into(), "right".into()], None))
            .field(Field::ticks("checked", "checked", vec!["sense".into(), "range".into()]))
    }

    #[test]
    fn every_kind_of_field_comes_back() {
        let mut typed = form();
        let odd = "a\\b\tc\\t \u{fc}\nform\tx";
        typed.fields[0].entry = Entry::Text(Input::new(odd.to_string()));
        typed.fields[1].take(1);
        typed.fields[2].take(1);
        let text = text_of(&typed).unwrap();
        assert_eq!(text.lines().count(), 4, "{text}");
        let mut fresh = form();
        // The register has another order now: what was chosen is found by its words.
        fresh.fields[1] = Field::choice("side", "side", vec!["right".into(), "left".into()], None);
        KeptForm::read(&text).unwrap().fill(&mut fresh);
        assert!(fresh.touched);
        assert_eq!(fresh.text("what"), odd);
        assert_eq!((fresh.chosen("side"), fresh.ticked("checked")), (Some(0), vec![1]));
    }

    #[test]
    fn a_signature_is_never_kept_and_an_absurd_text_is_no_form() {
        let sign = Form::new(Purpose::Sign(crate::event::Outcome::Release), "Sign");
        assert_eq!(text_of(&sign.field(Field::text("confirm", "confirm", "XX-VA7"))), None);
        for absurd in ["", "form", "form\t", "form\t\t\n", "text\ta\tb\n", "form\tx\ty\tz\n"] {
            assert_eq!(KeptForm::read(absurd), None, "{absurd:?}");
        }
        let mut fresh = form();
        KeptForm::read("form\tx\ty\n\ntext\nchoice\tside\tupside down\nticks\n").unwrap().fill(&mut fresh);
        assert_eq!(fresh.chosen("side"), None);
    }
}
