//! Work recorded while the configuration that the step needs was not confirmed.

use super::{About, Context, Seen};
use crate::event::StepResult;

pub const NAME: &str = "out-of-configuration";
pub const TITLE: &str = "Answered out of configuration";
pub const DOC: &str = "Tells every step that was passed or failed while a configuration that it needs was not \
confirmed at that moment, also where the answer was corrected or taken back later. Worth a look because some damage \
shows only in one configuration. From: the step's configuration in the plan and the confirmations before the answer.";
pub const MAY_BE: &[&str] = &[
    "the airframe stood as needed and only the confirmation was forgotten",
    "looked at once more after the configuration was confirmed",
];

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let mut found = Vec::new();
    for (id, step) in &context.session.state.steps {
        for answer in &step.answers {
            let worked = answer.answered.result != StepResult::NotApplicable;
            if !worked || answer.unmet.is_empty() {
                continue;
            }
            let mut entries = vec![answer.stamp.entry];
            let mut words = format!("{id} was {} without: {}", answer.answered.result.word(), answer.unmet);
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
