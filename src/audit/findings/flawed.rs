//! Answers that say that work was done while something was not as it should be: what two kinds tell alike.

use super::{About, Context, Seen};
use crate::event::StepResult;
use crate::state::Answer;
use crate::words::said;

/// Every step passed or failed of which `flaw` has something to tell, answers corrected or taken back included.
pub fn flawed_answers(context: &Context<'_>, flaw: impl Fn(&Answer) -> Option<String>) -> Vec<Seen> {
    let mut found = Vec::new();
    for (id, step) in &context.session.state.steps {
        let worked = step.answers.iter().filter(|answer| answer.answered.result != StepResult::NotApplicable);
        for answer in worked {
            let Some(flaw) = flaw(answer) else { continue };
            let mut entries = vec![answer.stamp.entry];
            let mut words = say!("{id} was {} {flaw}", said(answer.answered.result.word()), id, flaw);
            if let Some(struck) = &answer.struck {
                entries.push(struck.by_entry);
                words.push_str(&say!(
                    "; entry {} corrected or took it back: {}",
                    struck.by_entry,
                    struck.why
                ));
            }
            found.push(Seen::new(About::step(id), entries, words));
        }
    }
    found
}
