//! Stretches of one person's answers below the planned time: what the two kinds of haste tell alike.

use super::pace::{MINUTE_MS, acts, answers, duration, name_of, stretches, within};
use super::{About, Context, Seen};

/// One stretch in words.
pub struct Haste {
    /// How many answers.
    pub answers: String,
    pub who: String,
    pub time: String,
    pub planned: String,
    /// Number of steps.
    pub steps: usize,
}

/// Every stretch short of `speed` times the planned speed by more than `slack_ms`.
pub fn hasty(context: &Context<'_>, speed: i64, slack_ms: i64, words: impl Fn(Haste) -> String) -> Vec<Seen> {
    let mut found = Vec::new();
    for (person, acts) in acts(&context.session) {
        for stretch in stretches(&acts, speed, slack_ms) {
            let words = words(Haste {
                answers: answers(stretch.entries.len()),
                who: name_of(&context.session, &person).to_string(),
                time: within(stretch.available_ms),
                planned: duration(stretch.planned_minutes * MINUTE_MS),
                steps: stretch.steps.len(),
            });
            let about = stretch.steps.iter().map(|step| About::step(step)).collect();
            found.push(Seen { about, entries: stretch.entries, words });
        }
    }
    found
}
