//! Not applicable where it was worked at the annual before.

use super::{About, Context, Seen};
use crate::state::StepStanding;
use crate::words::{of_checklist, said};

pub const NAME: &str = "not-applicable-now";
pub const TITLE: &str = mark!("Not applicable, and worked at the annual before");
pub const DOC: &str = mark!(
    "Tells each step that stands as not applicable and that was passed or failed at the last signed \
annual of the same airframe. Worth a look because a step may have been left out. From: both sessions' answers, by the \
step's id, and the reason given. Without an earlier signed annual in the hangar nothing is told."
);
pub const MAY_BE: &[&str] = &[
    mark!("the equipment was taken out since"),
    mark!("a modification made the step void"),
    mark!("it did not apply at the annual before, either, and was passed then"),
];

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let Some(earlier) = &context.earlier else { return Vec::new() };
    let mut found = Vec::new();
    for (planned, step) in context.session.steps() {
        let id = &planned.step.id;
        let before = earlier.state.standing(id);
        let worked = matches!(before, StepStanding::Passed | StepStanding::Failed);
        let Some(answer) = step.answer() else { continue };
        if !worked || step.standing() != StepStanding::NotApplicable {
            continue;
        }
        let reason = answer.answered.reason.as_deref().unwrap_or(say!("none was given"));
        let words = say!(
            "{id} \"{}\" is not applicable now (reason: {reason}); it was {} at the annual before",
            of_checklist(&planned.step.title),
            said(before.word()),
            id,
            reason
        );
        found.push(Seen::new(About::step(id), vec![answer.stamp.entry], words));
    }
    found
}
