//! 5: the configuration that a step needs was not confirmed when it was answered.

use super::{Context, Refusal, about_step, worked_steps};
use crate::words::of_checklist;

pub const NAME: &str = mark!("configuration not confirmed");
pub const DOC: &str = mark!(
    "Some damage shows only in one configuration: a fin on a bare fuselage in its dolly rolls \
instead of flexing. A step answered while its configuration was not confirmed proves nothing."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for (planned, state) in worked_steps(context) {
        if let Some(answer) = state.answer().filter(|answer| !answer.unmet.is_empty()) {
            found.push(Refusal {
                number: 5,
                name: NAME,
                subject: about_step(planned),
                why: say!("\"{}\" was answered without: {}", of_checklist(&planned.step.title), answer.unmet),
                clears: say!(
                    "bring the airframe into that configuration, confirm it, look again, and correct the answer"
                )
                    .to_string(),
                release_only: false,
            });
        }
    }
}
