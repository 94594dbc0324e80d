//! Searching a record in the words that a person sees.

use std::collections::BTreeSet;

use super::Timeline;
use crate::event::{Event, InstrumentUse};

impl Timeline {
    /// Entries that contain every word of the text, in any order, capitals or not: in their words, in the id or title of their step, in who
    /// made them, or in the instrument used. `words` gives an event's plain words.
    pub fn find(&self, text: &str, words: &dyn Fn(&Event) -> String) -> Vec<usize> {
        let lower = text.to_lowercase();
        let wanted: Vec<&str> = lower.split_whitespace().collect();
        if wanted.is_empty() {
            return Vec::new();
        }
        (0..self.entries().len()).filter(|at| self.contains(*at, &wanted, words)).collect()
    }

    /// Entries by this person: by id, or a part of the name.
    pub fn by_person(&self, person: &str) -> Vec<usize> {
        let wanted = person.trim().to_lowercase();
        let is_by = |at: &usize| {
            let actor = self.entries().get(*at).and_then(|stamped| stamped.event.actor());
            actor.is_some_and(|by| by.id.to_lowercase() == wanted || by.name.to_lowercase().contains(&wanted))
        };
        (0..self.entries().len()).filter(is_by).collect()
    }

    /// Names of everybody who recorded something, with their ids; each once.
    pub fn people(&self) -> Vec<String> {
        let actors = self.entries().iter().filter_map(|stamped| stamped.event.actor());
        let people: BTreeSet<String> = actors.map(|by| format!("{} ({})", by.name, by.id)).collect();
        people.into_iter().collect()
    }

    fn contains(&self, at: usize, wanted: &[&str], words: &dyn Fn(&Event) -> String) -> bool {
        let Some(stamped) = self.entries().get(at) else { return false };
        let event = &stamped.event;
        let mut seen = words(event);
        let mut add = |text: &str| {
            seen.push('\n');
            seen.push_str(text);
        };
        if let Some(by) = event.actor() {
            add(&by.name);
            add(&by.id);
        }
        if let Some(id) = event.step() {
            add(id);
            add(self.plan_at(at).step(id).map_or("", |step| &step.step.title));
        }
        for used in instruments(event) {
            add(&used.id);
            add(&used.title);
        }
        let seen = seen.to_lowercase();
        wanted.iter().all(|word| seen.contains(word))
    }
}

/// What a reading was taken with; nothing for other events.
pub(super) fn instruments(event: &Event) -> impl Iterator<Item = &InstrumentUse> {
    let used = match event.inner() {
        Event::ReadingTaken(taken) => [taken.instrument.as_ref(), taken.load_instrument.as_ref()],
        _ => [None, None],
    };
    used.into_iter().flatten()
}
