//! Records and registers written out as a table.

use csv::{Terminator, WriterBuilder};
use serde_json::{Value, json};

use super::super::output::{Failure, Output, exit};
use super::{ExportArgs, Exported};
use crate::airframe::fields::{
    AIRFRAME, AUTHORISATIONS, Field, Form, INSTRUMENTS, List, PEOPLE, airframe_list,
};
use crate::airframe::sheet::{Entry, RecordFile, Sheet};
use crate::hangar::Hangar;
use crate::hangar::records::shown;
use crate::store::RealDisk;
use crate::store::export::write_export;

/// Names of the columns, whether each is a text, and the rows.
struct Rows {
    columns: Vec<(String, bool)>,
    rows: Vec<Vec<String>>,
    /// What could not be read and is missing.
    missing: Vec<String>,
}

pub(super) fn export(hangar: &Hangar, args: &ExportArgs, out: &mut Output) -> Result<u8, Failure> {
    let rows = match args.what {
        Exported::Airframes => airframes(hangar),
        Exported::Instruments => register(hangar, &RecordFile::Instruments, &INSTRUMENTS)?,
        Exported::People => people(hangar)?,
        Exported::LifeItems => of_each_airframe(hangar, "life_item"),
        Exported::Directives => of_each_airframe(hangar, "directive"),
    };
    let text = if args.json { as_json(&rows)? } else { as_csv(&rows)? };
    match &args.out {
        Some(path) => {
            write_export(&RealDisk, path, text.as_bytes()).map_err(Failure::failed)?;
            out.error(&say!("{} rows in {}", rows.rows.len(), path.display()));
        }
        None => out.text(&text),
    }
    if !args.json {
        tell_formulas(&rows, out);
    }
    rows.missing.iter().for_each(|fault| out.error(&say!("not exported: {fault}", fault = fault)));
    Ok(if rows.missing.is_empty() { exit::DONE } else { exit::FAILED })
}

fn columns(fields: &[Field], prefix: &str) -> Vec<(String, bool)> {
    let is_text = |form| matches!(form, Form::Text | Form::Texts(_));
    fields.iter().map(|field| (format!("{prefix}{}", field.key), is_text(field.form))).collect()
}

/// The airframes' records as they stand in their files; those that are no TOML are missing.
fn sheets(hangar: &Hangar) -> (Vec<Sheet>, Vec<String>) {
    let all =
        hangar.airframes.iter().map(|file| Sheet::read(RecordFile::Airframe(file.name()), &file.source));
    let (sound, broken): (Vec<Sheet>, Vec<Sheet>) = all.partition(|sheet| sheet.can_edit);
    let unreadable = hangar.faults.iter().map(ToString::to_string);
    let missing = broken.into_iter().flat_map(|sheet| sheet.faults).chain(unreadable);
    (sound, missing.collect())
}

fn airframes(hangar: &Hangar) -> Rows {
    let (sheets, missing) = sheets(hangar);
    let rows = sheets.into_iter().map(|sheet| sheet.head).collect();
    Rows { columns: columns(AIRFRAME, ""), rows, missing }
}

fn of_each_airframe(hangar: &Hangar, list: &str) -> Rows {
    let (sheets, missing) = sheets(hangar);
    let fields = airframe_list(list).map_or(&[][..], |list| list.fields);
    let first = ("registration".to_string(), true);
    let mut rows = Vec::new();
    for sheet in &sheets {
        for entry in sheet.entries_of(list) {
            let registration = sheet.head_value("registration").to_string();
            rows.push(std::iter::once(registration).chain(entry.values.iter().cloned()).collect());
        }
    }
    Rows { columns: std::iter::once(first).chain(columns(fields, "")).collect(), rows, missing }
}

fn register(hangar: &Hangar, file: &RecordFile, list: &'static List) -> Result<Rows, Failure> {
    let sheet = sound(hangar, file)?;
    let rows = sheet.entries_of(list.key).map(|entry| entry.values.clone()).collect();
    Ok(Rows { columns: columns(list.fields, ""), rows, missing: Vec::new() })
}

fn sound(hangar: &Hangar, file: &RecordFile) -> Result<Sheet, Failure> {
    let sheet = shown(hangar, file)?.sheet;
    if sheet.can_edit { Ok(sheet) } else { Err(Failure::failed(sheet.faults.join("\n"))) }
}

fn people(hangar: &Hangar) -> Result<Rows, Failure> {
    let sheet = sound(hangar, &RecordFile::People)?;
    let mut rows = Vec::new();
    let none = vec![String::new(); AUTHORISATIONS.fields.len()];
    for person in sheet.entries_of(PEOPLE.key) {
        let held: Vec<&Vec<String>> = person.inner.iter().map(|inner: &Entry| &inner.values).collect();
        let held = if held.is_empty() { vec![&none] } else { held };
        rows.extend(held.into_iter().map(|values| [person.values.as_slice(), values.as_slice()].concat()));
    }
    let columns = [columns(PEOPLE.fields, ""), columns(AUTHORISATIONS.fields, "authorisation.")].concat();
    Ok(Rows { columns, rows, missing: Vec::new() })
}

fn as_csv(rows: &Rows) -> Result<String, Failure> {
    let mut writer = WriterBuilder::new().terminator(Terminator::CRLF).from_writer(Vec::new());
    let head: Vec<&str> = rows.columns.iter().map(|(name, _)| name.as_str()).collect();
    writer.write_record(head).map_err(Failure::failed)?;
    for row in &rows.rows {
        writer.write_record(row).map_err(Failure::failed)?;
    }
    let bytes = writer.into_inner().map_err(Failure::failed)?;
    String::from_utf8(bytes).map_err(Failure::failed)
}

/// A list of rows; what is empty is left out.
fn as_json(rows: &Rows) -> Result<String, Failure> {
    let object = |row: &Vec<String>| -> Value {
        let filled = rows.columns.iter().zip(row).filter(|(_, cell)| !cell.is_empty());
        filled.map(|((name, _), cell)| (name.clone(), json!(cell))).collect()
    };
    let all: Vec<Value> = rows.rows.iter().map(object).collect();
    let text = serde_json::to_string_pretty(&json!({ "rows": all, "missing": rows.missing }));
    text.map(|text| text + "\n").map_err(Failure::failed)
}

/// Texts that a spreadsheet would run as a formula. They are told and not changed: a changed register would be false.
fn tell_formulas(rows: &Rows, out: &mut Output) {
    for (at, row) in rows.rows.iter().enumerate() {
        for ((name, is_text), cell) in rows.columns.iter().zip(row) {
            if *is_text && cell.starts_with(['=', '+', '-', '@', '\t', '\r']) {
                out.error(&say!("row {}, {name}: begins with {}; a spreadsheet may take it for a formula: import the column as text", at + 1, format_args!("{:?}", cell.chars().next().unwrap_or_default()), name = name));
            }
        }
    }
}
