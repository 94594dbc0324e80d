//! One step's history: answers, readings, notes, inspections. What was struck stays.

use super::{Judgement, ReadingVerdict, Stamp, StepStanding, judge_repeats};
use crate::checklist::{Configuration, Measure, MeasureKind};
use crate::event::{
    Answered, EntryNumber, IndependentlyInspected, InstrumentUse, ReadingTaken, ReadingValue, StepResult,
};
use crate::quantity::Quantity;

/// What replaced an entry, or took it back, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Struck {
    pub by_entry: EntryNumber,
    pub who: String,
    pub why: String,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Answer {
    pub stamp: Stamp,
    pub answered: Answered,
    pub struck: Option<Struck>,
    /// Rounds begin with 0; each rectification of the step's defect begins the next.
    pub round: u32,
    /// What the step needs and was not confirmed at that moment.
    pub unmet: Configuration,
    /// Steps that it depends on and that were open at that moment.
    pub before_its_turn: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reading {
    pub stamp: Stamp,
    pub taken: ReadingTaken,
    pub struck: Option<Struck>,
    pub round: u32,
    pub judgement: Judgement,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Note {
    pub stamp: Stamp,
    pub text: String,
}

/// A helper's initials: what they did of the step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Initials {
    pub stamp: Stamp,
    pub work: String,
    pub struck: Option<Struck>,
    pub round: u32,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Inspection {
    pub stamp: Stamp,
    pub inspected: IndependentlyInspected,
    pub round: u32,
}

#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct StepState {
    pub answers: Vec<Answer>,
    pub readings: Vec<Reading>,
    pub notes: Vec<Note>,
    pub inspections: Vec<Inspection>,
    pub initials: Vec<Initials>,
    pub round: u32,
    /// The entry that began this round; 0 in the first. What was filmed before it shows how things were.
    pub round_began: EntryNumber,
    /// A rectification said that a flight-control connection was disturbed.
    pub controls_disturbed: bool,
}

impl StepState {
    /// From here on the step is worked again: answers, readings and evidence until now stay, and hold no longer.
    pub(super) fn begin_round(&mut self, entry: EntryNumber) {
        self.round += 1;
        self.round_began = entry;
    }

    /// The answer that holds now, if any.
    pub fn answer(&self) -> Option<&Answer> {
        self.answers.iter().rev().find(|answer| answer.struck.is_none() && answer.round == self.round)
    }

    /// The readings that hold now, oldest first.
    pub fn readings_of<'a>(&'a self, measure: &'a str) -> impl Iterator<Item = &'a Reading> {
        self.readings.iter().filter(move |reading| {
            reading.struck.is_none() && reading.round == self.round && reading.taken.measure == measure
        })
    }

    /// Initials that hold now, oldest first.
    pub fn initials(&self) -> impl Iterator<Item = &Initials> {
        self.initials.iter().filter(|initials| initials.struck.is_none() && initials.round == self.round)
    }

    pub fn standing(&self) -> StepStanding {
        match self.answer().map(|answer| answer.answered.result) {
            Some(StepResult::Passed) => StepStanding::Passed,
            Some(StepResult::Failed) => StepStanding::Failed,
            Some(StepResult::NotApplicable) => StepStanding::NotApplicable,
            None if self.round > 0 => StepStanding::Reinspect,
            None => StepStanding::Open,
        }
    }

    /// How many readings of this measurement are still missing.
    pub fn missing(&self, measure: &Measure) -> u32 {
        if !measure.demanded {
            return 0;
        }
        let taken = u32::try_from(self.readings_of(&measure.id).count()).unwrap_or(u32::MAX);
        measure.readings.saturating_sub(taken)
    }

    /// The judgements that count for a measurement: of the mean where several numbers were read, else of
    /// each reading that holds.
    pub fn judgements(&self, measure: &Measure) -> Vec<Judgement> {
        let readings: Vec<&Reading> = self.readings_of(&measure.id).collect();
        if let MeasureKind::Number { limit, .. } = &measure.kind {
            let (quantities, instrument) = numbers_of(&readings);
            if let Some(mean) = judge_repeats(limit.as_ref(), &quantities, instrument, measure.guard) {
                return vec![mean];
            }
        }
        readings.into_iter().map(|reading| reading.judgement.clone()).collect()
    }

    /// Readings that hold and lie outside their limit.
    pub fn outside(&self) -> impl Iterator<Item = &Reading> {
        self.readings.iter().filter(|reading| {
            reading.struck.is_none()
                && reading.round == self.round
                && reading.judgement.verdict == ReadingVerdict::Outside
        })
    }
}

/// The numbers among the readings of one measurement, and the instrument of the last one.
pub(super) fn numbers_of<'a>(readings: &[&'a Reading]) -> (Vec<Quantity>, Option<&'a InstrumentUse>) {
    let number = |reading: &&Reading| match reading.taken.value {
        ReadingValue::Number { quantity } => Some(quantity),
        _ => None,
    };
    let instrument = readings.last().and_then(|reading| reading.taken.instrument.as_ref());
    (readings.iter().filter_map(number).collect(), instrument)
}
