//! `record keys`: the table of keys, as a person or a script reads it.

use serde_json::{Value, json};

use super::output::{Failure, Output};
use crate::airframe::fields::{AIRFRAME, AUTHORISATIONS, Form, INSTRUMENTS, List, PEOPLE, kinds_of_reports};
use crate::airframe::sheet::RecordFile;
use crate::diagnostic::suggest;
use crate::words::{Language, said, with_language};

pub(super) fn keys(list: Option<&str>, json: bool, out: &mut Output) -> Result<(), Failure> {
    let head = List {
        key: "airframe",
        one: "an airframe",
        title: mark!("Airframe (above the lists)"),
        fields: AIRFRAME,
    };
    let airframe = RecordFile::Airframe(String::new());
    let registers = [PEOPLE, AUTHORISATIONS, INSTRUMENTS];
    let all: Vec<&List> = std::iter::once(&head).chain(airframe.lists()).chain(&registers).collect();
    let shown: Vec<&List> = match list {
        None => all,
        Some(word) => {
            let key = word.replace('-', "_");
            let names: Vec<&str> = all.iter().map(|list| list.key).collect();
            let found = all.into_iter().find(|list| list.key == key).ok_or_else(|| {
                Failure::usage(&say!(
                    "there is no list \"{word}\"; {}",
                    suggest(&key, names.iter().copied()).unwrap_or_default(),
                    word = word
                ))
            })?;
            vec![found]
        }
    };
    if json {
        out.json(&shown.iter().map(|list| list_json(list)).collect::<Vec<_>>());
        return Ok(());
    }
    for list in &shown {
        out.line(&format!("{}: {}", list.key, said(list.title)));
        for field in list.fields {
            let star = if field.needed { "*" } else { " " };
            let hint = if field.hint.is_empty() { String::new() } else { format!("; {}", said(field.hint)) };
            out.line(&format!(
                "  {star} {:<30} {} [{}]{hint}",
                field.key,
                said(field.label),
                form_words(field.form)
            ));
        }
    }
    if list.is_some()
        && shown.iter().any(|list| list.fields.iter().any(|field| field.form == Form::ReportKind))
    {
        out.line(say!("kinds:"));
        for (id, words) in kinds_of_reports() {
            out.line(&format!("    {id:<20} {}", said(words)));
        }
    }
    out.line(say!("* needed"));
    out.line(said(IN_A_FILE));
    Ok(())
}

const IN_A_FILE: &str = mark!(
    "\
by hand in a file: each entry of a list begins with its name, as [[report]]; under a person [[person.authorisation]]
  text = \"in quotes\", number = \"12.5\", whole number = 12, date = 2026-03-31, yes or no = true, words = [\"a\", \"b\"]
  deferral.… and withdrawn.… stand in a table of their own: [deferral], withdrawn = { on = 2026-03-31, … }"
);

fn list_json(list: &List) -> Value {
    let fields = list.fields.iter().map(|field| {
        json!({
            "key": field.key, "label": field.label, "needed": field.needed, "form": with_language(Language::English, || form_words(field.form)),
            "hint": field.hint,
        })
    });
    json!({ "list": list.key, "title": list.title, "keys": fields.collect::<Vec<_>>() })
}

fn form_words(form: Form) -> String {
    match form {
        Form::Text => say!("text").to_string(),
        Form::Number("") => say!("number").to_string(),
        Form::Number(unit) => say!("number, {unit}", unit = unit),
        Form::Whole => say!("whole number").to_string(),
        Form::Date => say!("date").to_string(),
        Form::Flag => say!("yes or no").to_string(),
        Form::Choice(words) => words.join(" | "),
        Form::Texts([]) => say!("words, parted by commas").to_string(),
        Form::Texts(words) => say!("some of: {}", words.join(", ")),
        Form::ReportKind => say!("kind of report or occurrence").to_string(),
    }
}
