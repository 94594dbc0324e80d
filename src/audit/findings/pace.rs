//! When each person answered what, and how that compares with the minutes that the checklist plans.
//!
//! Time is the wall clock as recorded, and over a step of the clock the running time that the record gives.
//! Entries carried over from another session were worked then, and are left out here.

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset};

use super::Record;
use crate::event::{EntryNumber, Event, StepResult};
use crate::state::instant;

pub const MINUTE_MS: i64 = 60_000;

/// Time that a person may have worked before entering anything, and that later answers still draw on.
/// Common practice, no source.
pub const CREDIT_MS: i64 = 30 * MINUTE_MS;

/// Something that a person recorded.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Act {
    pub entry: EntryNumber,
    /// Milliseconds on the session's own time line.
    pub at_ms: i64,
    /// True after a stretch of unknown length: the clock went back and nothing tells by how much.
    pub after_unknown: bool,
    /// Of an answer that says that the step was worked: its id and planned minutes.
    pub worked: Option<(String, i64)>,
}

/// Each person's acts in order.
pub fn acts(record: &Record<'_>) -> BTreeMap<String, Vec<Act>> {
    let mut found: BTreeMap<String, Vec<Act>> = BTreeMap::new();
    let mut unknown_since = 0;
    let mut seen_unknown: BTreeMap<String, usize> = BTreeMap::new();
    let (mut now_ms, mut wall) = (0_i64, None);
    for stamped in record.entries {
        let this = instant(&stamped.wall);
        match step_of(wall, this, &stamped.event) {
            Some(passed_ms) => now_ms += passed_ms,
            None => unknown_since += 1,
        }
        wall = this.or(wall);
        // What was done away from the screen took its time there, however fast it was typed in.
        if matches!(stamped.event, Event::Carried(_) | Event::FromPaper(_)) {
            continue;
        }
        let Some(by) = stamped.event.actor() else { continue };
        let known = seen_unknown.insert(by.id.clone(), unknown_since);
        found.entry(by.id.clone()).or_default().push(Act {
            entry: stamped.entry,
            at_ms: now_ms,
            after_unknown: known.is_some_and(|known| known != unknown_since),
            worked: worked(record, stamped.entry, &stamped.event),
        });
    }
    found
}

/// Milliseconds since the entry before; nothing where the record cannot tell.
fn step_of(
    before: Option<DateTime<FixedOffset>>,
    now: Option<DateTime<FixedOffset>>,
    event: &Event,
) -> Option<i64> {
    if let Event::ClockStepped { elapsed_ms, .. } = event {
        return Some((*elapsed_ms).max(0));
    }
    match (before, now) {
        (Some(before), Some(now)) => Some((now - before).num_milliseconds()).filter(|passed| *passed >= 0),
        _ => Some(0),
    }
}

/// A correction and "not applicable" may well take seconds: only first answers that say "worked" count.
fn worked(record: &Record<'_>, entry: EntryNumber, event: &Event) -> Option<(String, i64)> {
    let Event::Answered(answered) = event else { return None };
    if answered.corrects.is_some() || answered.result == StepResult::NotApplicable {
        return None;
    }
    let step = &record.step_at(entry, &answered.step)?.step;
    Some((step.id.clone(), i64::from(step.minutes)))
}

/// Answers in a row that came faster than the pace allows.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stretch {
    pub entries: Vec<EntryNumber>,
    pub steps: Vec<String>,
    pub planned_minutes: i64,
    /// Time that passed since what the person recorded before, with what was saved up until then.
    pub available_ms: i64,
}

/// Follows the time in hand: it grows with the clock, each answer takes its planned minutes divided by `speed`
/// from it, and at most [`CREDIT_MS`] are carried on past an answer. A stretch is told once it is short by more
/// than `slack_ms`.
pub fn stretches(acts: &[Act], speed: i64, slack_ms: i64) -> Vec<Stretch> {
    let mut found = Vec::new();
    let mut run = Run::default();
    // Whoever begins with an answer may have worked before it; whoever opened the session began there.
    let mut in_hand = if acts.first().is_some_and(|act| act.worked.is_some()) { CREDIT_MS } else { 0 };
    let mut before_ms = acts.first().map_or(0, |act| act.at_ms);
    for act in acts {
        let passed = act.at_ms - before_ms;
        before_ms = act.at_ms;
        if act.after_unknown {
            run.close(slack_ms, &mut found);
            in_hand = CREDIT_MS;
        }
        in_hand += passed;
        run.passed(passed);
        let Some((step, minutes)) = &act.worked else { continue };
        let before_answer = in_hand;
        in_hand -= minutes * MINUTE_MS / speed;
        if in_hand >= 0 {
            // In time, with all that was short before made good: the stretch ended with the answer before.
            run.close(slack_ms, &mut found);
            in_hand = in_hand.min(CREDIT_MS);
        } else {
            run.answer(act.entry, step, *minutes, before_answer.max(0));
            run.short_by = run.short_by.max(-in_hand);
        }
    }
    run.close(slack_ms, &mut found);
    found
}

#[derive(Default)]
struct Run {
    stretch: Option<Stretch>,
    short_by: i64,
    /// Passed since the last answer of the stretch.
    since_ms: i64,
}

impl Run {
    fn passed(&mut self, ms: i64) {
        self.since_ms += ms;
    }

    fn answer(&mut self, entry: EntryNumber, step: &str, minutes: i64, in_hand: i64) {
        let since = std::mem::take(&mut self.since_ms);
        match &mut self.stretch {
            Some(stretch) => stretch.available_ms += since,
            None => {
                self.stretch = Some(Stretch {
                    entries: Vec::new(),
                    steps: Vec::new(),
                    planned_minutes: 0,
                    available_ms: in_hand,
                });
            }
        }
        if let Some(stretch) = &mut self.stretch {
            stretch.entries.push(entry);
            stretch.steps.push(step.to_string());
            stretch.planned_minutes += minutes;
        }
    }

    fn close(&mut self, slack_ms: i64, found: &mut Vec<Stretch>) {
        let run = std::mem::take(self);
        if run.short_by > slack_ms {
            found.extend(run.stretch);
        }
    }
}

/// `40 s`, `3 min 20 s`, `2 h 5 min`.
pub fn duration(ms: i64) -> String {
    let seconds = ms / 1000;
    match (seconds / 3600, seconds % 3600 / 60, seconds % 60) {
        (0, 0, seconds) => format!("{seconds} s"),
        (0, minutes, 0) => format!("{minutes} min"),
        (0, minutes, seconds) => format!("{minutes} min {seconds} s"),
        (hours, 0, _) => format!("{hours} h"),
        (hours, minutes, _) => format!("{hours} h {minutes} min"),
    }
}

/// The same, told as what something happened within: never nothing.
pub fn within(ms: i64) -> String {
    duration(ms.max(1000))
}

/// The name of a person as the record gives it.
pub fn name_of<'a>(record: &Record<'a>, id: &'a str) -> &'a str {
    let mut actors = record.entries.iter().filter_map(|stamped| stamped.event.actor());
    actors.find(|by| by.id == id).map_or(id, |by| by.name.as_str())
}

/// `1 answer`, `12 answers`.
pub fn answers(count: usize) -> String {
    say!("1 answer" | "{n} answers" % count)
}
