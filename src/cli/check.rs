//! `check`: every fault of files, folders, a hangar or the built-in library, and what its codes mean.

use std::path::Path;
use std::sync::Arc;

use super::args::{CheckArgs, Cli};
use super::output::{Failure, Output, exit};
use super::{check_json, check_sarif};
use crate::bench::{Bench, RULE_IDS, Reading, Report, Rule, check as judge, rules};
use crate::checklist::builtin_sources;
use crate::diagnostic::{Diagnostic, Source, in_file_order, render, suggest};
use crate::store::texts::{absolute, read_text, read_toml_files};
use crate::store::{Clock, Hangar as Folder, RealClock};

pub(super) fn check(cli: &Cli, args: &CheckArgs, out: &mut Output) -> Result<u8, Failure> {
    if args.rule_ids {
        for row in RULE_IDS {
            out.line(&format!("{:<20} {}", row.id, row.status));
        }
        out.line("\nS read; P partly read, the rest from memory; M from memory; R still to be compared by a person");
        return Ok(exit::DONE);
    }
    if let Some(code) = &args.explain {
        return explain(code, out);
    }
    let gathered = gather(args);
    let files: Vec<Reading> = gathered.files.iter().map(read).collect();
    let library = library_beside(cli, args);
    let today = RealClock::new().now().date_naive();
    let mut report = judge(&Bench { files: &files, library: &library, today });
    let unread = gathered.unread.len();
    report.found.extend(gathered.unread);
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
        let more = if is_plain { "; spanwise check --explain CODE tells what a code means" } else { "" };
        // Where nothing at all could be read, nothing was judged.
        let is_nothing_judged = unread > 0 && report.checklists + report.records == 0;
        let text = format!("{count}{more}");
        return Err(if is_nothing_judged { Failure::failed(count) } else { Failure::refused(text) });
    }
    if is_plain {
        let records = match report.records {
            0 => String::new(),
            1 => " and one record".to_string(),
            many => format!(" and {many} records"),
        };
        let advised = match advice {
            0 => String::new(),
            advice => format!(", {}", told_as(0, advice)),
        };
        out.line(&format!("{} editions{records} read, no fault found{advised}", report.checklists));
    }
    Ok(exit::DONE)
}

fn told_as(errors: usize, advice: usize) -> String {
    let errors = match errors {
        0 => None,
        1 => Some("one fault".to_string()),
        many => Some(format!("{many} faults")),
    };
    let advice = match advice {
        0 => None,
        1 => Some("one piece of advice".to_string()),
        many => Some(format!("{many} pieces of advice")),
    };
    errors.into_iter().chain(advice).collect::<Vec<_>>().join(" and ")
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

/// A name without a folder says nothing about where the file lies.
fn read(source: &Arc<Source>) -> Reading {
    let path = Path::new(&source.name);
    let full = match path.parent() {
        Some(parent) if parent.as_os_str().is_empty() => absolute(path),
        _ => None,
    };
    match full {
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

fn is_hangar(path: &Path) -> bool {
    path.join("airframes").is_dir()
        || path.join("people.toml").is_file()
        || path.join("instruments.toml").is_file()
}

/// What the files will be used with: the built-in editions and those of the hangar that they lie in, or that was named.
fn library_beside(cli: &Cli, args: &CheckArgs) -> Vec<Reading> {
    let mut sources = if args.paths.is_empty() { Vec::new() } else { builtin_sources() };
    let mut hangars: Vec<_> = args.paths.iter().filter_map(|path| hangar_above(path)).collect();
    if let Some(named) = cli.hangar.as_deref().filter(|_| !args.paths.is_empty())
        && let Ok(folder) = Folder::locate(Some(named))
    {
        hangars.push(folder.root().to_path_buf());
    }
    hangars.sort();
    hangars.dedup();
    for hangar in hangars {
        sources.extend(read_toml_files(&hangar.join("checklists")).0);
    }
    sources.iter().map(Reading::of).collect()
}

/// The hangar whose `checklists` or `airframes` hold the path; the path itself where it is one.
fn hangar_above(path: &Path) -> Option<std::path::PathBuf> {
    let path = absolute(path)?;
    path.ancestors().take(4).find(|folder| is_hangar(folder)).map(Path::to_path_buf)
}

fn explain(code: &str, out: &mut Output) -> Result<u8, Failure> {
    if code.is_empty() {
        for rule in rules::ALL {
            out.line(&format!("{:<26} {:<7} {}", rule.code, rule.weight.word(), first_sentence(rule.doc)));
        }
        out.line("\nspanwise check --explain CODE tells why, with a bad and a good example");
        return Ok(exit::DONE);
    }
    let Some(rule) = rules::find(code) else {
        let hint = suggest(code, rules::ALL.iter().map(|rule| rule.code))
            .unwrap_or_else(|| "spanwise check --explain lists all codes".to_string());
        return Err(Failure::usage(&format!("there is no code \"{code}\"; {hint}")));
    };
    out.text(&explained(rule));
    Ok(exit::DONE)
}

fn explained(rule: &Rule) -> String {
    let (doc, why) = (wrapped(rule.doc), wrapped(&format!("Why: {}", rule.why)));
    let mut text = format!("{} ({})\n\n{doc}\n{why}", rule.code, rule.weight.word());
    for (name, example) in [("Bad", rule.bad), ("Good", rule.good)] {
        if !example.is_empty() {
            text.push_str(&format!("\n{name} (an invented example):\n\n"));
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
