//! 3: a value is outside its limit and no defect stands against it.

use super::{Context, Refusal, about_step, steps};
use crate::measure::compare;
use crate::plan::PlanStep;
use crate::state::{Judgement, ReadingVerdict, StepState};
use crate::words::of_checklist;

pub const NAME: &str = mark!("value outside its limit");
pub const DOC: &str = mark!(
    "A value outside its limit needs a defect that says what becomes of it, even where the step \
itself was passed. A value that the measurement cannot decide, or a structure softer than sound airframes, needs a \
defect or a written note on the step that says how it was decided: the certifier decides, not the program."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for (planned, state) in steps(context) {
        if context.state.defects_of(&planned.step.id).next().is_some() {
            continue;
        }
        for measure in &planned.step.measures {
            let noted = is_noted(state, &measure.id);
            for judgement in state.judgements(measure) {
                if let Some(clears) = objection(&judgement, noted) {
                    found.push(refusal(planned, &measure.title, &judgement, clears));
                }
            }
        }
    }
}

/// A note on the step after its last reading.
fn is_noted(state: &StepState, measure: &str) -> bool {
    let last_reading = state.readings_of(measure).map(|reading| reading.stamp.entry).max();
    state.notes.iter().any(|note| Some(note.stamp.entry) > last_reading)
}

fn objection(judgement: &Judgement, noted: bool) -> Option<&'static str> {
    let softer = judgement.comparison == Some(compare::Verdict::Softer);
    match judgement.verdict {
        ReadingVerdict::Outside => {
            Some(say!("raise a defect against the step, or correct the reading with a reason"))
        }
        ReadingVerdict::CannotDecide if !noted => Some(say!(
            "measure better and correct the reading, raise a defect, or write a note on the step how it was decided"
        )),
        _ if softer && !noted => {
            Some(say!("raise a defect, or write a note on the step why the structure is sound all the same"))
        }
        _ => None,
    }
}

fn refusal(planned: &PlanStep, title: &str, judgement: &Judgement, clears: &str) -> Refusal {
    Refusal {
        number: 3,
        name: NAME,
        subject: about_step(planned),
        why: say!("\"{}\", {}: {}", of_checklist(title), judgement.headline(), judgement.words),
        clears: clears.to_string(),
        release_only: false,
    }
}
