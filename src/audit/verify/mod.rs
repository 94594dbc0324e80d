//! Is a session whole, unaltered and signed? In words, with the first bad entry and byte.
//!
//! Pure: the bytes of a session's files come in, a [`Report`] goes out. Nothing is healed and nothing is guessed:
//! what cannot be told is said to be unknown.

mod anchor;
mod chain;
mod events;
mod evidence;
mod folder;
mod plans;
mod register;
mod report;
mod seals;
mod signed;
mod text;

use std::collections::BTreeMap;

use crate::event::Event;
use crate::journal::recover::{DamageReason, Judged, Verdict, judge};
use crate::journal::{Entry, Hash};
use crate::state::State;
use crate::words::{date, said};

pub use anchor::{Anchor, NoAnchor, anchors, match_code, paper_code};
pub use folder::{Listed, Observation, across, continued_by};
pub use report::{Check, Fault, Found, Place, Report, Soundness};
pub use seals::{KeyStanding, KnownKey, SealOutcome, keys_of, standing_of};
pub use text::text;

/// Names of the files that a fault may be in, as they lie in the session's folder.
pub const JOURNAL: &str = "journal.jsonl";
pub const REGISTER: &str = "acked.reg";
pub const PLAN: &str = "plan.json";

/// A file of the session as it was found: the SHA-256 of its content and its size in bytes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FoundFile {
    Read { sha256: Hash, bytes: u64 },
    Unreadable(String),
}

/// Everything that a session's folder holds. `None`: there is no such file.
#[derive(Debug, Clone, Copy)]
pub struct SessionFiles<'a> {
    /// Name of the folder; a session's folder is named by its id.
    pub name: &'a str,
    pub journal: &'a [u8],
    pub register: Option<&'a [u8]>,
    pub plan: Option<&'a [u8]>,
    /// Later plans by the hash that their name claims (64 lower-case hexadecimal characters).
    pub later_plans: &'a BTreeMap<String, Vec<u8>>,
    /// Evidence files by the hash that their name claims.
    pub evidence: &'a BTreeMap<String, FoundFile>,
    /// Keys of the people register; `None`: no register was given.
    pub keys: Option<&'a [KnownKey]>,
}

/// What the parts of the verification share: the verified entries as events, and the fold over them.
struct Record<'a> {
    entries: &'a [Entry],
    events: Vec<Event>,
    state: State,
    /// Why what comes after these events cannot be told; `None` where the record is followed to its end.
    beyond: Option<String>,
}

/// Verifies one session.
pub fn verify(files: &SessionFiles<'_>) -> Report {
    let judged = judge(files.journal, files.register.unwrap_or_default());
    let mut report = Report::new(&judged.verified.entries);
    chain::check(&mut report, files, &judged);
    let events = events::read(&mut report, &judged.verified);
    let signed_at = events.iter().position(|event| matches!(event, Event::SignedOff(_)));
    register::check(&mut report, files, &judged, signed_at.is_some());
    let plans = plans::check(&mut report, files, &events);
    let state = events::fit(&mut report, plans.as_ref(), &judged.verified, &events);
    let beyond = beyond(&judged, events.len());
    report.beyond.clone_from(&beyond);
    let record = Record { entries: &judged.verified.entries, events, state, beyond };
    evidence::check(&mut report, files, &record);
    signed::check(&mut report, &record, signed_at);
    seals::check(&mut report, files.keys, &record);
    tell(&mut report, files, &judged, &record, signed_at);
    report
}

/// What follows a fault cannot be told from a forgery: nothing may be said to be absent there.
fn beyond(judged: &Judged<'_>, understood: usize) -> Option<String> {
    let rest = judged.verified.rest.len();
    match &judged.verdict {
        Verdict::Damaged(_) if rest > 0 => {
            Some(say!("cannot be told: {rest} bytes follow the first fault", rest))
        }
        Verdict::Damaged(damage) => match &damage.reason {
            DamageReason::AcknowledgedLinesMissing { .. } => {
                Some(say!("cannot be told: entries are cut off at the end").to_string())
            }
            DamageReason::RegisterLost => {
                Some(say!("cannot be told: nobody can show that no entry was cut off at the end").to_string())
            }
            _ => None,
        },
        _ if understood < judged.verified.entries.len() => {
            Some(say!("cannot be told: entry {understood} is the first that is not understood", understood))
        }
        _ => None,
    }
}

/// The head of the report: which airframe, how it stands, how it is fixed on paper.
fn tell(
    report: &mut Report,
    files: &SessionFiles<'_>,
    judged: &Judged<'_>,
    record: &Record<'_>,
    signed_at: Option<usize>,
) {
    report.sign_off = signed_at.and_then(|at| record.entries.get(at)).map(Place::of);
    if let Some(Event::Opened(opened)) = record.events.first() {
        report.registration = Some(opened.registration.clone());
        report.type_id = Some(opened.type_id.clone());
        report.serial = Some(opened.serial.clone());
        report.continues = opened.continues.clone();
        tell_continues(report);
    }
    report.carried = carried(&record.events);
    report.standing = standing(record);
    if let Some(sid) = report.sid.clone().filter(|sid| sid != files.name) {
        let words = say!("the folder is called \"{}\" and holds session {sid}", files.name, sid);
        report.add(mark!("folder"), Found::Noted, words);
    }
    if let Some(words) = from_paper(&record.events) {
        report.add(mark!("from paper"), Found::Noted, words);
    }
    report.settle(judged.verified.entries.is_empty());
}

fn tell_continues(report: &mut Report) {
    let words = report.continues.as_ref().map(|earlier| {
        say!(
            "it continues session {} at the entry with the code {} (\"{}\"): named, and not verified here",
            earlier.sid,
            paper_code(&earlier.head).unwrap_or_else(|| "?".to_string()),
            earlier.reason
        )
    });
    match words {
        Some(words) => report.add(mark!("continues"), Found::Noted, words),
        None => {
            report.add(mark!("continues"), Found::Absent, say!("it continues no earlier session").to_string())
        }
    }
}

fn carried(events: &[Event]) -> Vec<(usize, String, u64, String)> {
    let one = |(at, event): (usize, &Event)| match event {
        Event::Carried(carried) => Some((at, carried.sid.clone(), carried.from, carried.hash.clone())),
        _ => None,
    };
    events.iter().enumerate().filter_map(one).collect()
}

/// How much of the record stood on paper first, by sheet; the sheets are what to ask for. `None` where nothing did.
fn from_paper(events: &[Event]) -> Option<String> {
    let mut sheets: BTreeMap<&str, usize> = BTreeMap::new();
    for paper in events.iter().filter_map(Event::paper) {
        *sheets.entry(&paper.sheet).or_default() += 1;
    }
    let count: usize = sheets.values().sum();
    let named: Vec<String> = sheets.iter().map(|(sheet, count)| format!("{sheet} ({count})")).collect();
    (count > 0)
        .then(|| say!("{count} entries stood on paper first; their sheets: {}", named.join(", "), count))
}

fn standing(record: &Record<'_>) -> String {
    let signed = record.events.iter().find_map(|event| match event {
        Event::SignedOff(signed) => Some(signed),
        _ => None,
    });
    let mut words = match signed {
        Some(signed) => {
            say!("{} on {} by {}", said(signed.outcome.word()), date(signed.date), signed.by.name)
        }
        None if record.beyond.is_some() => return record.beyond.clone().unwrap_or_default(),
        None => match record.events.iter().rev().find(|event| is_pause(event)) {
            Some(Event::Paused { .. }) => say!("paused").to_string(),
            _ if record.events.is_empty() => say!("unknown: no entry can be read").to_string(),
            _ => say!("running").to_string(),
        },
    };
    for event in &record.events {
        if let Event::Countersigned(added) = event {
            let agreed = if added.agrees { say!("countersigned") } else { say!("NOT agreed to") };
            words.push_str(&say!(", {agreed} by {}", added.by.name, agreed));
        }
    }
    if let Some(beyond) = &record.beyond {
        words.push_str(&say!("; what came later {beyond}", beyond));
    }
    words
}

fn is_pause(event: &Event) -> bool {
    matches!(event, Event::Paused { .. } | Event::Resumed { .. })
}

/// Whether a file's name is a hash as this program writes it.
fn names_hash(name: &str) -> bool {
    name.parse::<Hash>().is_ok()
}
