//! `check`: every fault of files, folders, a hangar or the built-in library, and what its codes mean.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::args::{CheckArgs, Cli};
use super::output::{Failure, Output, exit};
use super::{check_json, check_sarif};
use crate::bench::{Bench, RULE_IDS, Reading, Report, Rule, check as judge, rules};
use crate::checklist::{builtin_register, builtin_sources};
use crate::diagnostic::{Diagnostic, Source, in_file_order, render, suggest};
use crate::hangar::{hangar_above, is_hangar, library_beside, packs};
use crate::store::texts::{absolute, read_text, read_toml_files};
use crate::store::{Clock, Hangar as Folder, RealClock};
use crate::words::said;

pub(super) fn check(cli: &Cli, args: &CheckArgs, out: &mut Output) -> Result<u8, Failure> {
    if args.rule_ids {
        for row in RULE_IDS {
            out.line(&format!("{:<20} {}", row.id, row.status));
        }
        out.line("");
        out.line(say!(
            "S read; P partly read, the rest from memory; M from memory; R still to be compared by a person"
        ));
        return Ok(exit::DONE);
    }
    if let Some(code) = &args.explain {
        return explain(code, out);
    }
    let gathered = gather(args);
    let files: Vec<Reading> = gathered.files.iter().map(read).collect();
    let library = library_of(cli, args);
    let today = RealClock::new().now().date_naive();
    let mut report = judge(&Bench { files: &files, library: &library, today });
    let unread = gathered.unread.len();
    report.found.extend(gathered.unread);
    report.found.extend(installed_faults(args, &files));
    in_file_order(&mut report.found);
    tell(args, &report, unread, out)
}

fn tell(args: &CheckArgs, report: &Report, unread: usize, out: &mut Output) -> Result<u8, Failure> {
    let (errors, advice) = (report.errors(), report.found.len() - report.errors());
    if args.json {
        out.json(&check_json::document(report));
    } else if args.sarif {
        out.json(&check_sarif::document(report));
    } else if !report.found.is_empty() {
        out.error(&render(&report.found, false));
    }
    let is_plain = !args.json && !args.sarif;
    let is_refused = errors > 0 || args.strict && advice > 0;
    if is_refused {
        let count = told_as(errors, advice);
        // Where nothing at all could be read, nothing was judged.
        let is_nothing_judged = unread > 0 && report.checklists + report.records == 0;
        return Err(match (is_nothing_judged, is_plain) {
            (true, _) => Failure::failed(count),
            (_, true) => Failure::refused(say!(
                "{count}; spanwise check --explain CODE tells what a code means",
                count = count
            )),
            (_, false) => Failure::refused(count),
        });
    }
    if is_plain {
        let editions = say!("1 edition" | "{n} editions" % report.checklists);
        let read = match report.records {
            0 => say!("{editions} read, no fault found", editions = editions),
            records => say!(
                "{editions} and {records} read, no fault found",
                editions = editions,
                records = say!("one record" | "{n} records" % records)
            ),
        };
        match advice {
            0 => out.line(&read),
            advice => out.line(&format!("{read}, {}", told_as(0, advice))),
        }
    }
    Ok(exit::DONE)
}

fn told_as(errors: usize, advice: usize) -> String {
    let of_errors = || say!("one fault" | "{n} faults" % errors);
    let of_advice = || say!("one piece of advice" | "{n} pieces of advice" % advice);
    match (errors, advice) {
        (_, 0) => of_errors(),
        (0, _) => of_advice(),
        _ => say!("{} and {}", of_errors(), of_advice()),
    }
}

/// The files to judge, and what could not even be read.
struct Gathered {
    files: Vec<Arc<Source>>,
    unread: Vec<Diagnostic>,
}

fn gather(args: &CheckArgs) -> Gathered {
    let mut gathered = Gathered { files: Vec::new(), unread: Vec::new() };
    if args.paths.is_empty() {
        gathered.files = builtin_sources();
        gathered.files.push(builtin_register());
        return gathered;
    }
    for path in &args.paths {
        if path.is_dir() {
            for folder in folders_of(path) {
                let (files, unread) = read_toml_files(&folder);
                gathered.files.extend(files);
                gathered.unread.extend(unread);
            }
            let registers = ["people.toml", "instruments.toml"].map(|name| path.join(name));
            let is_hangar = is_hangar(path);
            for register in registers.iter().filter(|register| is_hangar && register.exists()) {
                take(register, &mut gathered);
            }
        } else {
            take(path, &mut gathered);
        }
    }
    // A folder and a file in it: once is enough.
    gathered.files.sort_by(|a, b| a.name.cmp(&b.name));
    gathered.files.dedup_by(|a, b| a.name == b.name);
    gathered
}

fn take(path: &Path, gathered: &mut Gathered) {
    match read_text(path, &path.to_string_lossy()) {
        Ok(source) => gathered.files.push(source),
        Err(fault) => gathered.unread.push(fault),
    }
}

/// With its whole path: a name without a folder says nothing about where the file lies.
fn read(source: &Arc<Source>) -> Reading {
    match absolute(Path::new(&source.name)) {
        Some(full) => Reading::at(source, &full.to_string_lossy()),
        None => Reading::of(source),
    }
}

/// Of a hangar only what people write: the sessions' folders hold records of their own kind.
fn folders_of(path: &Path) -> Vec<std::path::PathBuf> {
    match is_hangar(path) {
        true => vec![path.join("checklists"), path.join("airframes")],
        false => vec![path.to_path_buf()],
    }
}

/// What the files will be used with; the built-in library is its own.
fn library_of(cli: &Cli, args: &CheckArgs) -> Vec<Reading> {
    if args.paths.is_empty() {
        return Vec::new();
    }
    let named = cli.hangar.as_deref().and_then(|named| Folder::locate(Some(named)).ok());
    let further: Vec<PathBuf> = named.iter().map(|folder| folder.root().to_path_buf()).collect();
    library_beside(&args.paths, &further)
}

/// What came in packs and is no longer as it was signed, as far as it is under check.
fn installed_faults(args: &CheckArgs, files: &[Reading]) -> Vec<Diagnostic> {
    let mut hangars: Vec<PathBuf> = args.paths.iter().filter_map(|path| hangar_above(path)).collect();
    hangars.sort();
    hangars.dedup();
    let folders = hangars.iter().filter_map(|hangar| Folder::locate(Some(hangar)).ok());
    let faults = folders.flat_map(|folder| packs::altered(&folder));
    let of_files = |fault: &Diagnostic| {
        let path = fault.place.source.name.replace('\\', "/");
        // One that is missing is no file under check, but its folder may be.
        let is_below =
            |folder: &PathBuf| absolute(folder).is_some_and(|folder| Path::new(&path).starts_with(folder));
        files.iter().any(|file| path == file.path) || args.paths.iter().any(is_below)
    };
    faults.filter(of_files).collect()
}

fn explain(code: &str, out: &mut Output) -> Result<u8, Failure> {
    if code.is_empty() {
        for rule in rules::ALL {
            out.line(&format!(
                "{:<26} {:<7} {}",
                rule.code,
                said(rule.weight.word()),
                first_sentence(said(rule.doc))
            ));
        }
        out.line("");
        out.line(say!("spanwise check --explain CODE tells why, with a bad and a good example"));
        return Ok(exit::DONE);
    }
    let Some(rule) = rules::find(code) else {
        let hint = suggest(code, rules::ALL.iter().map(|rule| rule.code))
            .unwrap_or_else(|| say!("spanwise check --explain lists all codes").to_string());
        return Err(Failure::usage(&say!("there is no code \"{code}\"; {hint}", code = code, hint = hint)));
    };
    out.text(&explained(rule));
    Ok(exit::DONE)
}

fn explained(rule: &Rule) -> String {
    let (doc, why) = (wrapped(said(rule.doc)), wrapped(&say!("Why: {}", said(rule.why))));
    let mut text = format!("{} ({})\n\n{doc}\n{why}", rule.code, said(rule.weight.word()));
    let examples =
        [(say!("Bad (an invented example):"), rule.bad), (say!("Good (an invented example):"), rule.good)];
    for (head, example) in examples {
        if !example.is_empty() {
            text.push_str(&format!("\n{head}\n\n"));
            for line in example.lines() {
                text.push_str(&format!("    {line}").trim_end().replace('\t', "    "));
                text.push('\n');
            }
        }
    }
    text
}

/// In lines of at most 80 characters.
fn wrapped(text: &str) -> String {
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.is_empty() => line.push_str(word),
            Some(line) if line.chars().count() + 1 + word.chars().count() <= 80 => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_string()),
        }
    }
    lines.join("\n") + "\n"
}

fn first_sentence(text: &str) -> &str {
    text.split_once([':', ';'])
        .map_or(text, |(first, _)| first)
        .split(". ")
        .next()
        .unwrap_or(text)
        .trim_end_matches('.')
}

/// For the machine-readable forms: where a source's lines begin, so that many places cost one walk.
pub(super) struct Lines<'a> {
    source: &'a Source,
    starts: Vec<usize>,
}

/// A place counted from 1, in characters and in UTF-16 code units, with its bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Position {
    pub line: usize,
    pub column: usize,
    pub column_utf16: usize,
    pub byte: usize,
}

impl<'a> Lines<'a> {
    pub fn of(source: &'a Source) -> Lines<'a> {
        let ends = source.text.match_indices('\n').map(|(at, _)| at + 1);
        Lines { source, starts: std::iter::once(0).chain(ends).collect() }
    }

    /// Of a byte; one inside a letter means the letter's beginning, one past the end the end.
    pub fn position(&self, byte: usize) -> Position {
        let mut byte = byte.min(self.source.text.len());
        while !self.source.text.is_char_boundary(byte) {
            byte -= 1;
        }
        let line = self.starts.partition_point(|start| *start <= byte);
        let start = self.starts.get(line.saturating_sub(1)).copied().unwrap_or(0);
        let before = &self.source.text[start..byte];
        Position {
            line,
            column: before.chars().count() + 1,
            column_utf16: before.chars().map(char::len_utf16).sum::<usize>() + 1,
            byte,
        }
    }
}
