//! Which steps have to be answered before one has its turn.

use super::State;
use crate::plan::{Plan, PlanStep};

impl State {
    /// Open steps that this one waits for: those that it names, then, where it comes last, every other mandatory step
    /// that does not. An optional step may stay open for good, so nothing waits for it unless it is named.
    pub fn open_before<'a>(&self, plan: &'a Plan, planned: &'a PlanStep) -> Vec<&'a str> {
        let named = planned.step.after.iter().map(|after| after.value.as_str());
        let is_named = |id: &str| planned.step.after.iter().any(|after| after.value == id);
        let others = plan
            .steps
            .iter()
            .map(|other| &other.step)
            .filter(|other| planned.step.last && other.mandatory && !other.last && !is_named(&other.id));
        named.chain(others.map(|other| other.id.as_str())).filter(|id| self.standing(id).is_open()).collect()
    }
}
