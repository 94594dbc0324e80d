//! What a computation reads: settings and rows of cells, each with its place, from TOML or CSV alike.

mod csv;
mod format;
mod record;
mod toml;

use std::cell::RefCell;
use std::rc::Rc;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Place, Source, in_file_order, suggest};

use super::{Kind, Request};
pub use record::{Cell, Record};

/// Most rows of a table: far above any hangar's readings, and it bounds the time of every computation.
pub const MOST_ROWS: usize = 2_000;
/// More faults than these help nobody.
const MOST_FAULTS: usize = 20;

/// One key of a file.
pub struct Key {
    pub name: &'static str,
    pub about: &'static str,
}

/// A key with what it means, for tables of keys.
pub const fn key(name: &'static str, about: &'static str) -> Key {
    Key { name, about }
}

/// A table of rows.
pub struct Rows {
    pub name: &'static str,
    /// "a reading": for messages.
    pub what: &'static str,
    pub keys: &'static [Key],
}

/// What a file may hold. The rows of a CSV file are those of the first table.
pub struct Schema {
    pub settings: &'static [Key],
    pub tables: &'static [Rows],
}

/// The faults are told by [`Input::into_faults`]; this only ends the work.
#[derive(Debug)]
pub struct Failed;

/// Faults as they are found, shared by the records of one input.
pub(super) type Faults = Rc<RefCell<Vec<Diagnostic>>>;

/// A file as read.
pub struct Input<'a> {
    pub source: Arc<Source>,
    pub settings: Record,
    tables: Vec<(&'static str, Vec<Record>)>,
    /// The recording that stands in place of the readings.
    pub recording: Option<&'a [u8]>,
    fetch: &'a dyn Fn(&str) -> Result<Vec<u8>, String>,
    faults: Faults,
}

impl Input<'_> {
    /// The rows of a table; none when it is not there.
    pub fn rows(&self, table: &str) -> &[Record] {
        self.tables.iter().find(|(name, _)| *name == table).map_or(&[], |(_, rows)| rows.as_slice())
    }

    /// The rows of a table that has to have some.
    pub fn required_rows(&self, table: &str) -> Result<&[Record], Failed> {
        match self.rows(table) {
            [] => Err(self.refuse(
                "no-rows",
                say!("there is no \"{table}\" in the file; --example prints a file that has some", table),
            )),
            rows => Ok(rows),
        }
    }

    /// Reports a fault of the whole file.
    pub fn refuse(&self, code: &'static str, message: impl ToString) -> Failed {
        self.settings.refuse_at(code, Place::new(&self.source, 0..0), message.to_string())
    }

    /// The bytes of a recording that a cell names.
    pub fn fetch(&self, cell: &Cell) -> Result<Vec<u8>, Failed> {
        (self.fetch)(&cell.text).map_err(|why| {
            let message = say!("the recording \"{}\" cannot be read: {why}", cell.text, why);
            self.settings.refuse_at("recording-unreadable", cell.place.clone(), message)
        })
    }

    /// All faults in file order, each once.
    pub fn into_faults(self) -> Vec<Diagnostic> {
        let mut faults = self.faults.take();
        in_file_order(&mut faults);
        faults.dedup();
        if faults.len() > MOST_FAULTS {
            let left = faults.len() - MOST_FAULTS;
            let place = faults[MOST_FAULTS].place.clone();
            faults.truncate(MOST_FAULTS);
            faults.push(Diagnostic::new("more-faults", place, say!("{left} more faults from here on", left)));
        }
        faults
    }
}

/// Ends the work when any fault was found while reading, else hands the value on.
pub fn complete<T>(read: Option<T>) -> Result<T, Failed> {
    read.ok_or(Failed)
}

/// Reads the file in the format that its name or content shows.
pub(super) fn read<'a>(kind: &Kind, request: &Request<'a>) -> Result<Input<'a>, Vec<Diagnostic>> {
    let faults: Faults = Rc::default();
    let format = format::of(request.file, request.bytes);
    let recording = (format == format::Format::Recording).then_some(request.bytes);
    let text = if recording.is_some() { "" } else { utf8(request)? };
    let source = Source::new(request.file, text);
    let whole = Place::new(&source, 0..0);
    if recording.is_some() && !kind.takes_recording {
        let message = say!("a recording alone is no input for \"{}\"", kind.name);
        let hint = say!("name the recording in a TOML file; --example shows how");
        return Err(vec![Diagnostic::new("format", whole, message).hint(hint)]);
    }
    let (mut settings, tables) = match format {
        format::Format::Recording => {
            let mut settings = Record::new(whole, mark!("the command"), &faults);
            settings.add = ("--set ", "=value");
            (settings, Vec::new())
        }
        format::Format::Toml => toml::read(&source, &kind.schema, &faults)?,
        format::Format::Csv => csv::read(&source, &kind.schema, &faults),
    };
    // Most faults of meaning would only follow from a broken form.
    if faults.borrow().iter().any(|fault| fault.code == "csv-quote") {
        return Err(faults.take());
    }
    typed_settings(&mut settings, kind, request.set, &faults);
    Ok(Input { source, settings, tables, recording, fetch: request.fetch, faults })
}

fn utf8<'a>(request: &Request<'a>) -> Result<&'a str, Vec<Diagnostic>> {
    std::str::from_utf8(request.bytes).map_err(|error| {
        let good = String::from_utf8_lossy(&request.bytes[..error.valid_up_to()]).into_owned();
        let end = good.len();
        let place = Place::new(&Source::new(request.file, good), end..end);
        vec![
            Diagnostic::new("not-utf8", place, say!("from here on the file is no UTF-8 text"))
                .hint(say!("save it as UTF-8")),
        ]
    })
}

/// Settings from the command line go before those of the file.
fn typed_settings(settings: &mut Record, kind: &Kind, typed: &[String], faults: &Faults) {
    for text in typed {
        let source = Source::new("--set", text.as_str());
        let name_end = text.find('=').unwrap_or(text.len());
        let name = text[..name_end].trim();
        let place = |span| Place::new(&source, span);
        let known = kind.schema.settings.iter().map(|key| key.name);
        match kind.schema.settings.iter().find(|key| key.name == name) {
            Some(key) if name_end < text.len() => {
                let cell = Cell {
                    text: text[name_end + 1..].trim().to_string(),
                    place: place(name_end + 1..text.len()),
                    typed: true,
                };
                settings.set(key.name, vec![cell]);
            }
            Some(_) => faults.borrow_mut().push(
                Diagnostic::new("set", place(0..text.len()), say!("\"{name}\" has no value", name))
                    .hint(say!("write --set \"{name}=value\"", name)),
            ),
            None => faults.borrow_mut().push(
                Diagnostic::new(
                    "unknown-key",
                    place(0..name_end),
                    say!("\"{name}\" is no setting of {}", kind.name, name),
                )
                .maybe_hint(suggest(name, known)),
            ),
        }
    }
}
