//! One TOML table, asked key by key.

use std::cell::RefCell;
use std::ops::Range;

use chrono::NaiveDate;
use serde_spanned::Spanned;
use toml::de::{DeTable, DeValue};

use super::{Faults, Located};
use crate::diagnostic::{Diagnostic, Place, nearest, suggest};
use crate::quantity::{Number, Unit};
use crate::words::said;

/// A table under reading. Ask for keys, then call [`Table::finish`].
pub struct Table<'t> {
    table: &'t DeTable<'t>,
    span: Range<usize>,
    what: &'static str,
    faults: &'t Faults,
    asked: RefCell<Vec<&'static str>>,
    missing: RefCell<Vec<&'static str>>,
}

impl<'t> Table<'t> {
    pub(super) fn new(
        table: &'t DeTable<'t>,
        span: Range<usize>,
        what: &'static str,
        faults: &'t Faults,
    ) -> Self {
        // A step asks for some twenty keys: one allocation instead of five.
        let asked = RefCell::new(Vec::with_capacity(24));
        Table { table, span, what, faults, asked, missing: RefCell::default() }
    }

    pub fn span(&self) -> Range<usize> {
        self.span.clone()
    }

    pub fn place(&self, span: Range<usize>) -> Place {
        self.faults.place(span)
    }

    pub fn fault(&self, diagnostic: Diagnostic) {
        self.faults.add(diagnostic);
    }

    /// Reports a fault at `span` and returns nothing, for use at the end of a match.
    pub fn reject<T>(
        &self,
        code: &'static str,
        span: Range<usize>,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Option<T> {
        self.faults.add(Diagnostic::new(code, self.place(span), message).hint(hint));
        None
    }

    #[cfg_attr(test, track_caller)]
    fn get(&self, key: &'static str) -> Option<&'t Spanned<DeValue<'t>>> {
        self.asked.borrow_mut().push(key);
        #[cfg(test)]
        super::asked::note(self.what, key);
        self.table.get(key)
    }

    /// Byte range of a key's value, where the key is present.
    pub fn span_of(&self, key: &str) -> Option<Range<usize>> {
        self.table.get(key).map(Spanned::span)
    }

    /// The place of the `nth` entry (from 0) of a list whose `key` is that text; of the list where there is none.
    pub fn span_in_list(&self, list: &str, key: &str, text: &str, nth: usize) -> Range<usize> {
        let whole = || self.span_of(list).unwrap_or(0..0);
        let Some(DeValue::Array(entries)) = self.table.get(list).map(Spanned::get_ref) else {
            return whole();
        };
        let mut places = entries.iter().filter_map(|entry| {
            let value = entry.get_ref().as_table()?.get(key)?;
            (value.get_ref().as_str()?.trim() == text).then(|| value.span())
        });
        places.nth(nth).unwrap_or_else(whole)
    }

    pub fn has(&self, key: &str) -> bool {
        self.span_of(key).is_some()
    }

    /// Marks keys as known without reading them, where another fault keeps them from being read.
    pub fn know(&self, keys: &[&'static str]) {
        self.asked.borrow_mut().extend_from_slice(keys);
    }

    /// The keys as written, with their places. Marks none of them as asked.
    pub fn keys(&self) -> Vec<Located<String>> {
        self.table.keys().map(|key| Located::new(key.get_ref().to_string(), key.span())).collect()
    }

    fn wrong_type<T>(&self, key: &str, value: &Spanned<DeValue<'_>>, wanted: &str) -> Option<T> {
        let found = value.get_ref().type_str();
        let hint = match (wanted, found) {
            ("a whole number", "float") => say!("write it without a decimal point"),
            (_, "float") => {
                say!("put the number in quotes, as \"12.5\", so that it is kept exactly as decided")
            }
            _ => say!("change the value to the kind that is wanted"),
        };
        self.reject(
            "wrong-type",
            value.span(),
            say!("\"{key}\" must be {wanted}, not {found}", key = key, wanted = said(wanted), found = found),
            hint,
        )
    }

    fn required<T>(&self, key: &'static str, found: Option<T>) -> Option<T> {
        if found.is_none() && !self.has(key) {
            self.missing.borrow_mut().push(key);
        }
        found
    }

    #[cfg_attr(test, track_caller)]
    pub fn text(&self, key: &'static str) -> Option<Located<String>> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::String(text) if text.trim().is_empty() => self.reject(
                "empty-text",
                value.span(),
                say!("\"{key}\" is empty", key = key),
                say!("write it, or leave the key out"),
            ),
            DeValue::String(text) => Some(Located::new(text.trim().to_string(), value.span())),
            _ => self.wrong_type(key, value, mark!("a text in quotes")),
        }
    }

    #[cfg_attr(test, track_caller)]
    pub fn required_text(&self, key: &'static str) -> Option<Located<String>> {
        self.required(key, self.text(key))
    }

    #[cfg_attr(test, track_caller)]
    pub fn flag(&self, key: &'static str) -> Option<bool> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::Boolean(flag) => Some(*flag),
            _ => self.wrong_type(key, value, mark!("true or false")),
        }
    }

    /// A whole number from 0 to 2^32 - 1.
    #[cfg_attr(test, track_caller)]
    pub fn whole(&self, key: &'static str) -> Option<Located<u32>> {
        let value = self.get(key)?;
        let DeValue::Integer(integer) = value.get_ref() else {
            return self.wrong_type(key, value, mark!("a whole number"));
        };
        match u32::from_str_radix(integer.as_str(), integer.radix()) {
            Ok(number) => Some(Located::new(number, value.span())),
            Err(_) => self.reject(
                "wrong-type",
                value.span(),
                say!("\"{key}\" must be a whole number from 0 to {}", u32::MAX, key = key),
                say!("change the number"),
            ),
        }
    }

    /// A decided number: a quoted decimal, kept as written, or a TOML integer.
    #[cfg_attr(test, track_caller)]
    pub fn number(&self, key: &'static str) -> Option<Located<Number>> {
        let value = self.get(key)?;
        let text = match value.get_ref() {
            DeValue::String(text) => text.to_string(),
            DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().to_string(),
            _ => return self.wrong_type(key, value, mark!("a number in quotes")),
        };
        match text.parse::<Number>() {
            Ok(number) => Some(Located::new(number, value.span())),
            Err(error) => self.reject(
                "not-a-number",
                value.span(),
                format!("\"{key}\": {error}"),
                say!("write it like \"12.5\""),
            ),
        }
    }

    #[cfg_attr(test, track_caller)]
    pub fn unit(&self, key: &'static str) -> Option<Located<Unit>> {
        let text = self.text(key)?;
        match Unit::parse(&text.value) {
            Ok(unit) => Some(Located::new(unit, text.span)),
            Err(error) => {
                self.reject("unknown-unit", text.span, error.to_string(), say!("use a unit that is known"))
            }
        }
    }

    #[cfg_attr(test, track_caller)]
    pub fn date(&self, key: &'static str) -> Option<Located<NaiveDate>> {
        let value = self.get(key)?;
        let found = match value.get_ref() {
            DeValue::Datetime(datetime) if datetime.time.is_none() => datetime.date.and_then(|date| {
                NaiveDate::from_ymd_opt(i32::from(date.year), u32::from(date.month), u32::from(date.day))
            }),
            _ => None,
        };
        match found {
            Some(date) => Some(Located::new(date, value.span())),
            None => self.wrong_type(key, value, mark!("a date such as 2026-03-31, without quotes")),
        }
    }

    #[cfg_attr(test, track_caller)]
    pub fn required_date(&self, key: &'static str) -> Option<Located<NaiveDate>> {
        self.required(key, self.date(key))
    }

    #[cfg_attr(test, track_caller)]
    pub fn texts(&self, key: &'static str) -> Vec<Located<String>> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let DeValue::Array(array) = value.get_ref() else {
            self.wrong_type::<()>(key, value, mark!("a list of texts"));
            return Vec::new();
        };
        let mut texts = Vec::new();
        for item in array.iter() {
            match item.get_ref() {
                DeValue::String(text) => texts.push(Located::new(text.trim().to_string(), item.span())),
                _ => {
                    self.wrong_type::<()>(key, item, mark!("a list of texts"));
                }
            }
        }
        texts
    }

    /// A value or list of values as their texts, each as written: strings, numbers, flags and dates.
    ///
    /// For files of readings, where a number is what stands there: `12.50` is not put through a binary fraction.
    #[cfg_attr(test, track_caller)]
    pub fn written(&self, key: &'static str) -> Option<Vec<Located<String>>> {
        let value = self.get(key)?;
        let items = match value.get_ref() {
            DeValue::Array(array) => array.iter().collect(),
            _ => vec![value],
        };
        let mut texts = Vec::with_capacity(items.len());
        for item in items {
            let text = match item.get_ref() {
                DeValue::String(text) => text.trim().to_string(),
                DeValue::Integer(integer) if integer.radix() == 10 => integer.as_str().to_string(),
                DeValue::Float(float) => float.as_str().to_string(),
                DeValue::Boolean(flag) => flag.to_string(),
                DeValue::Datetime(date) => date.to_string(),
                _ => return self.wrong_type(key, item, mark!("a text, a number or a date")),
            };
            texts.push(Located::new(text, item.span()));
        }
        Some(texts)
    }

    #[cfg_attr(test, track_caller)]
    pub fn table(&self, key: &'static str, what: &'static str) -> Option<Table<'t>> {
        let value = self.get(key)?;
        match value.get_ref() {
            DeValue::Table(table) => Some(Table::new(table, value.span(), what, self.faults)),
            _ => self.wrong_type(key, value, mark!("a table")),
        }
    }

    /// A list of tables, as `[[key]]` or as inline tables.
    #[cfg_attr(test, track_caller)]
    pub fn tables(&self, key: &'static str, what: &'static str) -> Vec<Table<'t>> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let DeValue::Array(array) = value.get_ref() else {
            self.wrong_type::<()>(key, value, mark!("a list of tables"));
            return Vec::new();
        };
        let mut tables = Vec::new();
        for item in array.iter() {
            match item.get_ref() {
                DeValue::Table(table) => tables.push(Table::new(table, item.span(), what, self.faults)),
                _ => {
                    self.wrong_type::<()>(key, item, mark!("a list of tables"));
                }
            }
        }
        tables
    }

    /// One word of a fixed vocabulary.
    #[cfg_attr(test, track_caller)]
    pub fn choice<T: Copy>(&self, key: &'static str, known: &[(&'static str, T)]) -> Option<Located<T>> {
        let text = self.text(key)?;
        match known.iter().find(|(word, _)| *word == text.value) {
            Some((_, value)) => Some(Located::new(*value, text.span)),
            None => {
                self.unknown_word("unknown-word", key, &text, known.iter().map(|(word, _)| *word));
                None
            }
        }
    }

    #[cfg_attr(test, track_caller)]
    pub fn required_choice<T: Copy>(
        &self,
        key: &'static str,
        known: &[(&'static str, T)],
    ) -> Option<Located<T>> {
        self.required(key, self.choice(key, known))
    }

    pub fn unknown_word<'k>(
        &self,
        code: &'static str,
        what: &str,
        word: &Located<String>,
        known: impl IntoIterator<Item = &'k str>,
    ) {
        self.faults.add(
            Diagnostic::new(
                code,
                self.place(word.span.clone()),
                say!("\"{}\" is no known {what}", word.value, what = what),
            )
            .maybe_hint(suggest(&word.value, known)),
        );
    }

    /// Where this text stands as `key` in the rows of a list of tables that was read.
    pub fn texts_below(&self, list: &str, key: &str, text: &str) -> Vec<Range<usize>> {
        let Some(DeValue::Array(rows)) = self.table.get(list).map(Spanned::get_ref) else {
            return Vec::new();
        };
        let of_row = |row: &Spanned<DeValue<'_>>| match row.get_ref() {
            DeValue::Table(row) => row
                .get(key)
                .filter(|value| matches!(value.get_ref(), DeValue::String(found) if found.trim() == text))
                .map(Spanned::span),
            _ => None,
        };
        rows.iter().filter_map(of_row).collect()
    }

    /// Every key with its text, for tables whose keys are free. Marks all keys as asked.
    pub fn all_texts(&self) -> Vec<(Located<String>, Located<String>)> {
        let mut pairs = Vec::new();
        for (key, value) in self.table.iter() {
            match value.get_ref() {
                DeValue::String(text) => pairs.push((
                    Located::new(key.get_ref().to_string(), key.span()),
                    Located::new(text.trim().to_string(), value.span()),
                )),
                _ => {
                    self.wrong_type::<()>(key.get_ref(), value, mark!("a text in quotes"));
                }
            }
        }
        pairs
    }

    /// Reports keys that nobody asked for and required keys that are not there.
    pub fn finish(self) {
        let asked = self.asked.into_inner();
        let mut missing = self.missing.into_inner();
        for key in self.table.keys().filter(|key| !asked.contains(&key.get_ref().as_ref())) {
            let near = nearest(key.get_ref(), asked.iter().copied());
            if let Some(near) = near {
                missing.retain(|wanted| *wanted != near);
            }
            self.faults.add(
                Diagnostic::new(
                    "unknown-key",
                    self.faults.place(key.span()),
                    say!("\"{}\" is not a key of {}", key.get_ref(), said(self.what)),
                )
                .maybe_hint(suggest(key.get_ref(), asked.iter().copied())),
            );
        }
        for key in missing {
            self.faults.add(
                Diagnostic::new(
                    "missing-key",
                    self.faults.place(self.span.clone()),
                    say!("{} lacks \"{key}\"", said(self.what), key = key),
                )
                .hint(say!("add {key} = …", key = key)),
            );
        }
    }
}
