//! Failed first, then passed, and no defect says what was done about it.

use super::{About, Context, Seen};
use crate::event::StepResult;

pub const NAME: &str = "failed-then-passed";
pub const TITLE: &str = mark!("Failed, then passed without a defect");
pub const DOC: &str = mark!(
    "Tells each step of which a failure was corrected or taken back and which stands as passed, \
while no defect stands against it. Worth a look because what failed has left no trace but the struck answer. A step \
rectified and worked again is another matter: its defect stands in the record. From: the step's answers, struck ones \
included, and the defects."
);
pub const MAY_BE: &[&str] = &[
    mark!("the wrong key was pressed"),
    mark!("what was missing turned up"),
    mark!("a second look with better light showed that it was sound"),
];

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let state = context.session.state;
    let mut found = Vec::new();
    for (id, step) in &state.steps {
        let Some(now) = step.answer().filter(|answer| answer.answered.result == StepResult::Passed) else {
            continue;
        };
        if state.defects_of(id).next().is_some() {
            continue;
        }
        let failed = step
            .answers
            .iter()
            .filter(|answer| answer.answered.result == StepResult::Failed && answer.round == now.round)
            .filter(|answer| answer.stamp.entry < now.stamp.entry);
        for answer in failed {
            let Some(struck) = &answer.struck else { continue };
            let entries = vec![answer.stamp.entry, struck.by_entry, now.stamp.entry];
            let words = say!(
                "{id} failed at entry {} and stands as passed since entry {}; the reason given: {}",
                answer.stamp.entry,
                now.stamp.entry,
                struck.why,
                id
            );
            found.push(Seen::new(About::step(id), entries, words));
        }
    }
    found
}
