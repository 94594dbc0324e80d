//! What an auditor should look at: observations, one file each.
//!
//! A finding observes and never accuses: it says what stands in the record, from which values, and what may
//! innocently explain it. Thresholds that no published source gives are marked "common practice, no source".
//!
//! To add one: a file with `NAME`, `TITLE`, `DOC`, `MAY_BE` and `find`, a row in [`ALL`], a test that shows it,
//! its edge, and an honest session in which it is silent.

mod before_its_turn;
mod burst_after_gap;
mod calibration;
mod clock_back;
mod context;
mod evidence_of_last_annual;
mod evidence_twice;
mod failed_then_passed;
mod fast_answers;
mod fast_stretch;
mod flawed;
mod haste;
mod identical_readings;
mod just_inside;
mod not_applicable_now;
mod one_key;
mod out_of_configuration;
mod pace;
mod targeted_bare;

use serde::Serialize;

use crate::event::{EntryNumber, Event};
use crate::state::Stamped;
use crate::words::said;

pub use context::{Context, Record};

/// What stands above every list of findings.
pub const CAUTION: &str =
    mark!("Observations, no accusations; each has innocent explanations; entry numbers lead to replay.");

/// What a finding is about.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(tag = "about", rename_all = "snake_case")]
pub enum About {
    Step { step: String },
    Reading { step: String, measure: String },
    Instrument { id: String },
    Evidence { name: String },
    Person { id: String },
    Record,
}

impl About {
    pub(super) fn step(id: &str) -> About {
        About::Step { step: id.to_string() }
    }

    pub fn words(&self) -> String {
        match self {
            About::Step { step } => say!("step {step}", step),
            About::Reading { step, measure } => say!("reading {measure} of step {step}", measure, step),
            About::Instrument { id } => say!("instrument {id}", id),
            About::Evidence { name } => say!("evidence {name}", name),
            About::Person { id } => say!("person {id}", id),
            About::Record => say!("the record").to_string(),
        }
    }

    /// The step to go to, where there is one.
    pub fn step_id(&self) -> Option<&str> {
        match self {
            About::Step { step } | About::Reading { step, .. } => Some(step),
            _ => None,
        }
    }
}

/// One observation.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Finding {
    /// Stable id of its kind.
    pub kind: &'static str,
    pub title: &'static str,
    pub about: Vec<About>,
    /// Entries of this session to look at, ascending.
    pub entries: Vec<EntryNumber>,
    /// What was observed, with the values.
    pub words: String,
    /// Innocent explanations.
    pub may_be: Vec<String>,
}

/// One kind of finding.
pub struct Kind {
    pub name: &'static str,
    pub title: &'static str,
    /// What it observes, why that may be worth a look, from which values.
    pub doc: &'static str,
    pub may_be: &'static [&'static str],
    find: fn(&Context<'_>) -> Vec<Seen>,
}

impl Kind {
    /// Everything of this kind in the session, in the order of the record.
    pub fn find(&self, context: &Context<'_>) -> Vec<Finding> {
        let mut found: Vec<Finding> = (self.find)(context).into_iter().map(|seen| self.told(seen)).collect();
        found.sort_by_key(|finding| finding.entries.first().copied());
        found
    }

    fn told(&self, mut seen: Seen) -> Finding {
        seen.entries.sort_unstable();
        seen.entries.dedup();
        Finding {
            kind: self.name,
            title: said(self.title),
            about: seen.about,
            entries: seen.entries,
            words: seen.words,
            may_be: self.may_be.iter().map(|may_be| said(may_be).to_string()).collect(),
        }
    }
}

/// What one file saw; its kind adds title and explanations.
struct Seen {
    about: Vec<About>,
    entries: Vec<EntryNumber>,
    words: String,
}

impl Seen {
    fn new(about: About, entries: Vec<EntryNumber>, words: String) -> Seen {
        Seen { about: vec![about], entries, words }
    }
}

macro_rules! kind {
    ($module:ident) => {
        Kind {
            name: $module::NAME,
            title: $module::TITLE,
            doc: $module::DOC,
            may_be: $module::MAY_BE,
            find: $module::find,
        }
    };
}

pub const ALL: [Kind; 15] = [
    kind!(fast_answers),
    kind!(fast_stretch),
    kind!(burst_after_gap),
    kind!(identical_readings),
    kind!(just_inside),
    kind!(failed_then_passed),
    kind!(not_applicable_now),
    kind!(out_of_configuration),
    kind!(before_its_turn),
    kind!(calibration),
    kind!(targeted_bare),
    kind!(evidence_twice),
    kind!(evidence_of_last_annual),
    kind!(one_key),
    kind!(clock_back),
];

/// The kind of this name.
pub fn kind(name: &str) -> Option<&'static Kind> {
    static KINDS: [Kind; 15] = ALL;
    KINDS.iter().find(|kind| kind.name == name)
}

/// How many entries were carried over from the session that this one continues, and its id. They are judged there:
/// here only their copies stand, with the times at which they were copied.
pub fn carried(entries: &[Stamped]) -> Option<(usize, &str)> {
    let mut from = entries.iter().filter_map(|stamped| match &stamped.event {
        Event::Carried(carried) => Some(carried.sid.as_str()),
        _ => None,
    });
    let first = from.next()?;
    // Of several sessions in a row the last one before this is the one to look at.
    let continues = entries.iter().find_map(|stamped| match &stamped.event {
        Event::Opened(opened) => opened.continues.as_ref().map(|continues| continues.sid.as_str()),
        _ => None,
    });
    Some((1 + from.count(), continues.unwrap_or(first)))
}

/// The same as a sentence.
pub fn carried_words(entries: &[Stamped]) -> Option<String> {
    let (count, sid) = carried(entries)?;
    Some(say!(
        "{n} entry was carried over from session {sid} and judged there: spanwise findings {sid}"
            | "{n} entries were carried over from session {sid} and judged there: spanwise findings {sid}"
                % count,
        sid = format_args!("{sid:.12}")
    ))
}

/// Entry numbers as ranges: `3, 12–148 (137)`.
pub fn ranges(entries: &[EntryNumber]) -> String {
    let mut told: Vec<(EntryNumber, EntryNumber)> = Vec::new();
    for entry in entries {
        match told.last_mut() {
            Some((_, last)) if *last + 1 == *entry => *last = *entry,
            _ => told.push((*entry, *entry)),
        }
    }
    let words = told.iter().map(|(first, last)| match last - first {
        0 => first.to_string(),
        1 => format!("{first}, {last}"),
        more => format!("{first}–{last} ({})", more + 1),
    });
    words.collect::<Vec<_>>().join(", ")
}

/// Everything worth a look, kind by kind in the order of [`ALL`].
pub fn find_all(context: &Context<'_>) -> Vec<Finding> {
    ALL.iter().flat_map(|kind| kind.find(context)).collect()
}

#[cfg(test)]
mod tests {
    use super::ranges;

    #[test]
    fn entries_in_a_row_are_told_as_a_range() {
        let row: Vec<u64> = (12..=148).collect();
        assert_eq!(ranges(&[&[3, 5, 6], &row[..]].concat()), "3, 5, 6, 12–148 (137)");
        assert_eq!(ranges(&[]), "");
    }
}
