//! Everything that happened to one step, in order.

use std::collections::BTreeSet;

use super::elapsed::Elapsed;
use super::find::instruments;
use super::summary::Summary;
use super::timeline::Timeline;
use crate::checklist::{Configuration, configuration_words};
use crate::event::{Actor, EntryNumber, Event, InstrumentUse, RevisionCause};
use crate::state::{Answer, Judgement, Reading, Stamp, Stamped, State, StepState, Struck};
use crate::words::{date, said};

/// The story of one step.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Story {
    pub step: String,
    /// As the last plan that has the step calls it.
    pub title: String,
    pub summary: Summary,
    pub happenings: Vec<Happening>,
}

/// What a change of the plan did to the step.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PlanChange {
    Added,
    /// Answers given before it hold no longer.
    Changed,
    Gone,
}

impl PlanChange {
    pub fn word(self) -> &'static str {
        match self {
            PlanChange::Added => mark!("the step is new in the plan"),
            PlanChange::Changed => mark!("the step was changed: what was answered before holds no longer"),
            PlanChange::Gone => mark!("the step is gone from the plan"),
        }
    }
}

/// One entry that concerns the step, with what held at that moment.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Happening {
    pub entry: usize,
    /// When it was done: of something carried over, in the earlier session.
    pub wall: String,
    pub by: Option<Actor>,
    /// Its number in the session from which it was carried over.
    pub carried_from: Option<EntryNumber>,
    /// Since the entry before in the record.
    pub elapsed: Option<Elapsed>,
    /// In force then.
    pub configuration: Configuration,
    /// Of a reading.
    pub instruments: Vec<InstrumentUse>,
    pub judgement: Option<Judgement>,
    /// Of an answer: what the step needs and was not confirmed, and what it was answered before.
    pub unmet: Configuration,
    pub before_its_turn: Vec<String>,
    pub plan_change: Option<(PlanChange, RevisionCause)>,
    /// What struck it later.
    pub struck: Option<Struck>,
}

impl Happening {
    /// What held at that moment, one statement a line: verdict, instruments, configuration, what was wrong.
    pub fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        if let Some(judged) = &self.judgement {
            notes.push(format!("{}: {}", judged.headline(), judged.words));
        }
        notes.extend(self.instruments.iter().map(|used| instrument_words(used, &self.wall)));
        if !self.configuration.is_empty() {
            notes.push(say!("configuration then: {}", configuration_words(&self.configuration)));
        }
        if !self.unmet.is_empty() {
            notes.push(say!(
                "not confirmed then, though the step needs it: {}",
                configuration_words(&self.unmet)
            ));
        }
        if !self.before_its_turn.is_empty() {
            notes.push(say!("answered before: {}", self.before_its_turn.join(", ")));
        }
        if let Some((change, cause)) = &self.plan_change {
            notes.push(format!("{} ({})", said(change.word()), said(cause.word())));
        }
        if let Some(struck) = &self.struck {
            notes.push(say!("later struck by entry {}, {}: {}", struck.by_entry, struck.who, struck.why));
        }
        notes
    }
}

/// The instrument as the record kept it, and whether its calibration held on that day.
pub(super) fn instrument_words(used: &InstrumentUse, wall: &str) -> String {
    let Some(due) = used.calibration_due else {
        return say!("{}, {}: no calibration date on record", used.id, used.title);
    };
    // The day stands first in RFC 3339 and sorts as text.
    let late = if wall.get(..10).is_some_and(|day| day > due.to_string().as_str()) {
        say!(", OUT OF CALIBRATION on the day")
    } else {
        ""
    };
    say!("{}, {}: calibration due {due}{late}", used.id, used.title, due = date(due), late)
}

impl Timeline {
    /// Everything that happened to this step: answers, readings, evidence, notes, inspections, what was taken back,
    /// its defects and what became of them, changes of the plan that touched it. `None` where no plan of this
    /// record has the step.
    pub fn of_step(&self, id: &str) -> Option<Story> {
        let title = self.title_of(id)?;
        let state = self.last();
        let defects: BTreeSet<&str> = state
            .defects
            .iter()
            .filter(|defect| defect.raised.step.as_deref() == Some(id))
            .map(|defect| defect.id.as_str())
            .collect();
        let mut told: BTreeSet<EntryNumber> = BTreeSet::new();
        let mut happenings = Vec::new();
        for (at, stamped) in self.entries().iter().enumerate() {
            let event = stamped.event.inner();
            let is_its_own = event.step() == Some(id)
                || defect_of(event).is_some_and(|defect| defects.contains(defect))
                || matches!(event, Event::Withdrawn { entry, .. } if told.contains(entry));
            let plan_change = plan_change(event, id);
            if is_its_own || plan_change.is_some() {
                told.insert(stamped.entry);
                happenings.push(Happening { plan_change, ..self.happening(at, stamped, state) });
            }
        }
        let summary = Summary::of(self, id, &happenings);
        Some(Story { step: id.to_string(), title, summary, happenings })
    }

    /// Ids of every step that any plan of this record has.
    pub fn steps(&self) -> Vec<&str> {
        self.plans().flat_map(|plan| &plan.steps).map(|step| step.step.id.as_str()).collect()
    }

    fn title_of(&self, id: &str) -> Option<String> {
        let found = self.plans().filter_map(|plan| plan.step(id)).last()?;
        Some(found.step.title.clone())
    }

    /// What held when this entry was made.
    pub fn told(&self, at: usize) -> Option<Happening> {
        let stamped = self.entries().get(at)?;
        Some(self.happening(at, stamped, self.last()))
    }

    fn happening(&self, at: usize, stamped: &Stamped, state: &State) -> Happening {
        let (wall, carried_from) = match &stamped.event {
            Event::Carried(carried) => (&carried.wall, Some(carried.from)),
            _ => (&stamped.wall, None),
        };
        let step = stamped.event.step().and_then(|id| state.step(id));
        let answer = step.and_then(|step| answer_at(step, stamped.entry));
        Happening {
            entry: at,
            wall: wall.clone(),
            by: stamped.event.actor().cloned(),
            carried_from,
            elapsed: self.elapsed(at),
            configuration: self.configuration_at(at),
            instruments: instruments(&stamped.event).cloned().collect(),
            judgement: self.judgement(at).cloned(),
            unmet: answer.map(|answer| answer.unmet.clone()).unwrap_or_default(),
            before_its_turn: answer.map(|answer| answer.before_its_turn.clone()).unwrap_or_default(),
            plan_change: None,
            struck: struck_of(step, state, stamped.entry),
        }
    }
}

fn is_at(stamp: &Stamp, entry: EntryNumber) -> bool {
    stamp.entry == entry
}

fn answer_at(step: &StepState, entry: EntryNumber) -> Option<&Answer> {
    step.answers.iter().find(|answer| is_at(&answer.stamp, entry))
}

fn reading_at(step: &StepState, entry: EntryNumber) -> Option<&Reading> {
    step.readings.iter().find(|reading| is_at(&reading.stamp, entry))
}

fn struck_of(step: Option<&StepState>, state: &State, entry: EntryNumber) -> Option<Struck> {
    let of_step = step.and_then(|step| {
        let answer = answer_at(step, entry).and_then(|answer| answer.struck.as_ref());
        answer.or_else(|| reading_at(step, entry).and_then(|reading| reading.struck.as_ref()))
    });
    let defect = || state.defects.iter().find(|defect| is_at(&defect.stamp, entry));
    let evidence = || state.evidence.iter().find(|told| is_at(&told.stamp, entry));
    of_step
        .or_else(|| defect().and_then(|defect| defect.struck.as_ref()))
        .or_else(|| evidence().and_then(|told| told.struck.as_ref()))
        .cloned()
}

fn defect_of(event: &Event) -> Option<&str> {
    match event {
        Event::DefectRaised(raised) => Some(&raised.defect),
        Event::DefectDisposed(disposed) => Some(&disposed.defect),
        Event::DefectRectified(rectified) => Some(&rectified.defect),
        Event::DefectReinspected { defect, .. } => Some(defect),
        Event::EvidenceAdded(added) => added.defect.as_deref(),
        _ => None,
    }
}

fn plan_change(event: &Event, id: &str) -> Option<(PlanChange, RevisionCause)> {
    let Event::PlanRevised(revised) = event else { return None };
    let has = |ids: &[String]| ids.iter().any(|found| found == id);
    let change = if has(&revised.added) {
        PlanChange::Added
    } else if has(&revised.changed) {
        PlanChange::Changed
    } else if has(&revised.gone) {
        PlanChange::Gone
    } else {
        return None;
    };
    Some((change, revised.cause))
}
