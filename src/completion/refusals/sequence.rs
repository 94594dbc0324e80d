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
                    some_of(&answer.before_its_turn)
                ),
                clears: "answer those steps, look again, and correct this answer".to_string(),
                release_only: false,
            });
        }
    }
}

/// A step that comes last may have been answered before a hundred others.
fn some_of(ids: &[String]) -> String {
    const SHOWN: usize = 12;
    match ids.get(SHOWN..).map(<[String]>::len) {
        Some(others) if others > 0 => format!("{} and {others} more", ids[..SHOWN].join(", ")),
        _ => ids.join(", "),
    }
}
