//! Which steps tell of a defect: the one that found it, and those that looked at the same place.

use crate::checklist::MeasureKind;
use crate::plan::{Plan, PlanStep};
use crate::state::{Defect, State};

/// Why a step stands in the brief.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Relation {
    Found,
    /// Of the same targeted module, and something was read.
    SameModule,
    /// The checklist looks there next after the failure, and something was read.
    Followed,
    /// A tap map of the same section, or of any for a defect that no step found.
    TapMap,
}

impl Relation {
    pub(super) fn words(self) -> &'static str {
        match self {
            Relation::Found => mark!("found it"),
            Relation::SameModule => mark!("of the same targeted look"),
            Relation::Followed => mark!("looked at after the failure"),
            Relation::TapMap => mark!("tap map"),
        }
    }
}

/// The steps that found the defects, then the related ones in the plan's order.
pub(super) fn related_steps<'a>(
    plan: &'a Plan,
    state: &State,
    defects: &[&Defect],
) -> Vec<(&'a PlanStep, Relation)> {
    let mut found: Vec<(&PlanStep, Relation)> = Vec::new();
    for id in defects.iter().filter_map(|defect| defect.raised.step.as_deref()) {
        if let Some(planned) = plan.step(id).filter(|_| !found.iter().any(|(step, _)| step.step.id == id)) {
            found.push((planned, Relation::Found));
        }
    }
    let finders: Vec<&PlanStep> = found.iter().map(|(planned, _)| *planned).collect();
    let no_step_found_one = defects.iter().any(|defect| defect.raised.step.is_none());
    for planned in plan.steps.iter().filter(|planned| has_readings(state, planned)) {
        let is_found = finders.iter().any(|finder| finder.step.id == planned.step.id);
        if let Some(relation) = relation(plan, planned, &finders, no_step_found_one).filter(|_| !is_found) {
            found.push((planned, relation));
        }
    }
    found
}

fn relation(plan: &Plan, planned: &PlanStep, finders: &[&PlanStep], any_map: bool) -> Option<Relation> {
    let is_module =
        |id: &str| plan.editions.iter().any(|edition| edition.id == id && edition.kind == "module");
    let origin = planned.origin.checklist.as_str();
    if finders.iter().any(|finder| finder.origin.checklist == origin) && is_module(origin) {
        return Some(Relation::SameModule);
    }
    let follows = |finder: &&PlanStep| {
        let failure = finder.step.on_failure.as_ref();
        failure.is_some_and(|failure| failure.follow.iter().any(|follow| follow.value == planned.step.id))
    };
    if finders.iter().any(follows) {
        return Some(Relation::Followed);
    }
    let is_near =
        any_map || finders.iter().any(|finder| finder.step.section.value == planned.step.section.value);
    (is_near && has_tap_map(planned)).then_some(Relation::TapMap)
}

fn has_tap_map(planned: &PlanStep) -> bool {
    let mut measures = planned.step.measures.iter();
    measures.any(|measure| matches!(&measure.kind, MeasureKind::Table { compute } if compute == "tap"))
}

fn has_readings(state: &State, planned: &PlanStep) -> bool {
    let step = state.step(&planned.step.id);
    step.is_some_and(|step| step.readings.iter().any(|reading| reading.struck.is_none()))
}
