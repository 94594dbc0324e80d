//! What the findings look at: the session, and the annual before it.

use crate::event::EntryNumber;
use crate::plan::{Plan, PlanStep, Plans};
use crate::state::{Stamped, State, StepState};

/// One session, read and folded.
#[derive(Debug, Clone)]
pub struct Record<'a> {
    /// Every plan with the entry from which it held, oldest first; never empty.
    plans: Vec<(EntryNumber, &'a Plan)>,
    pub entries: &'a [Stamped],
    pub state: &'a State,
}

impl<'a> Record<'a> {
    pub fn new(plans: &'a Plans, entries: &'a [Stamped], state: &'a State) -> Record<'a> {
        let later = state
            .revisions
            .iter()
            .filter_map(|told| plans.of(&told.what.plan).map(|plan| (told.stamp.entry, plan)));
        let plans = std::iter::once((0, plans.first())).chain(later).collect();
        Record { plans, entries, state }
    }

    /// A session of which only the plan that holds now is at hand.
    pub fn of_plan(plan: &'a Plan, entries: &'a [Stamped], state: &'a State) -> Record<'a> {
        Record { plans: vec![(0, plan)], entries, state }
    }

    /// The plan that holds now.
    pub fn plan(&self) -> Option<&'a Plan> {
        self.plans.last().map(|(_, plan)| *plan)
    }

    /// A step as the plan gave it at that entry; as another plan gives it where that one does not have it.
    pub(super) fn step_at(&self, entry: EntryNumber, id: &str) -> Option<&'a PlanStep> {
        let held = self.plans.iter().rev().filter(|(from, _)| *from <= entry);
        let others = self.plans.iter().rev();
        held.chain(others).find_map(|(_, plan)| plan.step(id))
    }

    /// Every step of the plan that holds now, with its state.
    pub(super) fn steps(&self) -> impl Iterator<Item = (&'a PlanStep, &'a StepState)> + use<'a> {
        let state = self.state;
        let steps = self.plan().map_or(&[][..], |plan| &plan.steps[..]);
        steps.iter().filter_map(move |planned| state.step(&planned.step.id).map(|step| (planned, step)))
    }
}

/// What is looked at.
#[derive(Debug, Clone)]
pub struct Context<'a> {
    pub session: Record<'a>,
    /// The last signed annual of the same airframe before this one, where the hangar has one.
    pub earlier: Option<Record<'a>>,
}
