//! The plans: the first against the opening entry, each later one against the revision that took it up.

use std::collections::BTreeSet;

use super::report::{Fault, Found, KEEP, Report};
use super::{PLAN, SessionFiles};
use crate::event::Event;
use crate::journal::{Hash, sha256};
use crate::plan::{Plan, Plans};
use crate::words::said;

const NAME: &str = mark!("plan");

/// The plans that are the right ones; `None` where the first is not.
pub(super) fn check(report: &mut Report, files: &SessionFiles<'_>, events: &[Event]) -> Option<Plans> {
    let Some(Event::Opened(opened)) = events.first() else {
        report.add(
            NAME,
            Found::Unknown,
            say!("no opening entry can be read that would name the plan").to_string(),
        );
        return None;
    };
    let first = one(report, PLAN, files.plan, &opened.plan, 0)?;
    let mut plans = Plans::new(first);
    let mut taken_up = BTreeSet::new();
    for (at, event) in events.iter().enumerate() {
        if let Event::PlanRevised(revised) = event {
            let file = format!("plans/{}.json", revised.plan);
            let bytes = files.later_plans.get(&revised.plan).map(Vec::as_slice);
            // A session may go back to its first plan.
            let bytes = bytes.or(files.plan.filter(|_| revised.plan == opened.plan));
            taken_up.insert(revised.plan.as_str());
            if let Some(plan) = one(report, &file, bytes, &revised.plan, at as u64) {
                plans.add(revised.plan.clone(), plan);
            }
        }
    }
    unnamed(report, files, &taken_up);
    if report.check(NAME).is_none() {
        let words = match taken_up.len() {
            0 => say!("it is the one that entry 0 names ({})", format_args!("{:.12}", opened.plan)),
            1 => say!(
                "it is the one that entry 0 names ({}), and the revision's plan is the one it names",
                format_args!("{:.12}", opened.plan)
            ),
            more => say!(
                "it is the one that entry 0 names ({}), and {more} later plans are those named",
                format_args!("{:.12}", opened.plan),
                more
            ),
        };
        report.add(NAME, Found::Good, words);
    }
    Some(plans)
}

/// A plan that no entry names shakes nothing, but is told.
fn unnamed(report: &mut Report, files: &SessionFiles<'_>, taken_up: &BTreeSet<&str>) {
    for hash in files.later_plans.keys().filter(|hash| !taken_up.contains(hash.as_str())) {
        report.add(
            mark!("plan files"),
            Found::Noted,
            say!("plans/{hash}.json is named by no entry that verifies", hash),
        );
    }
}

fn one(report: &mut Report, file: &str, bytes: Option<&[u8]>, named: &str, entry: u64) -> Option<Plan> {
    let mut fail = |words: String, stands: String, should: String, byte: Option<usize>| {
        let fault = Fault {
            file: file.to_string(),
            entry: Some(entry),
            byte,
            stands,
            should,
            next: said(KEEP).to_string(),
        };
        report.bad(NAME, words, fault);
        None
    };
    let should = say!("the plan with the hash {named}, which entry {entry} names", named, entry);
    let Some(bytes) = bytes else {
        return fail(say!("{file} is missing", file), say!("no file").to_string(), should, None);
    };
    let found: Hash = sha256(bytes);
    if found.to_string() != named {
        let (byte, how) = where_told(bytes);
        let words =
            say!("{file} is not the plan that entry {entry} names: its hash differs{how}", file, entry, how);
        return fail(
            words,
            say!("a file of {} bytes with the hash {found}", bytes.len(), found),
            should,
            byte,
        );
    }
    match Plan::from_bytes(bytes) {
        Ok(plan) => Some(plan),
        Err(error) => fail(
            say!(
                "{file} is the plan that entry {entry} names, and this program cannot read it: {error}",
                file,
                entry,
                error
            ),
            say!("a plan of another form").to_string(),
            say!("a plan that this version of the program knows").to_string(),
            None,
        ),
    }
}

/// A plan has one spelling. Where the file leaves it, that byte is wrong; an exchanged word leaves no trace.
fn where_told(bytes: &[u8]) -> (Option<usize>, String) {
    if let Err(error) = std::str::from_utf8(bytes) {
        let at = error.valid_up_to();
        return (Some(at), say!("; byte {at} is no text", at));
    }
    match serde_json::from_slice::<serde_json::Value>(bytes) {
        Err(error) => {
            let at = error.column().saturating_sub(1);
            (Some(at), say!("; it is no JSON any more from about byte {at} of line {}", error.line(), at))
        }
        Ok(value) => {
            let spelt = serde_json_canonicalizer::to_vec(&value).unwrap_or_default();
            match bytes.iter().zip(&spelt).position(|(a, b)| a != b) {
                Some(at) => (Some(at), say!("; it leaves its one spelling at byte {at}", at)),
                None => (None, say!("; which word was changed, the hash cannot tell").to_string()),
            }
        }
    }
}
