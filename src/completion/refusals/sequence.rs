//! 6: a step was answered before one that it depends on.

use super::{Context, Refusal, about_step, worked_steps};

pub const NAME: &str = "answered before its turn";
pub const DOC: &str = "Where a step depends on another (first clean, then look; first the run with the tailplane \
on, then the decisive one), the order is part of the method.";

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for (planned, state) in worked_steps(context) {
        if let Some(answer) = state.answer().filter(|answer| !answer.before_its_turn.is_empty()) {
            found.push(Refusal {
                number: 6,
                name: NAME,
                subject: about_step(planned),
                why: format!(
                    "\"{}\" was answered before: {}",
                    planned.step.title,
                    answer.before_its_turn.join(", ")
                ),
                clears: "answer those steps, look again, and correct this answer".to_string(),
                release_only: false,
            });
        }
    }
}
