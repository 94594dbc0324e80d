//! Many sessions side by side: copies, older copies, forks, and sessions that continue one another.

use std::collections::{BTreeMap, BTreeSet};

use super::report::Report;
use crate::journal::Hash;

/// A verified session and where it lies, in words for a message.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Listed {
    pub path: String,
    pub report: Report,
}

/// Something that only the comparison of sessions shows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Observation {
    pub words: String,
    /// True where two records contradict each other: one of them is not the record.
    pub contradicts: bool,
}

fn noted(words: String) -> Observation {
    Observation { words, contradicts: false }
}

fn contradicts(words: String) -> Observation {
    Observation { words, contradicts: true }
}

/// The sessions among these that continue this one, each once.
pub fn continued_by(sid: &str, sessions: &[Listed]) -> Vec<String> {
    let follows =
        |listed: &&Listed| listed.report.continues.as_ref().is_some_and(|earlier| earlier.sid == sid);
    let found: BTreeSet<String> =
        sessions.iter().filter(follows).filter_map(|listed| listed.report.sid.clone()).collect();
    found.into_iter().collect()
}

/// What the sessions say about each other.
pub fn across(sessions: &[Listed]) -> Vec<Observation> {
    let mut by_sid: BTreeMap<&str, Vec<&Listed>> = BTreeMap::new();
    for listed in sessions {
        if let Some(sid) = listed.report.sid.as_deref() {
            by_sid.entry(sid).or_default().push(listed);
        }
    }
    let mut found: Vec<Observation> = by_sid.values().flat_map(|copies| copies_of(copies)).collect();
    for listed in sessions {
        found.extend(continued(listed, &by_sid));
        found.extend(carried(listed, &by_sid));
    }
    found
}

/// Each further copy against the longest one.
fn copies_of(copies: &[&Listed]) -> Vec<Observation> {
    let Some(longest) = copies.iter().max_by_key(|listed| listed.report.chain.len()) else {
        return Vec::new();
    };
    let others = copies.iter().filter(|listed| !std::ptr::eq(**listed, *longest));
    others.map(|other| beside(longest, other)).collect()
}

fn beside(longest: &Listed, other: &Listed) -> Observation {
    let (long, short) = (&longest.report.chain, &other.report.chain);
    let parts = short.iter().zip(long).position(|(a, b)| a != b);
    match parts {
        Some(entry) => contradicts(say!(
            "{} and {} are two different records of one session: they part at entry {entry}; the code on paper tells which is the \
             record",
            longest.path,
            other.path,
            entry
        )),
        // What stands behind a break in its journal cannot be told, so it is neither older nor equal.
        None if other.report.beyond.is_some() => noted(say!(
            "{} is a damaged copy of {}: alike in the {} entries that can be read",
            other.path,
            longest.path,
            short.len()
        )),
        None if short.len() == long.len() => {
            noted(say!("{} is an equal copy of {}", other.path, longest.path))
        }
        None => noted(say!(
            "{} is an older copy of {}: {} of its {} entries",
            other.path,
            longest.path,
            short.len(),
            long.len()
        )),
    }
}

fn continued(listed: &Listed, by_sid: &BTreeMap<&str, Vec<&Listed>>) -> Option<Observation> {
    let earlier = listed.report.continues.as_ref()?;
    let Some(copies) = by_sid.get(earlier.sid.as_str()) else {
        return Some(noted(say!("{} continues session {}, which is not here", listed.path, earlier.sid)));
    };
    let has_head = |copy: &&Listed| copy.report.chain.iter().any(|hash| hash.to_string() == earlier.head);
    if let Some(copy) = copies.iter().find(|copy| has_head(copy)) {
        return Some(noted(say!(
            "{} continues session {}, which is here: {}",
            listed.path,
            earlier.sid,
            copy.report.verdict_words()
        )));
    }
    // Behind a fault the entry may stand and cannot be told.
    if copies.iter().all(|copy| copy.report.beyond.is_some()) {
        return Some(noted(say!(
            "{} continues session {}, which is here and DAMAGED; whether it has that entry cannot be told",
            listed.path,
            earlier.sid
        )));
    }
    Some(contradicts(say!(
        "{} continues session {} at an entry that {} does not have",
        listed.path,
        earlier.sid,
        copies[0].path
    )))
}

/// Entries carried over against the session that they come from, where that is here.
fn carried(listed: &Listed, by_sid: &BTreeMap<&str, Vec<&Listed>>) -> Option<Observation> {
    let strange = |(_, sid, from, hash): &&(usize, String, u64, String)| {
        let Some(copies) = by_sid.get(sid.as_str()) else { return false };
        let there = |copy: &&Listed| -> Option<Hash> {
            usize::try_from(*from).ok().and_then(|from| copy.report.chain.get(from)).copied()
        };
        !copies.iter().any(|copy| there(copy).is_some_and(|found| found.to_string() == *hash))
    };
    let (at, sid, from, _) = listed.report.carried.iter().find(strange)?;
    Some(contradicts(say!(
        "{} carries entry {from} of session {sid} over (its entry {at}), and that session does not have it in this form",
        listed.path,
        from,
        sid,
        at
    )))
}
