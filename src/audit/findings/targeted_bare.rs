//! A targeted step passed with nothing written, measured or shown.

use super::{About, Context, Seen};
use crate::state::StepStanding;
use crate::words::of_checklist;

pub const NAME: &str = "targeted-bare";
pub const TITLE: &str = mark!("Targeted step passed without a word");
pub const DOC: &str = mark!(
    "Tells each step that a report or an occurrence selected and that stands as passed without a \
note, a reading or evidence of its own. Worth a look because somebody reported something there, and the record says \
only that it was good. From: the reports for which the plan holds the step, and what the record has beside its answer."
);
pub const MAY_BE: &[&str] = &[
    mark!("looked at with care and nothing to say"),
    mark!("what was seen is noted at a neighbouring step or a defect"),
];

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let state = context.session.state;
    let mut found = Vec::new();
    for (planned, step) in context.session.steps().filter(|(planned, _)| !planned.because.is_empty()) {
        let id = &planned.step.id;
        let Some(answer) = step.answer().filter(|_| step.standing() == StepStanding::Passed) else {
            continue;
        };
        let read = step.readings.iter().any(|reading| reading.struck.is_none());
        let shown = state
            .evidence
            .iter()
            .any(|told| told.struck.is_none() && told.what.step.as_deref() == Some(id.as_str()));
        if read || shown || !step.notes.is_empty() || state.defects_of(id).next().is_some() {
            continue;
        }
        let words = say!(
            "{id} \"{}\" is here because of {} and was passed without note, reading or evidence",
            of_checklist(&planned.step.title),
            planned.because.join(", "),
            id
        );
        found.push(Seen::new(About::step(id), vec![answer.stamp.entry], words));
    }
    found
}
