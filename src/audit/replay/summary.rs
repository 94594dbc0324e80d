//! The short answer about a step: who passed it, when, in which configuration, with which instrument, and was it
//! ever changed?

use super::mark::Mark;
use super::story::{Happening, PlanChange, instrument_words};
use super::timeline::Timeline;
use crate::checklist::{Configuration, configuration_words};
use crate::event::{Actor, EntryNumber, Event, InstrumentUse, StepResult};
use crate::state::{Reading, StepStanding};
use crate::words::moment_of;
use crate::words::said;

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Summary {
    pub standing: StepStanding,
    /// The answer that holds at the end of the record.
    pub held: Option<Held>,
    /// Instruments of the readings that hold, each once, with the time of its first reading.
    pub instruments: Vec<(InstrumentUse, String)>,
    /// False where the step holds no reading: then no instrument was to be named.
    pub has_readings: bool,
    /// Every other instrument that a reading of this step names, also of readings struck or of an earlier round.
    pub earlier_instruments: Vec<(InstrumentUse, String)>,
    /// The readings that hold.
    pub readings: Vec<Change>,
    /// What failed: answers, readings outside their limits, inspections that were not satisfactory.
    pub failures: Vec<Change>,
    /// Independent inspections, all of them.
    pub inspections: Vec<Change>,
    pub changes: Vec<Change>,
    /// Of a damaged record the first entry that cannot be told.
    pub first_bad: Option<EntryNumber>,
}

/// The answer that holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Held {
    pub result: StepResult,
    pub entry: usize,
    pub by: Actor,
    /// `2026-11-25 09:14`.
    pub when: String,
    /// In force when it was answered.
    pub configuration: Configuration,
    /// What the step needs and was not confirmed.
    pub unmet: Configuration,
}

/// An entry that changed what held of the step before.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Change {
    pub entry: usize,
    pub what: String,
}

impl Summary {
    pub(super) fn of(line: &Timeline, id: &str, happenings: &[Happening]) -> Summary {
        let state = line.last();
        let step = state.step(id);
        let held = step.and_then(|step| step.answer()).map(|answer| {
            let entry = usize::try_from(answer.stamp.entry).unwrap_or(usize::MAX);
            Held {
                result: answer.answered.result,
                entry,
                by: answer.stamp.by.clone(),
                when: answer.stamp.minute(),
                configuration: line.configuration_at(entry),
                unmet: answer.unmet.clone(),
            }
        });
        let mut instruments: Vec<(InstrumentUse, String)> = Vec::new();
        let mut has_readings = false;
        let mut readings = Vec::new();
        let round = step.map_or(0, |step| step.round);
        let holding = step.into_iter().flat_map(|step| &step.readings);
        for reading in holding.filter(|reading| reading.struck.is_none() && reading.round == round) {
            has_readings = true;
            readings.push(Change { entry: number(reading.stamp.entry), what: reading_words(reading) });
            let used = reading.taken.used();
            for used in [used.instrument, used.load].into_iter().flatten() {
                if !instruments.iter().any(|(known, _)| known == used) {
                    instruments.push((used.clone(), reading.stamp.wall.clone()));
                }
            }
        }
        let earlier_instruments = earlier(happenings, &instruments);
        let all = |tell: fn(&Timeline, &Happening) -> Option<Change>| -> Vec<Change> {
            happenings.iter().filter_map(|happening| tell(line, happening)).collect()
        };
        let (failures, inspections, changes) = (all(failure), all(inspection), all(change));
        let first_bad = line.first_bad();
        Summary {
            standing: state.standing(id),
            held,
            instruments,
            has_readings,
            earlier_instruments,
            readings,
            failures,
            inspections,
            changes,
            first_bad,
        }
    }

    /// One sentence for each question, in the order in which an auditor asks them.
    pub fn sentences(&self) -> Vec<String> {
        let mut told = Vec::new();
        if let Some(first_bad) = self.first_bad {
            // Said first: of what came after, "open" and "never" would be claims that nobody can make.
            told.push(match first_bad {
                0 => say!("no entry of the record verifies: what was done cannot be told").to_string(),
                more => say!("as far as the record verifies (entries 0 to {}): what follows here; what came after cannot be told", more - 1),
            });
        }
        match &self.held {
            Some(held) => {
                told.push(say!(
                    "{} by {} on {}, entry {}",
                    said(held.result.word()),
                    held.by.name,
                    moment_of(&held.when),
                    held.entry
                ));
                if held.configuration.is_empty() {
                    told.push(say!("configuration then: none was confirmed").to_string());
                } else {
                    told.push(say!("configuration then: {}", configuration_words(&held.configuration)));
                }
                if !held.unmet.is_empty() {
                    told.push(say!(
                        "NOT confirmed, though the step needs it: {}",
                        configuration_words(&held.unmet)
                    ));
                }
            }
            None if self.first_bad.is_some() => told.push(say!("no answer holds up to there").to_string()),
            None => told.push(say!("{}: no answer holds", said(self.standing.word()))),
        }
        for failed in &self.failures {
            told.push(say!("FAILED, entry {}: {}", failed.entry, failed.what));
        }
        for inspected in &self.inspections {
            told.push(say!("independent inspection, entry {}: {}", inspected.entry, inspected.what));
        }
        for reading in &self.readings {
            told.push(say!("reading, entry {}: {}", reading.entry, reading.what));
        }
        for (used, wall) in &self.instruments {
            told.push(say!("instrument: {}", instrument_words(used, wall)));
        }
        match (self.instruments.is_empty(), self.has_readings) {
            (true, true) => told.push(say!("instrument: none is named with its readings").to_string()),
            (true, false) if self.first_bad.is_some() => {
                told.push(say!("instrument: none, it holds no reading up to there").to_string());
            }
            (true, false) => told.push(say!("instrument: none, it holds no reading").to_string()),
            _ => {}
        }
        for (used, wall) in &self.earlier_instruments {
            let when = short(wall);
            told.push(say!("instrument CHANGED; on {when} it was {}", instrument_words(used, wall), when));
        }
        match self.changes.len() {
            0 if self.first_bad.is_some() => told.push(say!("not changed up to there").to_string()),
            0 => told.push(say!("never changed").to_string()),
            more => told.push(say!("changed once" | "changed {n} times" % more)),
        }
        told.extend(self.changes.iter().map(|change| say!("entry {}: {}", change.entry, change.what)));
        told
    }
}

fn number(entry: EntryNumber) -> usize {
    usize::try_from(entry).unwrap_or(usize::MAX)
}

/// `2026-11-25 09:14`, or the recorded text where it cannot be read.
fn short(wall: &str) -> String {
    match (wall.get(..10), wall.get(11..16)) {
        (Some(day), Some(minute)) => moment_of(&format!("{day} {minute}")),
        _ => wall.to_string(),
    }
}

fn reading_words(reading: &Reading) -> String {
    let (measure, when) = (&reading.taken.measure, reading.stamp.short());
    say!("{measure} on {when} by {}: {}", reading.stamp.by.name, reading.judgement.headline(), measure, when)
}

/// Instruments that any reading names and none that holds does; each once, with its first reading's time.
fn earlier(happenings: &[Happening], held: &[(InstrumentUse, String)]) -> Vec<(InstrumentUse, String)> {
    let mut found: Vec<(InstrumentUse, String)> = Vec::new();
    for happening in happenings {
        for used in &happening.instruments {
            if !held.iter().chain(&found).any(|(known, _)| known.id == used.id) {
                found.push((used.clone(), happening.wall.clone()));
            }
        }
    }
    found
}

fn by_on(happening: &Happening) -> String {
    let by = happening.by.as_ref().map_or(say!("the program"), |by| by.name.as_str());
    say!("by {by} on {}", short(&happening.wall), by)
}

fn failure(line: &Timeline, happening: &Happening) -> Option<Change> {
    if !line.is(happening.entry, Mark::Failure) {
        return None;
    }
    let kind = match line.entries().get(happening.entry)?.event.inner() {
        Event::Answered(_) => say!("answered failed").to_string(),
        Event::ReadingTaken(taken) => say!("reading {} outside its limit", taken.measure),
        Event::IndependentlyInspected(_) => say!("independent inspection not satisfactory").to_string(),
        Event::DefectReinspected { defect, .. } => say!("re-inspection of {defect} not satisfactory", defect),
        _ => say!("failed").to_string(),
    };
    Some(Change { entry: happening.entry, what: format!("{kind} {}", by_on(happening)) })
}

fn inspection(line: &Timeline, happening: &Happening) -> Option<Change> {
    let event = line.entries().get(happening.entry)?.event.inner();
    let Event::IndependentlyInspected(inspected) = event else { return None };
    let found = if inspected.satisfactory { say!("satisfactory") } else { say!("NOT satisfactory") };
    Some(Change { entry: happening.entry, what: format!("{found}, {}", by_on(happening)) })
}

fn change(line: &Timeline, happening: &Happening) -> Option<Change> {
    let event = line.entries().get(happening.entry)?.event.inner();
    let corrected = |entry: EntryNumber, why: &str| {
        say!("corrects entry {entry}, which stays struck through: {why}", entry, why)
    };
    let what = match event {
        Event::Answered(answered) => {
            let known = answered.corrects.as_ref().map(|c| corrected(c.entry, &c.why)).or_else(|| {
                let defect = answered.reinspects.as_ref()?;
                Some(say!(
                    "worked again after the rectification of {defect}: {}",
                    said(answered.result.word()),
                    defect
                ))
            });
            // What failed was a change of how the step stood, too.
            let failed = || (answered.result == StepResult::Failed).then(|| say!("failed").to_string());
            known.or_else(failed)?
        }
        Event::ReadingTaken(taken) => taken.corrects.as_ref().map(|c| corrected(c.entry, &c.why))?,
        Event::Withdrawn { entry, why, .. } => say!("takes entry {entry} back: {why}", entry, why),
        Event::DefectRectified(rectified) => {
            say!("the rectification of {} opened it again", rectified.defect)
        }
        Event::PlanRevised(_) => match happening.plan_change? {
            (PlanChange::Added, _) => return None,
            (change, cause) => format!("{} ({})", said(change.word()), said(cause.word())),
        },
        _ => return None,
    };
    Some(Change { entry: happening.entry, what })
}
