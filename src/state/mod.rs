//! What follows from the events: a pure fold over the journal.
//!
//! [`State::apply`] is the only way in. A live session, a reopened one and an auditor's replay all run it.

mod apply;
mod before;
mod compare_series;
mod confirmed;
mod defect;
mod deferral;
mod grounding;
mod held;
mod judge;
mod judge_number;
mod judge_series;
mod judge_table;
mod own_past;
mod step;
mod turn;

use std::collections::BTreeMap;

use chrono::{DateTime, FixedOffset, NaiveDate};

use crate::checklist::Configuration;
use crate::event::{
    Actor, Countersigned, DirectiveAnswered, EntryNumber, Event, EvidenceAdded, LifeItemAnswered, OnPaper,
    Opened, PlanRevised, SignedOff,
};
use crate::plan::Plan;

pub use apply::{ApplyFault, replay};
pub use before::readings_before;
pub use compare_series::{Card, compare_series};
pub use defect::{Defect, Standing};
pub use deferral::{Objection, deferral_latest, deferral_objection};
pub use grounding::grounding;
pub use held::{HeldReading, fallen_readings, held_readings};
pub use judge::{Judgement, ReadingVerdict, judge, judge_in_plan};
pub use judge_number::{judge_repeats, standard_uncertainty};
pub use judge_series::{evaluate_series, series_settings, signed_readings};
pub use judge_table::compute_table;
pub use own_past::{Now, broken_year, own_past};
pub use step::{Answer, Initials, Inspection, Note, Reading, StepState, Struck};

/// An event with its place in the journal.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamped {
    pub entry: EntryNumber,
    /// Wall clock with offset, RFC 3339, as recorded.
    pub wall: String,
    pub mono_ms: u64,
    /// Hash of the entry, lower-case hex.
    pub hash: String,
    pub event: Event,
}

/// A wall clock as recorded. `None` where it cannot be read.
pub fn instant(wall: &str) -> Option<DateTime<FixedOffset>> {
    DateTime::parse_from_rfc3339(wall).ok()
}

/// Who and when, for showing beside what was done.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Stamp {
    pub entry: EntryNumber,
    pub wall: String,
    pub by: Actor,
    /// Its number in the earlier session from which it was carried over.
    pub carried_from: Option<EntryNumber>,
    /// Where it stood on paper before it was entered; `by` typed it in then.
    pub paper: Option<OnPaper>,
}

impl Stamp {
    /// The calendar day on which it was done: as written, where it stood on paper first, else on the inspector's clock.
    pub fn day(&self) -> Option<NaiveDate> {
        if let Some(paper) = &self.paper {
            return Some(paper.written_on);
        }
        instant(&self.wall).map(|wall| wall.date_naive())
    }

    /// Whose hands and eyes it was: who wrote it on paper, else who recorded it.
    pub fn hand(&self) -> &Actor {
        self.paper.as_ref().map_or(&self.by, |paper| &paper.written_by)
    }

    /// Who recorded it and when; of what came from paper both days and both people:
    /// "from paper, written 2026-11-24 by Edwin Hask, sheet K7Q2-M3XD-07 line 17; entered 2026-11-25 09:14 by Tamsin Orrel".
    pub fn paper_words(&self) -> Option<String> {
        let paper = self.paper.as_ref()?;
        Some(format!("{}; entered {} by {}", paper.words(), self.short(), self.by.name))
    }

    /// `2026-11-25 09:14`, when it was entered, or the recorded text where it cannot be read.
    pub fn short(&self) -> String {
        instant(&self.wall)
            .map_or_else(|| self.wall.clone(), |wall| wall.format("%Y-%m-%d %H:%M").to_string())
    }
}

/// Something said once, with who and when.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Told<T> {
    pub stamp: Stamp,
    pub what: T,
    pub struck: Option<Struck>,
}

/// Everything that follows from the events so far.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct State {
    pub opened: Option<Told<Opened>>,
    pub steps: BTreeMap<String, StepState>,
    /// The configuration as last confirmed, aspect by aspect.
    pub configuration: Configuration,
    pub confirmations: Vec<Told<Configuration>>,
    pub defects: Vec<Defect>,
    pub set_aside: BTreeMap<String, Told<String>>,
    pub directives: BTreeMap<String, Told<DirectiveAnswered>>,
    pub life_items: BTreeMap<String, Told<LifeItemAnswered>>,
    pub evidence: Vec<Told<EvidenceAdded>>,
    /// Notes that belong to no step.
    pub notes: Vec<Told<String>>,
    pub paused: Option<Told<Option<String>>>,
    /// Hash of the plan that holds now.
    pub plan: String,
    /// Every change of the plan since the beginning.
    pub revisions: Vec<Told<PlanRevised>>,
    pub signed: Option<Told<SignedOff>>,
    /// Hash of the sign-off's entry; empty before.
    pub signed_hash: String,
    pub countersigned: Vec<Told<Countersigned>>,
    /// Number of entries applied.
    pub entries: u64,
    /// Hash of the last entry applied.
    pub head: String,
    pub last_wall: String,
}

/// How a step stands, told by word and sign on every screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum StepStanding {
    Open,
    /// Failed before, rectified, and to be worked again.
    Reinspect,
    Passed,
    Failed,
    NotApplicable,
}

impl StepStanding {
    pub fn word(self) -> &'static str {
        match self {
            StepStanding::Open => "open",
            StepStanding::Reinspect => "re-inspect",
            StepStanding::Passed => "passed",
            StepStanding::Failed => "failed",
            StepStanding::NotApplicable => "not applicable",
        }
    }

    pub fn is_open(self) -> bool {
        matches!(self, StepStanding::Open | StepStanding::Reinspect)
    }
}

impl State {
    /// An empty state for this plan: every step open.
    pub fn new(plan: &Plan) -> State {
        let steps = plan.steps.iter().map(|step| (step.step.id.clone(), StepState::default())).collect();
        State { steps, ..State::default() }
    }

    pub fn step(&self, id: &str) -> Option<&StepState> {
        self.steps.get(id)
    }

    pub fn standing(&self, id: &str) -> StepStanding {
        self.steps.get(id).map_or(StepStanding::Open, StepState::standing)
    }

    pub fn defect(&self, id: &str) -> Option<&Defect> {
        self.defects.iter().find(|defect| defect.id == id)
    }

    /// Defects that no withdrawal has struck.
    pub fn standing_defects(&self) -> impl Iterator<Item = &Defect> {
        self.defects.iter().filter(|defect| defect.struck.is_none())
    }

    pub fn defects_of<'a>(&'a self, step: &'a str) -> impl Iterator<Item = &'a Defect> {
        self.standing_defects().filter(move |defect| defect.raised.step.as_deref() == Some(step))
    }

    /// True while something keeps the airframe on the ground.
    pub fn grounded(&self) -> bool {
        self.standing_defects().any(Defect::grounds)
    }

    /// The id that the next defect gets.
    pub fn next_defect_id(&self) -> String {
        format!("d{}", self.defects.len() + 1)
    }

    /// Evidence that stands, for a step and one of its demands, taken since the step is worked as it is now.
    pub fn evidence_for<'a>(
        &'a self,
        step: &'a str,
        demand: &'a str,
    ) -> impl Iterator<Item = &'a Told<EvidenceAdded>> {
        let since = self.steps.get(step).map_or(0, |state| state.round_began);
        self.evidence.iter().filter(move |told| {
            told.stamp.entry >= since
                && told.struck.is_none()
                && told.what.step.as_deref() == Some(step)
                && told.what.demand.as_deref() == Some(demand)
        })
    }

    /// Applicable mandatory steps that are open, in plan order.
    pub fn open_mandatory<'a>(&'a self, plan: &'a Plan) -> impl Iterator<Item = &'a str> {
        plan.steps
            .iter()
            .filter(|step| step.step.mandatory && self.standing(&step.step.id).is_open())
            .map(|step| step.step.id.as_str())
    }
}
