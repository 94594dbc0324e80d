//! Evidence files against the entries that name them.

use std::collections::BTreeSet;

use super::report::{Fault, Found, KEEP, Report};
use super::{FoundFile, Record, SessionFiles, names_hash};
use crate::event::{Event, EvidenceAdded};
use crate::words::said;

const NAME: &str = mark!("evidence");

pub(super) fn check(report: &mut Report, files: &SessionFiles<'_>, record: &Record<'_>) {
    let mut named: BTreeSet<&str> = BTreeSet::new();
    let (mut whole, mut withdrawn) = (0, Vec::new());
    for (at, event) in record.events.iter().enumerate() {
        let Event::EvidenceAdded(added) = event.inner() else { continue };
        named.insert(&added.sha256);
        let Some(wrong) = wrong(files.evidence.get(&added.sha256), added) else {
            whole += 1;
            continue;
        };
        let words = say!("\"{}\" (entry {at}): {wrong}", added.name, at, wrong);
        if is_struck(record, at as u64) {
            withdrawn.push(words);
            continue;
        }
        let fault = Fault {
            file: path_of(&added.sha256),
            entry: Some(at as u64),
            byte: None,
            stands: wrong,
            should: say!("{} bytes with the hash {}", added.bytes, added.sha256),
            next: said(KEEP).to_string(),
        };
        report.bad(NAME, words, fault);
    }
    if report.check(NAME).is_none() {
        sum_up(report, record, whole, &withdrawn);
    }
    strangers(report, files, record, &named);
}

fn sum_up(report: &mut Report, record: &Record<'_>, whole: usize, withdrawn: &[String]) {
    let words = match (whole, withdrawn.is_empty()) {
        (0, true) => return none(report, record),
        (more, true) if record.beyond.is_some() => {
            say!("the {more} files that entries before the first fault name are there and unchanged", more)
        }
        (1, true) => say!("the one file is there and unchanged").to_string(),
        (_, true) => say!("all {whole} files are there and unchanged", whole),
        (_, false) => {
            say!("{whole} files are there and unchanged; withdrawn: {}", withdrawn.join("; "), whole)
        }
    };
    let found = if withdrawn.is_empty() { Found::Good } else { Found::Noted };
    report.add(NAME, found, words);
}

/// Told also where no evidence is named at all.
fn strangers(report: &mut Report, files: &SessionFiles<'_>, record: &Record<'_>, named: &BTreeSet<&str>) {
    let strangers: Vec<&str> =
        files.evidence.keys().map(String::as_str).filter(|name| !named.contains(name)).collect();
    if !strangers.is_empty() {
        let names = strangers.join(", ");
        match &record.beyond {
            Some(beyond) => {
                let words = say!(
                    "no entry before the first fault names these files: {names}; whether a later one does {beyond}",
                    names,
                    beyond
                );
                report.add(mark!("evidence files"), Found::Unknown, words);
            }
            None => {
                let words =
                    say!("no entry names these files: {names}; they are no part of the record", names);
                report.add(mark!("evidence files"), Found::Noted, words);
            }
        }
    }
}

fn none(report: &mut Report, record: &Record<'_>) {
    match &record.beyond {
        Some(beyond) => report.add(NAME, Found::Unknown, beyond.clone()),
        None => report.add(NAME, Found::Absent, say!("no evidence is in the record").to_string()),
    }
}

fn path_of(sha256: &str) -> String {
    match names_hash(sha256) {
        true => format!("evidence/{}/{sha256}", &sha256[..2]),
        false => "evidence".to_string(),
    }
}

/// Taken back later: the record no longer leans on it.
fn is_struck(record: &Record<'_>, entry: u64) -> bool {
    record.state.evidence.iter().any(|told| told.stamp.entry == entry && told.struck.is_some())
}

fn wrong(found: Option<&FoundFile>, added: &EvidenceAdded) -> Option<String> {
    match found {
        None => Some(say!("the file is missing").to_string()),
        Some(FoundFile::Unreadable(why)) => Some(say!("the file cannot be read: {why}", why)),
        Some(FoundFile::Read { sha256, .. }) if sha256.to_string() != added.sha256 => {
            Some(say!("the file has changed: its content now has the hash {sha256}", sha256))
        }
        Some(FoundFile::Read { bytes, .. }) if *bytes != added.bytes => {
            Some(say!("the file has {bytes} bytes, the entry tells {}", added.bytes, bytes))
        }
        Some(FoundFile::Read { .. }) => None,
    }
}
