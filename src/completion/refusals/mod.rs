//! The fourteen reasons that keep a session from being signed, one file each.
//!
//! To add one: a file with `NAME`, `DOC` and `find`, a row in [`ALL`], a test that provokes and clears it.

pub mod airworthiness_defect;
pub mod authorisation;
pub mod configuration;
pub mod disposition;
pub mod evidence;
pub mod independent_inspection;
pub mod instrument;
pub mod integrity;
pub mod measurement;
pub mod open_step;
pub mod outside_limit;
pub mod overdue;
pub mod report;
pub mod sequence;

use super::{Context, Refusal, Subject};
use crate::plan::PlanStep;
use crate::state::StepState;

/// One check.
pub struct Check {
    pub number: u8,
    pub name: &'static str,
    /// Why the rule exists, for `spanwise explain` and the docs.
    pub doc: &'static str,
    pub find: fn(&Context<'_>, &mut Vec<Refusal>),
}

macro_rules! check {
    ($number:literal, $module:ident) => {
        Check { number: $number, name: $module::NAME, doc: $module::DOC, find: $module::find }
    };
}

pub const ALL: [Check; 14] = [
    check!(1, open_step),
    check!(2, measurement),
    check!(3, outside_limit),
    check!(4, disposition),
    check!(5, configuration),
    check!(6, sequence),
    check!(7, instrument),
    check!(8, independent_inspection),
    check!(9, evidence),
    check!(10, report),
    check!(11, overdue),
    check!(12, integrity),
    check!(13, authorisation),
    check!(14, airworthiness_defect),
];

/// Every planned step with its state, in plan order.
fn steps<'a>(context: &Context<'a>) -> impl Iterator<Item = (&'a PlanStep, &'a StepState)> {
    let state = context.state;
    context.plan.steps.iter().filter_map(move |step| state.step(&step.step.id).map(|found| (step, found)))
}

/// Steps that were worked: passed or failed, so that their measurements, configuration and order matter.
fn worked_steps<'a>(context: &Context<'a>) -> impl Iterator<Item = (&'a PlanStep, &'a StepState)> {
    use crate::state::StepStanding::{Failed, Passed};
    steps(context).filter(|(_, state)| matches!(state.standing(), Passed | Failed))
}

fn about_step(step: &PlanStep) -> Subject {
    Subject::Step(step.step.id.clone())
}
