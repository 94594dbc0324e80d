//! TOML: settings at the top, one `[[table]]` entry for each row.

use std::sync::Arc;

use super::{Cell, Faults, Key, MOST_ROWS, Record, Schema};
use crate::diagnostic::{Diagnostic, Place, Source};
use crate::source::{Table, read_toml};

type Read = (Record, Vec<(&'static str, Vec<Record>)>);

pub(super) fn read(source: &Arc<Source>, schema: &Schema, faults: &Faults) -> Result<Read, Vec<Diagnostic>> {
    read_toml(source, |table| {
        let settings = record(&table, schema.settings, Place::new(source, 0..0), mark!("the file"), faults);
        let mut tables = Vec::new();
        for rows in schema.tables {
            let found = table.tables(rows.name, rows.what);
            if found.len() > MOST_ROWS {
                let message = say!("\"{}\" has more than {MOST_ROWS} rows", rows.name, MOST_ROWS);
                return table.reject(
                    "too-many-rows",
                    found[MOST_ROWS].span(),
                    message,
                    say!("split the file"),
                );
            }
            let mut records = Vec::with_capacity(found.len());
            for row in found {
                let place = row.place(row.span());
                records.push(record(&row, rows.keys, place, rows.what, faults));
                row.finish();
            }
            tables.push((rows.name, records));
        }
        table.finish();
        Some((settings, tables))
    })
}

fn record(
    table: &Table<'_>,
    keys: &'static [Key],
    place: Place,
    what: &'static str,
    faults: &Faults,
) -> Record {
    let mut record = Record::new(place, what, faults);
    record.add = ("", " = \"…\"");
    for key in keys {
        if let Some(texts) = table.written(key.name) {
            let cells = texts.into_iter().map(|text| Cell::of_file(text.value, table.place(text.span)));
            record.set(key.name, cells.collect());
        }
    }
    record
}
