//! What the sign-off, the countersignatures and the independent inspections say about the record before them.

use super::report::{Fault, Found, KEEP, Report};
use super::{JOURNAL, Record};
use crate::event::{Countersigned, Event, IndependentlyInspected, SignedOff};
use crate::journal::{Entry, Hash, sha256};
use crate::words::said;

pub(super) fn check(report: &mut Report, record: &Record<'_>, signed_at: Option<usize>) {
    match signed_at {
        None if record.beyond.is_some() => {
            let words = record.beyond.clone().unwrap_or_default();
            report.add(mark!("sign-off"), Found::Unknown, words.clone());
            report.add(mark!("seal"), Found::Unknown, words);
        }
        None => report.add(mark!("sign-off"), Found::Absent, say!("it is not signed").to_string()),
        Some(at) => {
            if let Some(Event::SignedOff(signed)) = record.events.get(at) {
                sign_off(report, record, at, signed);
            }
        }
    }
    for (at, event) in record.events.iter().enumerate() {
        match event {
            Event::Countersigned(added) => countersigned(report, record, at, added),
            Event::IndependentlyInspected(inspected) => inspection(report, record, at, inspected),
            _ => {}
        }
    }
}

fn sign_off(report: &mut Report, record: &Record<'_>, at: usize, signed: &SignedOff) {
    let before = at.checked_sub(1).and_then(|before| record.entries.get(before));
    let head = before.map(|entry| entry.hash).unwrap_or(Hash::ZERO).to_string();
    let mut wrong = Vec::new();
    if signed.count != at as u64 {
        wrong.push(say!("it was made for {} entries and {at} stand before it", signed.count, at));
    }
    if signed.head != head {
        wrong.push(say!(
            "it was made for a record that ends with {}, and {head} stands before it",
            format_args!("{:.12}", signed.head),
            head = format_args!("{:.12}", head)
        ));
    }
    if !wrong.is_empty() {
        wrong.push(
            say!("any of the entries before it may be the changed one, the chain after it having been written anew").to_string(),
        );
    }
    // Without a fold there is nothing to hold these two to; the replay has told so.
    let folded = record.state.signed.is_some();
    if folded && signed.plan != record.state.plan {
        wrong.push(say!(
            "it was made for the plan {}, and {} held",
            format_args!("{:.12}", signed.plan),
            format_args!("{:.12}", record.state.plan)
        ));
    }
    let manifest = manifest(record);
    if folded && signed.evidence != manifest {
        wrong.push(
            say!("the evidence that it was made for is not the evidence of the entries before it")
                .to_string(),
        );
    }
    if wrong.is_empty() {
        let words = match folded {
            true => say!("entry {at} agrees with the {at} entries before it, the plan and the evidence", at),
            false => say!(
                "entry {at} agrees with the {at} entries before it; plan and evidence could not be held to it",
                at
            ),
        };
        return report.add(mark!("sign-off"), if folded { Found::Good } else { Found::Unknown }, words);
    }
    let fault = at_entry(record, at, wrong.join("; "), say!("a sign-off for exactly what stands before it"));
    report.bad(mark!("sign-off"), say!("entry {at}: {}", wrong.join("; "), at), fault);
}

fn at_entry(record: &Record<'_>, at: usize, stands: String, should: &str) -> Fault {
    Fault {
        file: JOURNAL.to_string(),
        entry: Some(at as u64),
        byte: None,
        stands: format!("{stands}{}", record.entries.get(at).map_or_else(String::new, when)),
        should: should.to_string(),
        next: said(KEEP).to_string(),
    }
}

fn when(entry: &Entry) -> String {
    say!(" (written {})", entry.wall)
}

/// SHA-256 over `<hash> <size>\n` of every standing evidence file, sorted, without repeats.
fn manifest(record: &Record<'_>) -> String {
    let standing = record.state.evidence.iter().filter(|told| told.struck.is_none());
    let lines: std::collections::BTreeSet<String> =
        standing.map(|told| format!("{} {}\n", told.what.sha256, told.what.bytes)).collect();
    sha256(lines.into_iter().collect::<String>().as_bytes()).to_string()
}

fn countersigned(report: &mut Report, record: &Record<'_>, at: usize, added: &Countersigned) {
    let target = usize::try_from(added.entry).ok();
    let hash = target.and_then(|target| record.entries.get(target)).map(|entry| entry.hash.to_string());
    if hash.as_ref() == Some(&added.hash) {
        let agrees = if added.agrees { say!("agrees") } else { say!("does NOT agree") };
        let words = say!(
            "{} {agrees}, entry {at}, about the sign-off in entry {}",
            added.by.name,
            added.entry,
            agrees,
            at
        );
        return report.add(
            mark!("countersign"),
            if added.agrees { Found::Good } else { Found::Noted },
            words,
        );
    }
    let words = say!(
        "entry {at} of {} is about another entry {} than the one that stands there",
        added.by.name,
        added.entry,
        at
    );
    let fault =
        at_entry(record, at, words.clone(), say!("a countersignature that names the hash of the sign-off"));
    report.bad(mark!("countersign"), words, fault);
}

/// What the second person signed on must stand right before, but for what the program itself noted meanwhile.
fn inspection(report: &mut Report, record: &Record<'_>, at: usize, inspected: &IndependentlyInspected) {
    let Some(position) = &inspected.at else { return };
    let count = usize::try_from(position.count).unwrap_or(usize::MAX);
    let head = count
        .checked_sub(1)
        .and_then(|before| record.entries.get(before))
        .map(|entry| entry.hash.to_string());
    let between = record.events.get(count..at).unwrap_or_default();
    let near = count <= at && between.iter().all(|event| event.actor().is_none());
    if near && head.as_ref() == Some(&position.head) {
        let words = say!(
            "{} for {}, entry {at}, on the {count} entries before it",
            inspected.by.name,
            inspected.step,
            at,
            count
        );
        return report.add(mark!("independent inspection"), Found::Good, words);
    }
    let words = say!(
        "entry {at} of {} was made for {} entries that end with {}, and something else stands before it",
        inspected.by.name,
        position.count,
        format_args!("{:.12}", position.head),
        at
    );
    let fault = at_entry(record, at, words.clone(), say!("an inspection for exactly what stands before it"));
    report.bad(mark!("independent inspection"), words, fault);
}
