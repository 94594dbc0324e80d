//! Changes to the text of a record or register: only what is changed is written anew, comments and order of the rest stay.
//!
//! Text in, text out: whoever writes the file reads the new text with its reader first.

use std::fmt;

use chrono::NaiveDate;
use toml_edit::{Array, ArrayOfTables, DocumentMut, InlineTable, Item, Table, TableLike, Value};

use super::fields::{Field, Form, kinds_of_reports};
use crate::diagnostic::suggest;
use crate::quantity::Number;

/// A value as it is written into the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Written {
    Text(String),
    /// In quotes, so that it stays as decided.
    Number(Number),
    Whole(u32),
    Date(NaiveDate),
    Flag(bool),
    Texts(Vec<String>),
}

/// A key and its new value; `None` takes the key out. "withdrawn.on" is the key `on` of the table `withdrawn`.
pub type Change = (String, Option<Written>);

/// One change of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Edit {
    /// Keys that stand above the lists.
    Head(Vec<Change>),
    /// A new entry at the end of a list; `below` names the list and entry that it belongs to, as a person's authorisation.
    Add { list: String, below: Option<(String, usize)>, changes: Vec<Change> },
    /// Keys of the entry with this place in its list, from 0.
    Alter { list: String, at: usize, below: Option<(String, usize)>, changes: Vec<Change> },
    /// Takes an entry out.
    Remove { list: String, at: usize, below: Option<(String, usize)> },
}

/// Why the text cannot be changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct EditFault {
    pub why: String,
    pub next: String,
}

impl fmt::Display for EditFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}; {}", self.why, self.next)
    }
}

impl std::error::Error for EditFault {}

fn fault<T>(why: impl Into<String>, next: impl Into<String>) -> Result<T, EditFault> {
    Err(EditFault { why: why.into(), next: next.into() })
}

/// The text with all changes made, in their order.
///
/// # Errors
/// The text is no TOML; an entry that it does not have.
pub fn edited(text: &str, edits: &[Edit]) -> Result<String, EditFault> {
    let mut document: DocumentMut = text.parse().or_else(|error: toml_edit::TomlError| {
        fault(error.message().to_string(), say!("correct the file by hand first"))
    })?;
    let is_bare = document.is_empty();
    for edit in edits {
        apply(document.as_table_mut(), edit)?;
    }
    if is_bare && !text.trim().is_empty() {
        // Nothing but comments, such as an example: what is entered stands below them.
        document.set_trailing("");
        return Ok(format!("{}\n\n{document}", text.trim_end()));
    }
    Ok(document.to_string())
}

fn apply(root: &mut Table, edit: &Edit) -> Result<(), EditFault> {
    match edit {
        Edit::Head(changes) => change_all(root, changes),
        Edit::Add { list, below, changes } => {
            let mut entry = Table::new();
            change_all(&mut entry, changes)?;
            entries(holder(root, below.as_ref())?, list)?.push(entry);
            Ok(())
        }
        Edit::Alter { list, at, below, changes } => {
            let list = entries(holder(root, below.as_ref())?, list)?;
            match list.get_mut(*at) {
                Some(entry) => change_all(entry, changes),
                None => gone(*at),
            }
        }
        Edit::Remove { list, at, below } => {
            let list = entries(holder(root, below.as_ref())?, list)?;
            if *at >= list.len() {
                return gone(*at);
            }
            list.remove(*at);
            Ok(())
        }
    }
}

fn gone<T>(at: usize) -> Result<T, EditFault> {
    fault(
        say!("the file has no entry {} in that list", at + 1),
        say!("read it again; it was changed meanwhile"),
    )
}

fn holder<'a>(root: &'a mut Table, below: Option<&(String, usize)>) -> Result<&'a mut Table, EditFault> {
    match below {
        None => Ok(root),
        Some((list, at)) => match entries(root, list)?.get_mut(*at) {
            Some(table) => Ok(table),
            None => gone(*at),
        },
    }
}

fn entries<'a>(table: &'a mut Table, key: &str) -> Result<&'a mut ArrayOfTables, EditFault> {
    let item = table.entry(key).or_insert(Item::ArrayOfTables(ArrayOfTables::new()));
    if item.as_array().is_some_and(|array| array.iter().all(Value::is_inline_table)) {
        // Written as inline tables by hand: the same content as [[key]].
        if let Ok(tables) = std::mem::take(item).into_array_of_tables() {
            *item = Item::ArrayOfTables(tables);
        }
    }
    match item.as_array_of_tables_mut() {
        Some(entries) => Ok(entries),
        None => fault(
            say!("\"{key}\" is no list of entries", key = key),
            say!("write the entries as [[{key}]]", key = key),
        ),
    }
}

fn change_all(table: &mut Table, changes: &[Change]) -> Result<(), EditFault> {
    for (key, value) in changes {
        match key.split_once('.') {
            None => change(table, key, value.as_ref()),
            Some((inner, key)) => {
                if value.is_none() && !table.contains_key(inner) {
                    continue;
                }
                let item = table.entry(inner).or_insert(Item::Value(Value::InlineTable(InlineTable::new())));
                match item.as_table_like_mut() {
                    Some(inner) => change(inner, key, value.as_ref()),
                    None => {
                        return fault(
                            say!("\"{inner}\" is no table", inner = inner),
                            say!("correct it by hand"),
                        );
                    }
                }
                if item.as_table_like().is_some_and(TableLike::is_empty) {
                    table.remove(inner);
                }
            }
        }
    }
    Ok(())
}

/// A value that stands already keeps what is written around it, such as a comment behind it.
fn change(table: &mut dyn TableLike, key: &str, value: Option<&Written>) {
    let Some(written) = value else {
        table.remove(key);
        return;
    };
    let mut value = toml_value(written);
    if let Some(old) = table.get_mut(key).and_then(Item::as_value_mut) {
        *value.decor_mut() = old.decor().clone();
        *old = value;
        return;
    }
    table.insert(key, Item::Value(value));
}

fn toml_value(written: &Written) -> Value {
    match written {
        Written::Text(text) => Value::from(text.as_str()),
        Written::Number(number) => Value::from(number.to_string()),
        Written::Whole(number) => Value::from(i64::from(*number)),
        Written::Flag(flag) => Value::from(*flag),
        Written::Texts(texts) => Value::Array(texts.iter().map(String::as_str).collect::<Array>()),
        // A day of the calendar is always a TOML date; one far outside it is left as text for the reader to refuse.
        Written::Date(day) => day
            .to_string()
            .parse::<toml_edit::Datetime>()
            .map_or_else(|_| Value::from(day.to_string()), Value::from),
    }
}

/// What a person typed for a key. `None` for nothing.
///
/// # Errors
/// What is wrong with it, and how it is written, in plain words.
pub fn parse_typed(field: &Field, typed: &str) -> Result<Option<Written>, EditFault> {
    let typed = typed.trim();
    if typed.is_empty() {
        return if field.needed {
            fault(say!("\"{}\" is missing", field.words()), say!("fill it in"))
        } else {
            Ok(None)
        };
    }
    parse_given(field, typed).map(Some)
}

/// As [`parse_typed`], for a person at the screen or the command line: number and day as the spoken language writes them.
///
/// # Errors
/// As for [`parse_typed`]; a number that can be read in two ways.
pub fn parse_spoken(field: &Field, typed: &str) -> Result<Option<Written>, EditFault> {
    match field.form {
        Form::Number(_) => match crate::quantity::neutral_number(typed) {
            Ok(neutral) => parse_typed(field, &neutral),
            Err(error) => fault(format!("{}: {error}", field.label), say!("write a number such as 12.5")),
        },
        Form::Date => match crate::words::day(typed) {
            Some(day) => Ok(Some(Written::Date(day))),
            None => parse_typed(field, typed),
        },
        _ => parse_typed(field, typed),
    }
}

/// What stands in a file, as a person would type it in the spoken language.
pub fn as_typed(field: &Field, neutral: &str) -> String {
    match field.form {
        Form::Number(_) => crate::words::number(neutral).into_owned(),
        Form::Date => neutral.parse().map_or_else(|_| neutral.to_string(), crate::words::date),
        _ => neutral.to_string(),
    }
}

fn parse_given(field: &Field, typed: &str) -> Result<Written, EditFault> {
    let wrong = |next: &str| fault(say!("{}: \"{typed}\" does not fit", field.words(), typed = typed), next);
    let one_of = |words: &[&str]| match words.iter().find(|word| **word == typed) {
        Some(word) => Ok(Written::Text((*word).to_string())),
        None => {
            let hint = suggest(typed, words.iter().copied());
            wrong(&hint.unwrap_or_else(|| say!("known: {}", words.join(", "))))
        }
    };
    match field.form {
        Form::Text => Ok(Written::Text(typed.to_string())),
        Form::Number(unit) => {
            let bare = typed.strip_suffix(unit).unwrap_or(typed).trim();
            bare.replace(',', ".")
                .parse()
                .map(Written::Number)
                .or_else(|_| wrong(say!("write a number such as 12.5")))
        }
        Form::Whole => {
            typed.parse().map(Written::Whole).or_else(|_| wrong(say!("write a whole number such as 12")))
        }
        Form::Date => {
            typed.parse().map(Written::Date).or_else(|_| wrong(say!("write a date such as 2026-11-25")))
        }
        Form::Flag => match typed {
            "yes" | "true" => Ok(Written::Flag(true)),
            "no" | "false" => Ok(Written::Flag(false)),
            _ => wrong(say!("write yes or no")),
        },
        Form::Choice(words) => one_of(words),
        Form::ReportKind => one_of(&kinds_of_reports().map(|(id, _)| id).collect::<Vec<_>>()),
        Form::Texts(words) => {
            let parts: Vec<String> = typed
                .split(',')
                .map(|part| part.trim().to_string())
                .filter(|part| !part.is_empty())
                .collect();
            match parts.iter().find(|part| !words.is_empty() && !words.contains(&part.as_str())) {
                Some(part) => {
                    let hint = suggest(part, words.iter().copied());
                    fault(
                        say!("{}: \"{part}\" is not known", field.words(), part = part),
                        hint.unwrap_or_else(|| say!("known: {}", words.join(", "))),
                    )
                }
                None => Ok(Written::Texts(parts)),
            }
        }
    }
}

/// The keys of an entry as a person would type them, for a form that changes it. Keys that the entry lacks are empty.
///
/// # Errors
/// As [`edited`].
pub fn typed_of(
    text: &str,
    list: &str,
    below: Option<&(String, usize)>,
    at: usize,
    fields: &[Field],
) -> Result<Vec<String>, EditFault> {
    let mut document: DocumentMut = text.parse().or_else(|error: toml_edit::TomlError| {
        fault(error.message().to_string(), say!("correct the file by hand first"))
    })?;
    let list = entries(holder(document.as_table_mut(), below)?, list)?;
    match list.get(at) {
        Some(entry) => Ok(fields.iter().map(|field| typed(entry, field.key)).collect()),
        None => gone(at),
    }
}

/// The same for the keys above the lists.
///
/// # Errors
/// The text is no TOML.
pub fn typed_head(text: &str, fields: &[Field]) -> Result<Vec<String>, EditFault> {
    let document: DocumentMut = text.parse().or_else(|error: toml_edit::TomlError| {
        fault(error.message().to_string(), say!("correct the file by hand first"))
    })?;
    Ok(fields.iter().map(|field| typed(document.as_table(), field.key)).collect())
}

/// The value of a key as a person would type it; empty where it is missing.
pub(super) fn typed(table: &Table, key: &str) -> String {
    let item = match key.split_once('.') {
        None => table.get(key),
        Some((inner, key)) => table.get(inner).and_then(Item::as_table_like).and_then(|inner| inner.get(key)),
    };
    item.and_then(Item::as_value).map(typed_value).unwrap_or_default()
}

fn typed_value(value: &Value) -> String {
    match value {
        Value::String(text) => text.value().clone(),
        Value::Boolean(flag) => if *flag.value() { "yes" } else { "no" }.to_string(),
        Value::Datetime(date) => date.value().to_string(),
        Value::Integer(number) => number.value().to_string(),
        Value::Array(array) => array.iter().map(typed_value).collect::<Vec<_>>().join(", "),
        other => other.to_string().trim().to_string(),
    }
}

#[cfg(test)]
#[path = "edit_tests.rs"]
mod tests;
