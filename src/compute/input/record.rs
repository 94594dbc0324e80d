//! One record of an input, asked key by key; what is wrong is told with its place.

use std::rc::Rc;

use std::borrow::Cow;

use chrono::{Datelike, NaiveDate};

use super::{Failed, Faults};
use crate::diagnostic::{Diagnostic, Place, suggest};
use crate::quantity::{Number, NumberError, Quantity, Unit, neutral_number, read_entry, read_typed};
use crate::words::{self, said};

/// A text and where it stands.
#[derive(Debug, Clone)]
pub struct Cell {
    pub text: String,
    pub place: Place,
    /// By a person on the command line, where the sign of the spoken language counts; never in a file.
    pub(super) typed: bool,
}

impl Cell {
    pub(super) fn of_file(text: String, place: Place) -> Cell {
        Cell { text, place, typed: false }
    }

    /// The text with a decimal point.
    fn neutral(&self) -> Result<Cow<'_, str>, NumberError> {
        if self.typed { neutral_number(&self.text) } else { Ok(Cow::Borrowed(&self.text)) }
    }

    /// The text as a number without a unit.
    pub fn bare(&self) -> Result<Number, NumberError> {
        self.neutral()?.parse()
    }

    /// As [`Cell::bare`], where this unit may stand behind the number.
    pub fn bare_before(&self, unit: &str) -> Result<Number, NumberError> {
        self.neutral()?.trim_end().trim_end_matches(unit).parse()
    }
}

/// The settings of a file or one row. Absent keys give nothing; faulty ones give nothing and are told.
pub struct Record {
    values: Vec<(&'static str, Vec<Cell>)>,
    pub place: Place,
    what: &'static str,
    /// Where the columns are named; nothing for TOML.
    pub(super) header: Option<Place>,
    /// What is written before and after a missing key.
    pub(super) add: (&'static str, &'static str),
    /// Keys that an unknown column was meant for: told there, not again as missing.
    pub(super) misspelt: Vec<&'static str>,
    /// Cells of named columns that are empty.
    pub(super) empty: Vec<(&'static str, Place)>,
    faults: Faults,
}

impl Record {
    pub(super) fn new(place: Place, what: &'static str, faults: &Faults) -> Self {
        let faults = Rc::clone(faults);
        let (values, misspelt, empty) = (Vec::new(), Vec::new(), Vec::new());
        Record { values, place, what, header: None, add: ("", ""), misspelt, empty, faults }
    }

    pub(super) fn set(&mut self, key: &'static str, cells: Vec<Cell>) {
        self.values.retain(|(name, _)| *name != key);
        self.values.push((key, cells));
    }

    pub fn has(&self, key: &str) -> bool {
        self.values.iter().any(|(name, _)| *name == key)
    }

    /// Reports a fault at a place.
    pub fn refuse_at(&self, code: &'static str, place: Place, message: String) -> Failed {
        self.faults.borrow_mut().push(Diagnostic::new(code, place, message));
        Failed
    }

    /// Reports what a computation says of this record.
    pub fn refuse(&self, error: impl ToString) -> Failed {
        self.refuse_at("refused", self.place.clone(), error.to_string())
    }

    /// Reports what a computation says of one value, else of the record.
    pub fn refuse_key(&self, key: &str, error: impl ToString) -> Failed {
        let place = self.text(key).map_or(&self.place, |cell| &cell.place).clone();
        self.refuse_at("refused", place, error.to_string())
    }

    fn reject<T>(&self, code: &'static str, cell: &Cell, message: impl ToString) -> Option<T> {
        self.refuse_at(code, cell.place.clone(), message.to_string());
        None
    }

    /// The value where there is one; else the key is told as missing.
    pub fn required<T>(&self, key: &'static str, found: Option<T>) -> Option<T> {
        if found.is_none() && !self.has(key) && !self.misspelt.contains(&key) {
            let empty = self.empty.iter().find(|(name, _)| *name == key).map(|(_, place)| place);
            let (place, message) = match (empty, &self.header) {
                (Some(place), _) => (place, say!("\"{key}\" of {} is empty", said(self.what), key)),
                (None, Some(header)) => (header, say!("the column \"{key}\" is missing", key)),
                (None, None) => (&self.place, say!("{} lacks \"{key}\"", said(self.what), key)),
            };
            let (before, after) = (said(self.add.0), said(self.add.1));
            let fault = Diagnostic::new("missing-key", place.clone(), message).hint(say!(
                "add {before}{key}{after}",
                before,
                key,
                after
            ));
            self.faults.borrow_mut().push(fault);
        }
        found
    }

    pub fn text(&self, key: &str) -> Option<&Cell> {
        self.cells(key).first()
    }

    pub fn required_text(&self, key: &'static str) -> Option<&Cell> {
        self.required(key, self.text(key))
    }

    /// The text, or what stands for it.
    pub fn text_or(&self, key: &str, otherwise: &str) -> String {
        self.text(key).map_or_else(|| otherwise.to_string(), |cell| cell.text.clone())
    }

    fn cells(&self, key: &str) -> &[Cell] {
        self.values.iter().find(|(name, _)| *name == key).map_or(&[], |(_, cells)| cells.as_slice())
    }

    /// The parts of a list: a TOML array, further fields, or one text with semicolons.
    pub fn list(&self, key: &str) -> Vec<Cell> {
        let parts = self.cells(key).iter().flat_map(|cell| {
            cell.text.split(';').map(|part| Cell { text: part.trim().to_string(), ..cell.clone() })
        });
        parts.filter(|part| !part.text.is_empty()).collect()
    }

    fn quantity_in(&self, cell: &Cell, wanted: Unit) -> Option<Quantity> {
        let read = if cell.typed { read_typed } else { read_entry };
        // Quantities speak of the step of a session; here there is only the place.
        read(&cell.text, wanted, true)
            .map_err(|error| self.reject::<()>("value", cell, error.outside_session()))
            .ok()
    }

    fn float_in(&self, cell: &Cell, quantity: Quantity, unit: Unit) -> Option<f64> {
        match quantity.in_unit_f64(unit) {
            Ok(value) if value.is_finite() => Some(value),
            Ok(_) => self.reject("value", cell, say!("the value is too large; check it and its unit")),
            Err(error) => self.reject("value", cell, error.outside_session()),
        }
    }

    /// A quantity of any kind as entered, with its unit.
    pub fn any_quantity(&self, key: &str) -> Option<Quantity> {
        let cell = self.text(key)?;
        let neutral = cell.neutral().map_err(|error| self.reject::<()>("value", cell, error)).ok()?;
        Quantity::parse(&neutral).map_err(|error| self.reject::<()>("value", cell, error)).ok()
    }

    /// A quantity of the kind of `unit`, as entered.
    pub fn quantity(&self, key: &str, unit: Unit) -> Option<Quantity> {
        self.quantity_in(self.text(key)?, unit)
    }

    /// A quantity in `unit`.
    pub fn value(&self, key: &str, unit: Unit) -> Option<f64> {
        let cell = self.text(key)?;
        self.float_in(cell, self.quantity_in(cell, unit)?, unit)
    }

    pub fn required_value(&self, key: &'static str, unit: Unit) -> Option<f64> {
        self.required(key, self.value(key, unit))
    }

    /// A list of quantities in `unit`; nothing when one of them is faulty.
    pub fn values(&self, key: &str, unit: Unit) -> Option<Vec<f64>> {
        let read = |cell: &Cell| self.float_in(cell, self.quantity_in(cell, unit)?, unit);
        self.list(key).iter().map(read).collect()
    }

    fn plain(&self, cell: &Cell) -> Option<f64> {
        match cell.bare() {
            Ok(number) => Some(number.to_f64()),
            Err(error) => self.reject("value", cell, error),
        }
    }

    /// A bare number.
    pub fn number(&self, key: &str) -> Option<f64> {
        self.plain(self.text(key)?)
    }

    /// An exact bare number.
    pub fn exact(&self, key: &str) -> Option<Number> {
        let cell = self.text(key)?;
        cell.bare().map_err(|error| self.reject::<()>("value", cell, error)).ok()
    }

    /// A share: `10 %`, or the bare number `0.10`.
    pub fn share(&self, key: &str) -> Option<f64> {
        let cell = self.text(key)?;
        if cell.text.trim_end().ends_with('%') {
            Some(self.value(key, Unit::Percent)? / 100.0)
        } else {
            self.plain(cell)
        }
    }

    fn whole_in(&self, cell: &Cell, most: u64) -> Option<u64> {
        match cell.text.trim().parse::<u64>() {
            Ok(number) if number <= most => Some(number),
            _ => {
                let message = say!("\"{}\" is no whole number from 0 to {most}", cell.text, most);
                self.reject("value", cell, message)
            }
        }
    }

    /// A whole number up to `most`.
    pub fn whole(&self, key: &str, most: u64) -> Option<u64> {
        self.whole_in(self.text(key)?, most)
    }

    /// A list of whole numbers up to `most`.
    pub fn wholes(&self, key: &str, most: u64) -> Option<Vec<u64>> {
        self.list(key).iter().map(|cell| self.whole_in(cell, most)).collect()
    }

    pub fn date(&self, key: &str) -> Option<NaiveDate> {
        let cell = self.text(key)?;
        let iso = || NaiveDate::parse_from_str(&cell.text, "%Y-%m-%d").ok();
        match if cell.typed { words::day(&cell.text) } else { iso() } {
            // Other centuries are slips of the hand; so far off the calendar ends, too.
            Some(date) if (1900..2200).contains(&date.year()) => Some(date),
            _ => self.reject("value", cell, say!("\"{}\" is no date; write it as 2026-03-31", cell.text)),
        }
    }

    pub fn required_date(&self, key: &'static str) -> Option<NaiveDate> {
        self.required(key, self.date(key))
    }

    /// One word of a fixed vocabulary.
    pub fn choice<T: Copy>(&self, key: &str, known: &[(&'static str, T)]) -> Option<T> {
        let cell = self.text(key)?;
        let word = cell.text.to_lowercase();
        match known.iter().find(|(name, _)| *name == word) {
            Some((_, value)) => Some(*value),
            None => {
                let words = known.iter().map(|(name, _)| *name);
                let fault = Diagnostic::new(
                    "unknown-word",
                    cell.place.clone(),
                    say!("\"{}\" is not known for \"{key}\"", cell.text, key),
                );
                self.faults.borrow_mut().push(fault.maybe_hint(suggest(&word, words)));
                None
            }
        }
    }

    pub fn flag(&self, key: &str) -> Option<bool> {
        self.choice(key, &[("yes", true), ("no", false), ("true", true), ("false", false)])
    }

    /// `read` when the key is there and sound, `otherwise` when it is absent, nothing when it is faulty.
    pub fn or<T>(&self, key: &str, otherwise: T, read: Option<T>) -> Option<T> {
        if self.has(key) { read } else { Some(otherwise) }
    }

    /// As [`Record::or`], with nothing for what is absent.
    pub fn optional<T>(&self, key: &str, read: Option<T>) -> Option<Option<T>> {
        if self.has(key) { read.map(Some) } else { Some(None) }
    }
}
