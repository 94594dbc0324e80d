//! 1: an applicable mandatory step is open.

use super::{Context, Refusal, about_step, steps};
use crate::state::StepStanding;
use crate::words::of_checklist;

pub const NAME: &str = mark!("mandatory step open");
pub const DOC: &str = mark!(
    "Every mandatory step of the plan must be answered: passed, failed, or not applicable with \
a reason where the step allows it. The checklist must hold the scope and detail of the rule (14 CFR 43.15(c)(1)); \
a step left open is a place where nobody looked."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for (planned, state) in steps(context).filter(|(planned, _)| planned.step.mandatory) {
        let (why, clears) = match state.standing() {
            StepStanding::Open => (say!("it is open"), say!("answer the step")),
            StepStanding::Reinspect => (
                say!("its defect was rectified and it was not worked again"),
                say!("work the step again and answer it"),
            ),
            _ => continue,
        };
        found.push(Refusal {
            number: 1,
            name: NAME,
            subject: about_step(planned),
            why: say!("\"{}\": {why}", of_checklist(&planned.step.title), why = why),
            clears: clears.to_string(),
            release_only: false,
        });
    }
}
