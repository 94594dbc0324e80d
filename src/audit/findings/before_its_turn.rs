//! Work recorded before a step that it depends on.

use super::{About, Context, Seen};
use crate::event::StepResult;

pub const NAME: &str = "before-its-turn";
pub const TITLE: &str = "Answered before its turn";
pub const DOC: &str = "Tells every step that was passed or failed while a step that it depends on was open, also where \
the answer was corrected or taken back later. Worth a look because the order is part of the method: first clean, then \
look. From: the step's dependencies in the plan and the answers before this one.";
pub const MAY_BE: &[&str] =
    &["worked in the right order and entered in another", "looked at once more when its turn had come"];

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let mut found = Vec::new();
    for (id, step) in &context.session.state.steps {
        for answer in &step.answers {
            let worked = answer.answered.result != StepResult::NotApplicable;
            if !worked || answer.before_its_turn.is_empty() {
                continue;
            }
            let mut entries = vec![answer.stamp.entry];
            let mut words = format!(
                "{id} was {} before: {}",
                answer.answered.result.word(),
                answer.before_its_turn.join(", ")
            );
            if let Some(struck) = &answer.struck {
                entries.push(struck.by_entry);
                words.push_str(&format!(
                    "; entry {} corrected or took it back: {}",
                    struck.by_entry, struck.why
                ));
            }
            found.push(Seen::new(About::step(id), entries, words));
        }
    }
    found
}
