//! `edition list`: editions and drafts, and whether those that were issued are as they were.

use std::fmt::Write as _;
use std::path::Path;
use std::sync::Arc;

use serde::Serialize;

use super::super::output::{Failure, Output, exit};
use super::ListArgs;
use crate::checklist::{Checklist, builtin_register, builtin_sources, read_checklist};
use crate::diagnostic::{Source, render, shown_name};
use crate::edition::{Issued, Kept, check_kept, kept, read_register};
use crate::hangar::{Hangar, HangarError, OwnChecklists, own_checklists};
use crate::store::packs::is_installed;
use crate::words::{date, of_checklist, said};

#[derive(Serialize)]
struct Row {
    id: String,
    version: String,
    title: String,
    /// mark!("as issued"), mark!("altered"), mark!("missing"), mark!("from a pack"), mark!("not in the register"), mark!("draft"), mark!("cannot be read").
    standing: &'static str,
    issued: Option<chrono::NaiveDate>,
    by: Option<String>,
    sha256: Option<String>,
    source: String,
    /// The built-in edition of the same id and version that it stands for.
    in_place_of_built_in: bool,
}

pub(super) fn list(hangar: &Hangar, args: &ListArgs, out: &mut Output) -> Result<u8, Failure> {
    let own = own_checklists(&hangar.folder);
    let built_in = builtin_sources();
    let register = builtin_register();
    let entries = read_register(&register).map_err(HangarError::Files)?;
    let mut faults = check_kept(&register, &entries, &built_in);
    let mut rows = rows(&built_in, &entries);
    rows.extend(own_rows(&own));
    mark_replaced(&mut rows);
    rows.sort_by(|a, b| {
        (&a.id, semver::Version::parse(&a.version).ok())
            .cmp(&(&b.id, semver::Version::parse(&b.version).ok()))
    });
    if let Some(id) = &args.id {
        rows.retain(|row| row.id == *id);
        if rows.is_empty() {
            let next = say!("all of them: spanwise edition list");
            return Err(HangarError::not_found(say!("there is no checklist \"{id}\"", id), next).into());
        }
    }
    faults.extend(own.faults);
    if args.json {
        let faults: Vec<String> = faults.iter().map(ToString::to_string).collect();
        out.json(&serde_json::json!({ "editions": rows, "faults": faults }));
    } else {
        out.text(&text(&rows));
    }
    if faults.is_empty() {
        return Ok(exit::DONE);
    }
    if !args.json {
        out.error(&render(&faults, false));
    }
    Ok(exit::DAMAGED)
}

fn own_rows(own: &OwnChecklists) -> Vec<Row> {
    let mut found = rows(&own.editions, &own.issued);
    let is_altered = |row: &Row| {
        own.faults
            .iter()
            .any(|fault| fault.code == "installed-altered" && fault.place.source.name == row.source)
    };
    for row in found.iter_mut().filter(|row| is_installed(Path::new(&row.source))) {
        row.standing = if is_altered(row) { mark!("altered") } else { mark!("from a pack") };
    }
    for draft in &own.drafts {
        found.push(match read_checklist(draft) {
            Ok(checklist) => Row { standing: mark!("draft"), ..row(&checklist, None) },
            Err(_) => unread(draft),
        });
    }
    for entry in own.issued.iter().filter(|entry| kept(entry, &own.editions) == Kept::Missing) {
        found.push(Row {
            id: entry.id.clone(),
            version: entry.version.to_string(),
            title: String::new(),
            standing: mark!("missing"),
            issued: Some(entry.on),
            by: Some(entry.by.clone()),
            sha256: Some(entry.sha256.clone()),
            source: entry.file(),
            in_place_of_built_in: false,
        });
    }
    found
}

fn rows(sources: &[Arc<Source>], entries: &[Issued]) -> Vec<Row> {
    let entry_of = |checklist: &Checklist| {
        entries
            .iter()
            .find(|entry| entry.id == checklist.id.value && entry.version == checklist.version.value)
    };
    let mut found = Vec::new();
    for source in sources {
        found.push(match read_checklist(source) {
            Ok(checklist) => {
                let entry = entry_of(&checklist);
                let standing = match entry.map(|entry| kept(entry, sources)) {
                    None => mark!("not in the register"),
                    Some(Kept::AsIssued) => mark!("as issued"),
                    Some(_) => mark!("altered"),
                };
                Row { standing, ..row(&checklist, entry) }
            }
            Err(_) => unread(source),
        });
    }
    found
}

fn row(checklist: &Checklist, entry: Option<&Issued>) -> Row {
    Row {
        id: checklist.id.value.clone(),
        version: checklist.version.value.to_string(),
        title: checklist.title.clone(),
        standing: "",
        issued: entry.map(|entry| entry.on),
        by: entry.map(|entry| entry.by.clone()),
        sha256: Some(crate::edition::file_hash(&checklist.source.text)),
        source: checklist.source.name.clone(),
        in_place_of_built_in: false,
    }
}

/// Id and version are those of its path.
fn unread(source: &Source) -> Row {
    let name = source.name.replace('\\', "/");
    let mut parts = name.trim_end_matches(".toml").rsplit('/');
    let version = parts.next().unwrap_or_default().to_string();
    Row {
        id: parts.next().unwrap_or_default().to_string(),
        version,
        title: String::new(),
        standing: mark!("cannot be read"),
        issued: None,
        by: None,
        sha256: Some(crate::edition::file_hash(&source.text)),
        source: source.name.clone(),
        in_place_of_built_in: false,
    }
}

/// An own edition goes before the built-in one of the same id and version.
fn mark_replaced(rows: &mut [Row]) {
    let built_in: Vec<(String, String)> = rows
        .iter()
        .filter(|row| row.source.starts_with("built in: "))
        .map(|row| (row.id.clone(), row.version.clone()))
        .collect();
    for row in rows.iter_mut().filter(|row| !row.source.starts_with("built in: ") && row.standing != "draft")
    {
        row.in_place_of_built_in =
            built_in.iter().any(|(id, version)| *id == row.id && *version == row.version);
    }
}

fn text(rows: &[Row]) -> String {
    let mut out = String::new();
    for row in rows {
        let by = match (&row.issued, &row.by) {
            (Some(on), Some(by)) => say!(" {on} by {by}", on = date(*on), by),
            _ => String::new(),
        };
        let instead = if row.in_place_of_built_in { say!(", in place of the built-in edition") } else { "" };
        let _ = writeln!(out, "{:<24} {:<8} {}{by}{instead}", row.id, row.version, said(row.standing));
        if !row.title.is_empty() {
            let _ = writeln!(out, "    {} ({})", of_checklist(&row.title), shown_name(&row.source));
        }
    }
    out
}
