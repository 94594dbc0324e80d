//! CSV: `@setting,value` lines, a header, rows; `#` begins a comment line. Every field keeps its place.
//!
//! A unit stands in the cell (`10 kgf`), in the header (`load [kgf]`) or in a column of its own (`load_unit`).

use crate::words::said;
use std::ops::Range;
use std::sync::Arc;

use super::{Cell, Faults, Key, MOST_ROWS, Record, Rows, Schema};
use crate::diagnostic::{Diagnostic, Place, Source, nearest, suggest};
use crate::quantity::Unit;

/// One field: its text without quotes, and where it stands.
struct Field {
    text: String,
    span: Range<usize>,
}

/// What a column holds.
enum Column {
    Value(&'static Key, Option<String>),
    UnitOf(&'static Key),
    /// Nothing that is known, and what it was probably meant for.
    Unknown(Option<&'static str>),
}

struct Reader<'a> {
    source: &'a Arc<Source>,
    faults: &'a Faults,
}

pub(super) fn read(
    source: &Arc<Source>,
    schema: &Schema,
    faults: &Faults,
) -> (Record, Vec<(&'static str, Vec<Record>)>) {
    let reader = Reader { source, faults };
    let mut settings = Record::new(reader.place(0..0), mark!("the file"), faults);
    settings.add = (mark!("a line @"), mark!(",value, or --set key=value"));
    let Some(rows) = schema.tables.first() else { return (settings, Vec::new()) };
    let mut header: Option<(Vec<Column>, Place)> = None;
    let mut records = Vec::new();
    for fields in reader.lines() {
        let Some(first) = fields.first() else { continue };
        if first.text.starts_with('@') {
            reader.setting(&fields, schema.settings, &mut settings);
        } else if let Some((columns, place)) = &header {
            if records.len() == MOST_ROWS {
                let message = say!("there are more than {MOST_ROWS} rows", MOST_ROWS);
                reader.fault(
                    "too-many-rows",
                    first.span.clone(),
                    message,
                    Some(say!("split the file").into()),
                );
                break;
            }
            records.push(reader.row(&fields, columns, place, rows));
        } else {
            let end = fields.last().map_or(first.span.end, |field| field.span.end);
            let columns = fields.iter().map(|field| reader.column(field, rows)).collect();
            header = Some((columns, reader.place(first.span.start..end)));
        }
    }
    (settings, vec![(rows.name, records)])
}

impl Reader<'_> {
    fn place(&self, span: Range<usize>) -> Place {
        Place::new(self.source, span)
    }

    fn fault(&self, code: &'static str, span: Range<usize>, message: String, hint: Option<String>) {
        self.faults.borrow_mut().push(Diagnostic::new(code, self.place(span), message).maybe_hint(hint));
    }

    /// The records of the text: comments and empty lines left out.
    fn lines(&self) -> Vec<Vec<Field>> {
        let text = self.source.text.as_str();
        let separator = separator(text);
        let mut at = if text.starts_with('\u{feff}') { 3 } else { 0 };
        let mut lines = Vec::new();
        while at < text.len() {
            let line_end = text[at..].find('\n').map_or(text.len(), |found| at + found);
            if text[at..line_end].trim_start().starts_with('#') {
                at = line_end + 1;
                continue;
            }
            let (fields, next) = self.fields(at, separator);
            at = next;
            if fields.iter().any(|field| !field.text.is_empty()) {
                lines.push(fields);
            }
            // One more than are taken, so that the surplus is told.
            if lines.len() > MOST_ROWS + 200 {
                break;
            }
        }
        lines
    }

    /// The fields of the record that begins at `at`, and where the next record begins.
    fn fields(&self, mut at: usize, separator: char) -> (Vec<Field>, usize) {
        let text = self.source.text.as_str();
        let mut fields = Vec::new();
        loop {
            let rest = &text[at..];
            let blank = rest.len() - rest.trim_start_matches([' ', '\t'].as_slice()).len();
            let quoted = separator != '\t' && rest[blank..].starts_with('"');
            let (field, end) =
                if quoted { self.quoted(at + blank, separator) } else { plain(text, at, separator) };
            fields.push(field);
            match text[end..].chars().next() {
                Some(c) if c == separator => at = end + c.len_utf8(),
                Some(_) => return (fields, end + 1),
                None => return (fields, text.len()),
            }
        }
    }

    /// A field in quotes; a quote inside is doubled. What follows the closing quote up to the separator is a fault.
    fn quoted(&self, start: usize, separator: char) -> (Field, usize) {
        let text = self.source.text.as_str();
        let mut value = String::new();
        let mut at = start + 1;
        loop {
            let Some(found) = text[at..].find('"') else {
                let hint = Some(say!("close it with \"").to_string());
                self.fault(
                    "csv-quote",
                    start..start + 1,
                    say!("this quote is never closed").to_string(),
                    hint,
                );
                return (Field { text: value, span: start..text.len() }, text.len());
            };
            value.push_str(&text[at..at + found]);
            at += found + 1;
            if !text[at..].starts_with('"') {
                break;
            }
            value.push('"');
            at += 1;
        }
        let end = text[at..].find([separator, '\n'].as_slice()).map_or(text.len(), |found| at + found);
        if !text[at..end].trim().is_empty() {
            let hint = Some(say!("double a quote that belongs to the text").to_string());
            self.fault("csv-quote", at..end, say!("text follows the closing quote").to_string(), hint);
        }
        (Field { text: value.trim().to_string(), span: start..at }, end)
    }

    fn setting(&self, fields: &[Field], known: &'static [Key], settings: &mut Record) {
        let name = fields[0].text.trim_start_matches('@').trim();
        let Some(key) = known.iter().find(|key| key.name == name) else {
            let message = say!("\"{name}\" is no setting", name);
            let hint = suggest(name, known.iter().map(|key| key.name));
            return self.fault("unknown-key", fields[0].span.clone(), message, hint);
        };
        if settings.has(key.name) {
            let hint = Some(say!("keep one of them").to_string());
            return self.fault("twice", fields[0].span.clone(), say!("\"{name}\" stands twice", name), hint);
        }
        let cells = fields[1..].iter().filter(|field| !field.text.is_empty());
        let cells: Vec<Cell> =
            cells.map(|f| Cell::of_file(f.text.clone(), self.place(f.span.clone()))).collect();
        if cells.is_empty() {
            let hint = Some(say!("write @{name},value", name));
            return self.fault(
                "empty-text",
                fields[0].span.clone(),
                say!("\"{name}\" has no value", name),
                hint,
            );
        }
        settings.set(key.name, cells);
    }

    /// `load`, `load [kgf]`, `load (kgf)` or `load_unit`.
    fn column(&self, field: &Field, rows: &'static Rows) -> Column {
        let (name, unit) = match field.text.split_once(['[', '('].as_slice()) {
            Some((name, unit)) => {
                (name, Some(unit.trim_end_matches([']', ')'].as_slice()).trim().to_string()))
            }
            None => (field.text.as_str(), None),
        };
        let name = name.trim().to_lowercase().replace([' ', '-'].as_slice(), "_");
        if let Some(Err(error)) = unit.as_deref().map(Unit::parse) {
            self.fault("unknown-unit", field.span.clone(), error.to_string(), None);
            return Column::Unknown(rows.keys.iter().map(|key| key.name).find(|key| *key == name));
        }
        if let Some(key) = rows.keys.iter().find(|key| key.name == name) {
            return Column::Value(key, unit);
        }
        match name.strip_suffix("_unit").and_then(|of| rows.keys.iter().find(|key| key.name == of)) {
            Some(key) => Column::UnitOf(key),
            None => {
                let message = say!("\"{}\" is no column of {}", field.text, said(rows.what));
                let hint = suggest(&name, rows.keys.iter().map(|key| key.name));
                self.fault("unknown-key", field.span.clone(), message, hint);
                Column::Unknown(nearest(&name, rows.keys.iter().map(|key| key.name)))
            }
        }
    }

    fn row(&self, fields: &[Field], columns: &[Column], header: &Place, rows: &'static Rows) -> Record {
        let end = fields.last().map_or(0, |field| field.span.end);
        let start = fields.first().map_or(end, |field| field.span.start);
        let mut record = Record::new(self.place(start..end), rows.what, self.faults);
        record.header = Some(header.clone());
        record.add = (mark!("the "), "");
        if let Some(extra) =
            fields.get(columns.len()..).and_then(|rest| rest.iter().find(|f| !f.text.is_empty()))
        {
            let message = say!("the row has more fields than the header has columns ({})", columns.len());
            let hint = say!("put a field with a comma in quotes, or write a decimal point").to_string();
            self.fault("csv-fields", extra.span.clone(), message, Some(hint));
        }
        for (field, column) in fields.iter().zip(columns) {
            let (key, unit) = match column {
                Column::Value(key, unit) => (key, unit),
                Column::Unknown(Some(meant)) => {
                    record.misspelt.push(meant);
                    continue;
                }
                Column::Unknown(None) | Column::UnitOf(_) => continue,
            };
            let place = self.place(field.span.clone());
            if field.text.is_empty() {
                record.empty.push((key.name, place));
                continue;
            }
            let unit = unit.clone().or_else(|| self.unit_beside(key, fields, columns));
            let bare = field.text.ends_with(|c: char| c.is_ascii_digit() || c == '.');
            let text = match unit {
                Some(unit) if bare => format!("{} {unit}", field.text),
                _ => field.text.clone(),
            };
            record.set(key.name, vec![Cell::of_file(text, place)]);
        }
        record
    }

    fn unit_beside(&self, key: &Key, fields: &[Field], columns: &[Column]) -> Option<String> {
        let is_its_unit = |column: &Column| matches!(column, Column::UnitOf(of) if of.name == key.name);
        let field = fields.get(columns.iter().position(is_its_unit)?)?;
        match Unit::parse(&field.text) {
            Ok(unit) => Some(unit.symbol().to_string()),
            Err(error) => {
                self.fault("unknown-unit", field.span.clone(), error.to_string(), None);
                None
            }
        }
    }
}

/// A field without quotes, up to the separator or the line's end.
fn plain(text: &str, at: usize, separator: char) -> (Field, usize) {
    let end = text[at..].find([separator, '\n'].as_slice()).map_or(text.len(), |found| at + found);
    let raw = &text[at..end];
    let start = at + (raw.len() - raw.trim_start().len());
    let trimmed = raw.trim();
    (
        Field {
            text: trimmed.to_string(),
            span: start.min(end)..(start + trimmed.len()).min(end.max(start)),
        },
        end,
    )
}

/// Semicolon where the first line of content has one, then tabulator, else comma.
fn separator(text: &str) -> char {
    let first = text.lines().find(|line| !line.trim().is_empty() && !line.trim_start().starts_with('#'));
    match first {
        Some(line) if line.contains(';') => ';',
        Some(line) if line.contains('\t') => '\t',
        _ => ',',
    }
}
