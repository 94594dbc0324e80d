//! The config file: TOML text in, values and every fault out.

use std::sync::Arc;

use super::{Form, KEYS, Key, checked};
use crate::diagnostic::{Diagnostic, Source};
use crate::source::{Located, Table, read_through};

/// What a config file sets: key, value, line. A key with a fault is not among them.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct FileSettings(Vec<(&'static str, String, usize)>);

impl FileSettings {
    /// The value of a key and its line, from 1.
    pub fn value(&self, key: &str) -> Option<(String, usize)> {
        self.0.iter().find(|(name, ..)| *name == key).map(|(_, value, line)| (value.clone(), *line))
    }
}

/// Reads a config file as far as it is sound, with all its faults in file order.
pub fn read_settings(source: &Arc<Source>) -> (FileSettings, Vec<Diagnostic>) {
    let (read, faults) = read_through(source, |table| {
        let found = KEYS.iter().filter_map(|key| {
            let (value, at) = value(&table, key)?;
            Some((key.key, value, source.line_column(at).0))
        });
        let found = found.collect();
        table.finish();
        Some(FileSettings(found))
    });
    (read.unwrap_or_default(), faults)
}

/// The value of one key with its place; a fault is told to the table.
fn value(table: &Table<'_>, key: &'static Key) -> Option<(String, usize)> {
    let Located { value: typed, span } = match key.form {
        Form::Text | Form::Folder | Form::Choice(_) => table.text(key.key)?,
        Form::Flag => {
            let flag = table.flag(key.key)?;
            Located::new(if flag { "yes" } else { "no" }.to_string(), table.span_of(key.key)?)
        }
        Form::Whole => {
            let whole = table.whole(key.key)?;
            Located::new(whole.value.to_string(), whole.span)
        }
    };
    match checked(key, &typed) {
        Ok(value) => Some((value, span.start)),
        Err(why) => table.reject("unusable-setting", span, why, hint(key)),
    }
}

fn hint(key: &Key) -> String {
    match key.form {
        Form::Choice(words) => say!("write one of: {}", words.join(", ")),
        _ => say!("such as {} = {}", key.key, key.example),
    }
}
