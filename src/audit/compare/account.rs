//! What one session says of one step, and how long the session took.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate};
use serde::Serialize;

use crate::event::StepResult;
use crate::state::{State, StepStanding, instant};
use crate::words::moment_of;
use crate::words::said;

/// How a step stood at the end of a session, with who and when.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Account {
    /// Word of the standing: open, passed, failed, not applicable, re-inspect.
    pub result: &'static str,
    #[serde(skip)]
    pub standing: StepStanding,
    pub by: Option<String>,
    /// Date and time on the inspector's clock.
    pub at: Option<String>,
    pub reason: Option<String>,
    /// It failed first and was worked again in the same annual.
    pub failed_first: bool,
    pub notes: Vec<String>,
}

/// Nothing where the session has no such step.
pub fn account(state: &State, step: &str) -> Option<Account> {
    let held = state.step(step)?;
    let answer = held.answer();
    let standing = held.standing();
    let failed = held
        .answers
        .iter()
        .any(|answer| answer.struck.is_none() && answer.answered.result == StepResult::Failed);
    Some(Account {
        result: standing.word(),
        standing,
        by: answer.map(|answer| answer.stamp.by.name.clone()),
        at: answer.map(|answer| answer.stamp.short()),
        reason: answer.and_then(|answer| answer.answered.reason.clone()),
        failed_first: failed && standing != StepStanding::Failed,
        notes: held.notes.iter().map(|note| note.text.clone()).collect(),
    })
}

impl Account {
    /// `passed by … on …: reason`.
    pub fn words(&self) -> String {
        let mut words = said(self.result).to_string();
        if self.failed_first {
            words = say!("{} after a first failure", words);
        }
        if let (Some(by), Some(at)) = (&self.by, &self.at) {
            words = say!("{} by {by} on {at}", words, by, at = moment_of(at));
        }
        if let Some(reason) = &self.reason {
            words.push_str(&format!(": {reason}"));
        }
        words
    }
}

/// How long a session took by the times of its entries.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct TimeTaken {
    pub first: Option<String>,
    pub last: Option<String>,
    /// Days with an entry of a person.
    pub days: usize,
    /// From the first to the last entry of each day, added up. Breaks are in it; work without an entry is not.
    pub minutes: i64,
}

/// Reads the times of answers, readings, confirmations, defects, notes and the sign-off.
pub fn time_taken(state: &State) -> TimeTaken {
    let steps = state.steps.values();
    let of_steps = steps.flat_map(|step| {
        let answers = step.answers.iter().map(|answer| &answer.stamp);
        let readings = step.readings.iter().map(|reading| &reading.stamp);
        answers.chain(readings).chain(step.notes.iter().map(|note| &note.stamp))
    });
    let stamps = of_steps
        .chain(state.opened.iter().map(|told| &told.stamp))
        .chain(state.confirmations.iter().map(|told| &told.stamp))
        .chain(state.defects.iter().map(|defect| &defect.stamp))
        .chain(state.signed.iter().map(|told| &told.stamp))
        // What was carried over was done in the earlier session.
        .filter(|stamp| stamp.carried_from.is_none());
    let mut days: BTreeMap<NaiveDate, (DateTime<FixedOffset>, DateTime<FixedOffset>)> = BTreeMap::new();
    for time in stamps.filter_map(|stamp| instant(&stamp.wall)) {
        let (first, last) = days.entry(time.date_naive()).or_insert((time, time));
        *first = time.min(*first);
        *last = time.max(*last);
    }
    let short = |time: &DateTime<FixedOffset>| time.format("%Y-%m-%d %H:%M").to_string();
    TimeTaken {
        first: days.values().map(|(first, _)| first).min().map(short),
        last: days.values().map(|(_, last)| last).max().map(short),
        days: days.len(),
        minutes: days.values().map(|(first, last)| (*last - *first).num_minutes()).sum(),
    }
}

impl TimeTaken {
    pub fn words(&self) -> String {
        let days = say!("on 1 day" | "on {n} days" % self.days);
        let (hours, minutes) = (self.minutes / 60, self.minutes % 60);
        say!(
            "{hours} h {minutes} min between first and last entry, {days}",
            hours,
            minutes = format_args!("{:02}", minutes),
            days
        )
    }
}
