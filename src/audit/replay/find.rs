//! Searching a record in the words that a person sees.

use super::Timeline;
use crate::event::{Event, InstrumentUse};

impl Timeline {
    /// Entries that contain the text, capitals or not: in their words, in the id or title of their step, in who
    /// made them, or in the instrument used. `words` gives an event's plain words.
    pub fn find(&self, text: &str, words: &dyn Fn(&Event) -> String) -> Vec<usize> {
        let wanted = text.trim().to_lowercase();
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

    fn contains(&self, at: usize, wanted: &str, words: &dyn Fn(&Event) -> String) -> bool {
        let Some(stamped) = self.entries().get(at) else { return false };
        let has = |text: &str| text.to_lowercase().contains(wanted);
        let event = &stamped.event;
        if has(&words(event)) || event.actor().is_some_and(|by| has(&by.name) || has(&by.id)) {
            return true;
        }
        let title =
            event.step().and_then(|id| self.plan_at(at).step(id)).is_some_and(|step| has(&step.step.title));
        title || instruments(event).any(|used| has(&used.id) || has(&used.title))
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
