//! `record keys`: the table of keys, as a person or a script reads it.

use serde_json::{Value, json};

use super::output::{Failure, Output};
use crate::airframe::fields::{AIRFRAME, AUTHORISATIONS, Form, INSTRUMENTS, List, PEOPLE, kinds_of_reports};
use crate::airframe::sheet::RecordFile;
use crate::diagnostic::suggest;

pub(super) fn keys(list: Option<&str>, json: bool, out: &mut Output) -> Result<(), Failure> {
    let head =
        List { key: "airframe", one: "an airframe", title: "Airframe (above the lists)", fields: AIRFRAME };
    let airframe = RecordFile::Airframe(String::new());
    let registers = [PEOPLE, AUTHORISATIONS, INSTRUMENTS];
    let all: Vec<&List> = std::iter::once(&head).chain(airframe.lists()).chain(&registers).collect();
    let shown: Vec<&List> = match list {
        None => all,
        Some(word) => {
            let key = word.replace('-', "_");
            let names: Vec<&str> = all.iter().map(|list| list.key).collect();
            let found = all.into_iter().find(|list| list.key == key).ok_or_else(|| {
                Failure::usage(&format!(
                    "there is no list \"{word}\"; {}",
                    suggest(&key, names.iter().copied()).unwrap_or_default()
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
        out.line(&format!("{}: {}", list.key, list.title));
        for field in list.fields {
            let star = if field.needed { "*" } else { " " };
            let hint = if field.hint.is_empty() { String::new() } else { format!("; {}", field.hint) };
            out.line(&format!(
                "  {star} {:<30} {} [{}]{hint}",
                field.key,
                field.label,
                form_words(field.form)
            ));
        }
    }
    if list.is_some()
        && shown.iter().any(|list| list.fields.iter().any(|field| field.form == Form::ReportKind))
    {
        out.line("kinds:");
        for (id, words) in kinds_of_reports() {
            out.line(&format!("    {id:<20} {words}"));
        }
    }
    out.line("* needed");
    Ok(())
}

fn list_json(list: &List) -> Value {
    let fields = list.fields.iter().map(|field| {
        json!({
            "key": field.key, "label": field.label, "needed": field.needed, "form": form_words(field.form),
            "hint": field.hint,
        })
    });
    json!({ "list": list.key, "title": list.title, "keys": fields.collect::<Vec<_>>() })
}

fn form_words(form: Form) -> String {
    match form {
        Form::Text => "text".to_string(),
        Form::Number("") => "number".to_string(),
        Form::Number(unit) => format!("number, {unit}"),
        Form::Whole => "whole number".to_string(),
        Form::Date => "date".to_string(),
        Form::Flag => "yes or no".to_string(),
        Form::Choice(words) => words.join(" | "),
        Form::Texts([]) => "words, parted by commas".to_string(),
        Form::Texts(words) => format!("some of: {}", words.join(", ")),
        Form::ReportKind => "kind of report or occurrence".to_string(),
    }
}
