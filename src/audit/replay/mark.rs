//! What an auditor jumps to.

use crate::event::{Event, StepResult};
use crate::state::{Judgement, ReadingVerdict, Stamped};

/// A kind of entry that can be jumped to. One entry may be of several kinds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Mark {
    /// Every entry.
    Any,
    /// A failed step, a reading outside its limit, an inspection or re-inspection that was not satisfactory.
    Failure,
    /// A correction, something taken back, or a step worked again in a later round.
    Correction,
    /// A pause, or the end of one.
    Pause,
    Configuration,
    Reading,
    Revision,
    /// A defect raised, decided, rectified or re-inspected.
    Defect,
    /// The sign-off, or a countersignature.
    SignOff,
}

impl Mark {
    /// Words as the command line and the screen name them.
    pub const WORDS: [(&'static str, Mark); 9] = [
        ("all", Mark::Any),
        ("failures", Mark::Failure),
        ("corrections", Mark::Correction),
        ("pauses", Mark::Pause),
        ("configuration", Mark::Configuration),
        ("readings", Mark::Reading),
        ("revisions", Mark::Revision),
        ("defects", Mark::Defect),
        ("sign-off", Mark::SignOff),
    ];

    pub fn word(self) -> &'static str {
        Mark::WORDS.iter().find(|(_, mark)| *mark == self).map_or("all", |(word, _)| word)
    }

    /// One of it, for telling that there is none.
    pub fn one(self) -> &'static str {
        match self {
            Mark::Any => mark!("entry"),
            Mark::Failure => mark!("failure"),
            Mark::Correction => mark!("correction, withdrawal or work done again"),
            Mark::Pause => mark!("pause or resuming"),
            Mark::Configuration => mark!("change of configuration"),
            Mark::Reading => mark!("reading"),
            Mark::Revision => mark!("change of the plan"),
            Mark::Defect => mark!("word on a defect"),
            Mark::SignOff => mark!("signature"),
        }
    }

    fn bit(self) -> u16 {
        1 << (self as u16)
    }
}

/// The kinds of one entry.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Marks(u16);

impl Marks {
    /// `judgement` is that of the reading, where the entry is one; `is_again` tells an answer of a later round,
    /// after a rectification or a changed plan.
    pub(super) fn of(stamped: &Stamped, judgement: Option<&Judgement>, is_again: bool) -> Marks {
        let mut marks = Mark::Any.bit();
        let mut set = |mark: Mark, holds: bool| marks |= if holds { mark.bit() } else { 0 };
        match stamped.event.inner() {
            Event::Answered(answered) => {
                set(Mark::Failure, answered.result == StepResult::Failed);
                set(Mark::Correction, answered.corrects.is_some() || is_again);
            }
            Event::ReadingTaken(taken) => {
                set(Mark::Reading, true);
                set(Mark::Correction, taken.corrects.is_some());
                let is_outside = judgement.is_some_and(|judged| judged.verdict == ReadingVerdict::Outside);
                set(Mark::Failure, is_outside);
            }
            Event::Withdrawn { .. } => set(Mark::Correction, true),
            Event::ConfigurationConfirmed { .. } => set(Mark::Configuration, true),
            Event::Paused { .. } | Event::Resumed { .. } => set(Mark::Pause, true),
            Event::PlanRevised(_) => set(Mark::Revision, true),
            Event::DefectRaised(_) | Event::DefectDisposed(_) | Event::DefectRectified(_) => {
                set(Mark::Defect, true);
            }
            Event::DefectReinspected { satisfactory, .. } => {
                set(Mark::Defect, true);
                set(Mark::Failure, !satisfactory);
            }
            Event::IndependentlyInspected(inspected) => set(Mark::Failure, !inspected.satisfactory),
            Event::SignedOff(_) | Event::Countersigned(_) => set(Mark::SignOff, true),
            _ => {}
        }
        Marks(marks)
    }

    pub(super) fn has(self, mark: Mark) -> bool {
        self.0 & mark.bit() != 0
    }
}
