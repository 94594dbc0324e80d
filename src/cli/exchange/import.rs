//! Rows of a table written into records and registers: all of them or none.

use serde_json::json;

use super::super::output::{Failure, Output, exit};
use super::table::{Row, RowFault, fault, read};
use super::{ImportArgs, Imported};
use crate::airframe::edit::{Change, Edit, edited, typed_head};
use crate::airframe::fields::{AIRFRAME, Field, Form, INSTRUMENTS};
use crate::airframe::sheet::{RecordFile, Sheet};
use crate::diagnostic::{Diagnostic, Source};
use crate::hangar::records::{changed, create_airframe, edit, new_airframe, shown};
use crate::hangar::{Hangar, HangarError};
use crate::store::texts::read_bytes;

/// A list of airframes or instruments; larger is something else.
const LARGEST_BYTES: u64 = 16 * 1024 * 1024;

/// What becomes of one row.
enum Wish {
    New(Vec<Change>),
    /// The keys that differ from what stands there.
    Update(Vec<Change>),
    Same,
}

/// What was found out about all rows before anything is written.
#[derive(Default)]
struct Work {
    wishes: Vec<(String, Wish)>,
    faults: Vec<RowFault>,
}

impl Work {
    /// What a row with a faulty cell would make is not worth a second complaint; only that something is missing is.
    fn has_fault(&self, row: &Row) -> bool {
        self.faults.iter().any(|fault| fault.line == row.line)
    }
}

pub(super) fn import(hangar: &Hangar, args: &ImportArgs, out: &mut Output) -> Result<u8, Failure> {
    let bytes = read_bytes(&args.file, LARGEST_BYTES)
        .map_err(|why| Failure::failed(format!("{}: {why}", args.file.display())))?;
    let fields = match args.what {
        Imported::Airframes => AIRFRAME,
        Imported::Instruments => INSTRUMENTS.fields,
    };
    let (rows, faults) = read(&bytes, fields);
    let mut work = Work { wishes: Vec::new(), faults };
    match args.what {
        Imported::Airframes => rows.iter().for_each(|row| airframe(hangar, args, row, &mut work)),
        Imported::Instruments => instruments(hangar, args, &rows, &mut work)?,
    }
    work.faults.sort_by_key(|fault| fault.line);
    if !work.faults.is_empty() {
        tell_faults(args, rows.len(), &work, out);
        return Ok(exit::REFUSED);
    }
    if !args.dry_run {
        match args.what {
            Imported::Airframes => write_airframes(hangar, &work)?,
            Imported::Instruments => write_instruments(hangar, &work)?,
        }
    }
    tell_done(args, rows.len(), &work, out);
    Ok(exit::DONE)
}

fn changes(row: &Row) -> Vec<Change> {
    row.cells.iter().map(|(field, written)| (field.key.to_string(), Some(written.clone()))).collect()
}

/// Keys that a new entry needs and the row does not fill in.
fn missing(row: &Row, fields: &[Field], faults: &mut Vec<RowFault>) -> bool {
    let told: Vec<String> =
        faults.iter().filter(|fault| fault.line == row.line).map(|fault| fault.column.clone()).collect();
    let lacks = |field: &&Field| {
        let is_given = row.cells.iter().any(|(given, _)| given.key == field.key);
        field.needed && !is_given && !told.iter().any(|column| column == field.key)
    };
    let before = faults.len();
    faults.extend(fields.iter().filter(lacks).map(|field| {
        fault(row.line, field.key, say!("\"{}\" is missing, and something new needs it", field.label))
    }));
    faults.len() > before
}

fn refused(row: &Row, what: &str) -> RowFault {
    let why = say!("{what} is there already; --update changes it, another file or row does not", what = what);
    fault(row.line, "", why)
}

/// The reader's faults are about TOML that nobody has seen; the key is what a person finds again in the table.
fn retold(row: &Row, error: HangarError, faults: &mut Vec<RowFault>) {
    match error {
        HangarError::Files(found) => faults.extend(found.iter().map(|found| {
            let hint = found.hint.as_deref().map_or(String::new(), |hint| format!("; {hint}"));
            fault(row.line, &column(found), format!("{}{hint}", found.message))
        })),
        other => faults.push(fault(row.line, "", other.to_string())),
    }
}

fn column(found: &Diagnostic) -> String {
    let line = found.place.source.text.lines().nth(found.place.line().saturating_sub(1)).unwrap_or_default();
    line.split_once(" = ").map_or("", |(key, _)| key.trim()).to_string()
}

fn airframe(hangar: &Hangar, args: &ImportArgs, row: &Row, work: &mut Work) {
    if row.name.is_empty() {
        return;
    }
    let known = hangar.airframes.iter().find(|file| file.name().eq_ignore_ascii_case(&row.name));
    let Some(known) = known else {
        if missing(row, AIRFRAME, &mut work.faults) || work.has_fault(row) {
            return;
        }
        let head = changes(row);
        match new_airframe(hangar, &head) {
            Ok(_) => work.wishes.push((row.name.clone(), Wish::New(head))),
            Err(error) => retold(row, error, &mut work.faults),
        }
        return;
    };
    if !args.update {
        work.faults.push(refused(row, &say!("a record of {}", row.name)));
        return;
    }
    if work.has_fault(row) {
        return;
    }
    let file = RecordFile::Airframe(known.name());
    let sheet = Sheet::read(file.clone(), &known.source);
    let head = differing(row, |key| sheet.head_value(key).to_string());
    if head.is_empty() {
        work.wishes.push((row.name.clone(), Wish::Same));
        return;
    }
    match changed(hangar, &file, &[Edit::Head(head.clone())], None) {
        Ok(_) => work.wishes.push((row.name.clone(), Wish::Update(head))),
        Err(error) => retold(row, error, &mut work.faults),
    }
}

/// Only what says something else than the file: the rest keeps its very bytes.
fn differing(row: &Row, stands: impl Fn(&str) -> String) -> Vec<Change> {
    let says_other = |change: &Change| typed_again(change).is_none_or(|given| given != stands(&change.0));
    changes(row).into_iter().filter(says_other).collect()
}

/// A value as a person would type it.
fn typed_again(change: &Change) -> Option<String> {
    let fields = &[Field { key: "value", label: "", form: Form::Text, needed: false, hint: "" }];
    let text = edited("", &[Edit::Head(vec![("value".to_string(), change.1.clone())])]).ok()?;
    typed_head(&text, fields).ok()?.pop()
}

fn instruments(hangar: &Hangar, args: &ImportArgs, rows: &[Row], work: &mut Work) -> Result<(), Failure> {
    let sheet = shown(hangar, &RecordFile::Instruments)?.sheet;
    if !sheet.can_edit {
        return Err(Failure::failed(sheet.faults.join("\n")));
    }
    for row in rows {
        if row.name.is_empty() {
            continue;
        }
        let known = sheet.entries_of(INSTRUMENTS.key).find(|entry| entry.name() == row.name);
        match known {
            Some(_) if !args.update => {
                work.faults.push(refused(row, &say!("an instrument \"{}\"", row.name)));
            }
            Some(_) if work.has_fault(row) => {}
            Some(entry) => {
                let stands = |key: &str| entry.value(&INSTRUMENTS, key).unwrap_or_default().to_string();
                let changes = differing(row, stands);
                let wish = if changes.is_empty() { Wish::Same } else { Wish::Update(changes) };
                if let Wish::Update(changes) = &wish {
                    let altered = altered(entry.spot.at, changes.clone());
                    if let Err(error) = changed(hangar, &RecordFile::Instruments, &[altered], None) {
                        retold(row, error, &mut work.faults);
                        continue;
                    }
                }
                work.wishes.push((row.name.clone(), wish));
            }
            None if missing(row, INSTRUMENTS.fields, &mut work.faults) || work.has_fault(row) => {}
            None => {
                let added = changes(row);
                match alone(added.clone()) {
                    Ok(()) => work.wishes.push((row.name.clone(), Wish::New(added))),
                    Err(error) => retold(row, error, &mut work.faults),
                }
            }
        }
    }
    Ok(())
}

/// What the register's reader says of one new entry by itself.
fn alone(changes: Vec<Change>) -> Result<(), HangarError> {
    let text =
        edited("", &[added(changes)]).map_err(|fault| HangarError::not_found(fault.why, fault.next))?;
    let faults = RecordFile::Instruments.faults(&Source::new("instruments.toml", text));
    if faults.is_empty() { Ok(()) } else { Err(HangarError::Files(faults)) }
}

fn added(changes: Vec<Change>) -> Edit {
    Edit::Add { list: INSTRUMENTS.key.to_string(), below: None, changes }
}

fn altered(at: usize, changes: Vec<Change>) -> Edit {
    Edit::Alter { list: INSTRUMENTS.key.to_string(), at, below: None, changes }
}

/// Each record is a file of its own. Should the disk fail between two of them, what is written is told.
fn write_airframes(hangar: &Hangar, work: &Work) -> Result<(), Failure> {
    let mut written: Vec<&str> = Vec::new();
    for (name, wish) in &work.wishes {
        let done = match wish {
            Wish::New(head) => create_airframe(hangar, head).map(drop),
            Wish::Update(head) => {
                let file = RecordFile::Airframe(name.clone());
                edit(hangar, &file, &[Edit::Head(head.clone())], None).map(drop)
            }
            Wish::Same => continue,
        };
        if let Err(error) = done {
            let before = if written.is_empty() { say!("nothing").to_string() } else { written.join(", ") };
            let failure = Failure::hangar(error);
            return Err(Failure::failed(say!(
                "{name}: {failure}\nwritten before that: {before}; repeat the import with --update for the rest",
                name = name,
                failure = failure,
                before = before
            )));
        }
        written.push(name);
    }
    Ok(())
}

/// The register is one file: one change, there whole or not at all.
fn write_instruments(hangar: &Hangar, work: &Work) -> Result<(), Failure> {
    let now = shown(hangar, &RecordFile::Instruments)?;
    let mut edits = Vec::new();
    for (name, wish) in &work.wishes {
        let place = now.sheet.entries_of(INSTRUMENTS.key).find(|entry| entry.name() == name);
        match (wish, place) {
            (Wish::Update(changes), Some(entry)) => edits.push(altered(entry.spot.at, changes.clone())),
            (Wish::New(changes) | Wish::Update(changes), _) => edits.push(added(changes.clone())),
            (Wish::Same, _) => {}
        }
    }
    edit(hangar, &RecordFile::Instruments, &edits, Some(&now.hash))?;
    Ok(())
}

fn tell_faults(args: &ImportArgs, rows: usize, work: &Work, out: &mut Output) {
    if args.json {
        let told = work
            .faults
            .iter()
            .map(|fault| json!({ "line": fault.line, "column": fault.column, "message": fault.why }));
        out.json(&json!({
            "file": args.file, "rows": rows, "new": [], "updated": [], "unchanged": [], "written": false,
            "faults": told.collect::<Vec<_>>(),
        }));
        return;
    }
    for fault in &work.faults {
        out.error(&format!("{}: {fault}", args.file.display()));
    }
    out.error(&say!(
        "one fault; nothing was written" | "{n} faults; nothing was written" % work.faults.len()
    ));
}

fn tell_done(args: &ImportArgs, rows: usize, work: &Work, out: &mut Output) {
    let names = |wanted: fn(&Wish) -> bool| -> Vec<&str> {
        work.wishes.iter().filter(|(_, wish)| wanted(wish)).map(|(name, _)| name.as_str()).collect()
    };
    let new = names(|wish| matches!(wish, Wish::New(_)));
    let updated = names(|wish| matches!(wish, Wish::Update(_)));
    let same = names(|wish| matches!(wish, Wish::Same));
    if args.json {
        out.json(&json!({
            "file": args.file, "rows": rows, "new": new, "updated": updated, "unchanged": same,
            "written": !args.dry_run, "faults": [],
        }));
        return;
    }
    for (word, names) in [(say!("new"), new), (say!("changed"), updated), (say!("as it was"), same)] {
        if !names.is_empty() {
            out.line(&format!("{word}: {}", names.join(", ")));
        }
    }
    out.line(if args.dry_run {
        say!("nothing stands against it; nothing was written (--dry-run)")
    } else {
        "written"
    });
}
