//! A table from another program, read into typed keys: every fault with its line and column in one pass.

use std::fmt;

use csv::ReaderBuilder;

use crate::airframe::edit::{Written, parse_typed};
use crate::airframe::fields::{Field, Form};
use crate::diagnostic::suggest;
use crate::words::said;

/// What is wrong with a table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct RowFault {
    /// In the file, from 1; of a row with line breaks its first.
    pub line: u64,
    /// As the first line names it; empty for the whole row.
    pub column: String,
    pub why: String,
}

impl fmt::Display for RowFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let column = if self.column.is_empty() { String::new() } else { format!("{}: ", self.column) };
        write!(f, "{}", say!("line {}: {column}{}", self.line, self.why, column = column))
    }
}

/// One row: the keys that are filled in, in the order of the table's columns.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Row {
    pub line: u64,
    pub cells: Vec<(&'static Field, Written)>,
    /// The first key: what the row is called. Empty where it is missing or at fault.
    pub name: String,
}

/// Reads a table whose first line names keys of `fields`. Rows come with the faults: whoever checks on sees all of them.
pub(super) fn read(bytes: &[u8], fields: &'static [Field]) -> (Vec<Row>, Vec<RowFault>) {
    let bare = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    let text = match std::str::from_utf8(bare) {
        Ok(text) => text,
        Err(error) => {
            let before = &bare[..error.valid_up_to()];
            let line = before.iter().filter(|byte| **byte == b'\n').count() as u64 + 1;
            let why = say!("this is no UTF-8 text; save the table as CSV in UTF-8");
            return (Vec::new(), vec![fault(line, "", why)]);
        }
    };
    let (text, first_line, delimiter) = delimiter(text);
    if let Some(line) = open_quote(text, delimiter) {
        let why = say!("a quote is opened here and never closed");
        return (Vec::new(), vec![fault(line + first_line, "", why)]);
    }
    let mut reader = ReaderBuilder::new()
        .delimiter(delimiter)
        .has_headers(false)
        .flexible(true)
        .from_reader(text.as_bytes());
    let mut faults = Vec::new();
    let mut head: Option<Head> = None;
    let mut rows: Vec<Row> = Vec::new();
    let mut lines = Lines { text, at: 0, line: first_line + 1 };
    for record in reader.records() {
        let record = match record {
            Ok(record) => record,
            Err(error) => {
                faults.push(fault(first_line + 1, "", error.to_string()));
                break;
            }
        };
        let line = lines.line_at(record.position().map_or(0, csv::Position::byte));
        if record.iter().all(|cell| cell.trim().is_empty()) {
            continue;
        }
        match &head {
            None => head = Some(Head::read(&record, line, fields, &mut faults)),
            Some(head) => rows.extend(head.row(&record, line, delimiter, fields, &mut faults)),
        }
    }
    if head.is_none() {
        faults.push(fault(1, "", say!("the table is empty; its first line names the keys")));
    }
    twice(&rows, &mut faults);
    (rows, faults)
}

pub(super) fn fault(line: u64, column: &str, why: impl Into<String>) -> RowFault {
    RowFault { line, column: column.to_string(), why: why.into() }
}

/// Counts lines up to a place; places come in their order.
struct Lines<'t> {
    text: &'t str,
    at: usize,
    line: u64,
}

impl Lines<'_> {
    /// The line of a record that begins at this byte, or behind ends of lines there.
    fn line_at(&mut self, byte: u64) -> u64 {
        let bytes = self.text.as_bytes();
        let byte = usize::try_from(byte).unwrap_or(bytes.len()).min(bytes.len());
        let is_break = |byte: &&u8| matches!(byte, b'\r' | b'\n');
        let breaks = bytes.get(byte..).unwrap_or_default().iter().take_while(is_break).count();
        let place = (byte + breaks).max(self.at);
        let passed = bytes.get(self.at..place).unwrap_or_default();
        self.line += passed.iter().filter(|byte| **byte == b'\n').count() as u64;
        self.at = place;
        self.line
    }
}

/// The columns of a table, and what each is.
struct Head(Vec<(String, Option<&'static Field>)>);

impl Head {
    fn read(
        record: &csv::StringRecord,
        line: u64,
        fields: &'static [Field],
        faults: &mut Vec<RowFault>,
    ) -> Head {
        let mut columns: Vec<(String, Option<&'static Field>)> = Vec::new();
        for cell in record {
            let name = cell.trim().to_string();
            let known = fields.iter().find(|field| field.key == name);
            if columns.iter().any(|(other, _)| *other == name && !name.is_empty()) {
                faults.push(fault(line, &name, say!("this column is there twice")));
            } else if known.is_none() && !name.is_empty() {
                let keys = fields.iter().map(|field| field.key);
                let hint = suggest(&name, keys.clone())
                    .unwrap_or_else(|| say!("known: {}", keys.collect::<Vec<_>>().join(", ")));
                faults.push(fault(line, &name, say!("there is no key of this name; {hint}", hint = hint)));
            }
            columns.push((name, known));
        }
        let first = fields.first().map_or("", |field| field.key);
        if !columns.iter().any(|(name, _)| name == first) {
            let why = say!("the column \"{first}\" is missing, by which rows are told apart", first = first);
            faults.push(fault(line, "", why));
        }
        Head(columns)
    }

    fn row(
        &self,
        record: &csv::StringRecord,
        line: u64,
        delimiter: u8,
        fields: &'static [Field],
        faults: &mut Vec<RowFault>,
    ) -> Option<Row> {
        let extra = record.iter().skip(self.0.len()).any(|cell| !cell.trim().is_empty());
        if extra || record.len() < self.0.len() {
            let (has, wants) = (record.len(), self.0.len());
            let why = say!(
                "the row has {has} cells where the first line has {wants}; is a comma not in quotes?",
                has = has,
                wants = wants
            );
            faults.push(fault(line, "", why));
            return None;
        }
        let mut cells = Vec::new();
        for ((name, field), cell) in self.0.iter().zip(record) {
            match field {
                None if name.is_empty() && !cell.trim().is_empty() => {
                    faults.push(fault(
                        line,
                        "",
                        say!("\"{}\" stands in a column without a name", cell.trim()),
                    ));
                }
                Some(field) if !cell.trim().is_empty() => match typed(field, cell.trim(), delimiter) {
                    Ok(written) => cells.push((*field, written)),
                    Err(why) => faults.push(fault(line, name, why)),
                },
                _ => {}
            }
        }
        let first = fields.first().map_or("", |field| field.key);
        let named = self.0.iter().position(|(name, _)| name == first);
        let name = named.and_then(|at| record.get(at)).unwrap_or_default().trim().to_string();
        if name.is_empty() && named.is_some() {
            faults.push(fault(line, first, say!("is empty, and by it the rows are told apart")));
        }
        Some(Row { line, cells, name })
    }
}

/// A cell as a key's value. Numbers are never guessed: see the help of `import`.
fn typed(field: &Field, cell: &str, delimiter: u8) -> Result<Written, String> {
    if let Form::Number(_) = field.form {
        if cell.contains(',') && delimiter == b',' {
            return Err(say!("\"{cell}\" has a comma; write a decimal point, such as 12.5", cell = cell));
        }
        if delimiter != b',' && could_be_thousands(cell) {
            return Err(say!(
                "\"{cell}\" could be a thousands mark or a decimal point; write 1234 or 1,234 for the one that is meant",
                cell = cell
            ));
        }
    }
    match parse_typed(field, cell) {
        Ok(Some(written)) => Ok(written),
        Ok(None) => Err(say!("is empty").to_string()),
        // The column says already which key it is.
        Err(fault) => {
            let told = fault.to_string();
            Err(told.strip_prefix(&format!("{}: ", said(field.label))).unwrap_or(&told).to_string())
        }
    }
}

/// "1.234" and "12.345.678", as some countries write thousands.
fn could_be_thousands(cell: &str) -> bool {
    let mut groups = cell.trim_start_matches('-').split('.');
    let is_digits = |group: &str| !group.is_empty() && group.bytes().all(|byte| byte.is_ascii_digit());
    let first = groups.next().is_some_and(|group| is_digits(group) && group.len() <= 3);
    let rest: Vec<&str> = groups.collect();
    first && !rest.is_empty() && rest.iter().all(|group| is_digits(group) && group.len() == 3)
}

/// The text behind a "sep=;" line, how many lines that took, and what parts the cells.
fn delimiter(text: &str) -> (&str, u64, u8) {
    let first = text.lines().next().unwrap_or_default();
    if let Some(told) = first.strip_prefix("sep=").filter(|told| told.len() == 1) {
        let rest = text.get(first.len()..).unwrap_or_default();
        let rest = rest.strip_prefix('\r').unwrap_or(rest);
        return (rest.strip_prefix('\n').unwrap_or(rest), 1, told.as_bytes()[0]);
    }
    let mut is_quoted = false;
    let outside: Vec<u8> = first
        .bytes()
        .filter(|byte| {
            is_quoted ^= *byte == b'"';
            !is_quoted
        })
        .collect();
    let parted = [b';', b'\t'].into_iter().find(|mark| outside.contains(mark));
    (text, 0, parted.unwrap_or(b','))
}

/// The line of a quote that is opened and never closed, from 1: without it the rest of the file would be one cell.
fn open_quote(text: &str, delimiter: u8) -> Option<u64> {
    let (mut line, mut opened, mut at_start) = (1, None, true);
    let mut bytes = text.bytes().peekable();
    while let Some(byte) = bytes.next() {
        match (opened, byte) {
            (Some(_), b'"') if bytes.peek() == Some(&b'"') => drop(bytes.next()),
            (Some(_), b'"') => opened = None,
            (None, b'"') if at_start => opened = Some(line),
            _ => {}
        }
        at_start = byte == delimiter || byte == b'\n' || byte == b'\r';
        line += u64::from(byte == b'\n');
    }
    opened
}

/// Two rows of one name: which of them holds is not for the program to say.
fn twice(rows: &[Row], faults: &mut Vec<RowFault>) {
    for (at, row) in rows.iter().enumerate().filter(|(_, row)| !row.name.is_empty()) {
        if let Some(first) = rows[..at].iter().find(|other| other.name.eq_ignore_ascii_case(&row.name)) {
            let why = say!("\"{}\" stands in line {}, too", row.name, first.line);
            faults.push(fault(row.line, "", why));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::airframe::fields::{AIRFRAME, INSTRUMENTS};

    fn told(text: &[u8], fields: &'static [Field]) -> (usize, Vec<String>) {
        let (rows, faults) = read(text, fields);
        (rows.len(), faults.iter().map(ToString::to_string).collect())
    }

    fn hours(text: &str) -> Result<String, String> {
        let (rows, faults) = read(text.as_bytes(), AIRFRAME);
        match faults.first() {
            Some(fault) => Err(fault.to_string()),
            None => Ok(rows[0]
                .cells
                .iter()
                .find(|(field, _)| field.key == "hours")
                .map(|(_, written)| match written {
                    Written::Number(number) => number.to_string(),
                    other => format!("{other:?}"),
                })
                .unwrap_or_default()),
        }
    }

    #[test]
    fn spreadsheets_of_several_countries_are_read_and_numbers_never_guessed() {
        assert_eq!(hours("registration,hours\nXX-A,1204.5\n").as_deref(), Ok("1204.5"));
        assert_eq!(hours("\u{feff}registration;hours\r\nXX-A;1204,5\r\n").as_deref(), Ok("1204.5"));
        assert_eq!(hours("sep=;\r\nregistration;hours\r\nXX-A;1204,50\r\n").as_deref(), Ok("1204.50"));
        assert_eq!(hours("registration\thours\nXX-A\t12,5\n").as_deref(), Ok("12.5"));
        assert_eq!(hours("registration,hours\nXX-A,1.234\n").as_deref(), Ok("1.234"));
        for (text, why) in [
            ("registration,hours\nXX-A,\"1204,5\"\n", "line 2: hours: \"1204,5\" has a comma"),
            ("registration;hours\nXX-A;1.234\n", "line 2: hours: \"1.234\" could be a thousands mark"),
            ("registration;hours\nXX-A;1.234,5\n", "line 2: hours:"),
            ("registration;hours\nXX-A;12 h 30\n", "line 2: hours:"),
            ("registration,hours\nXX-A,12,5\n", "line 2: the row has 3 cells"),
        ] {
            assert!(hours(text).is_err_and(|told| told.starts_with(why)), "{text}: {:?}", hours(text));
        }
    }

    #[test]
    fn every_fault_is_told_with_line_and_column() {
        let text =
            "id,titel,unit,unit,calibration_due\nd1,Dial,mm,mm,25.11.2026\n,x,mm,,2026-11-25\nd1,y,mm,,\n";
        let (_, faults) = told(text.as_bytes(), INSTRUMENTS.fields);
        for words in [
            "line 1: titel: there is no key of this name; did you mean \"title\"?",
            "line 1: unit: this column is there twice",
            "line 2: calibration_due:",
            "line 3: id: is empty",
            "line 4: \"d1\" stands in line 2, too",
        ] {
            assert!(faults.iter().any(|fault| fault.starts_with(words)), "\"{words}\": {faults:#?}");
        }
    }

    #[test]
    fn quotes_and_line_breaks_keep_the_count_of_lines() {
        let text = "id,title,quantity,unit\r\na,\"two\r\nlines, \"\"quoted\"\"\",length,mm\r\n,,,\r\nb,x,length,mm,,\r\nc,1\r\n";
        let (rows, faults) = read(text.as_bytes(), INSTRUMENTS.fields);
        assert_eq!(rows.iter().map(|row| row.line).collect::<Vec<_>>(), [2, 5]);
        assert_eq!(rows[0].cells[1].1, Written::Text("two\r\nlines, \"quoted\"".into()));
        assert!(faults.len() == 1 && faults[0].line == 6, "{faults:?}");
        let (_, faults) = told(b"id,title\na,\"never\nclosed\n", INSTRUMENTS.fields);
        assert_eq!(faults, ["line 2: a quote is opened here and never closed"]);
    }

    #[test]
    fn no_bytes_make_it_panic() {
        for bytes in [
            &b""[..],
            b"\xef\xbb\xbf",
            b"\xff\xfe",
            b"sep=;",
            b"\"",
            b",,,\n,,",
            b"id\n\xff",
            b"\n\n\r\r",
            b"sep=\xc3",
        ] {
            let (rows, faults) = told(bytes, INSTRUMENTS.fields);
            assert!(rows == 0 && !faults.is_empty(), "{bytes:?}: {faults:?}");
        }
    }
}
