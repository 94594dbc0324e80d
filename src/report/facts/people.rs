//! Who entered something, and the codes that they may have written on paper.

use super::{AnchorFacts, PersonFacts, short};
use crate::audit::verify::paper_code;
use crate::event::Event;
use crate::state::Stamped;

/// Everybody who entered something, in the order of their first entry.
pub(super) fn people(entries: &[Stamped]) -> Vec<PersonFacts> {
    let mut people: Vec<PersonFacts> = Vec::new();
    for actor in entries.iter().filter_map(|stamped| stamped.event.actor()) {
        if people.iter().any(|person| person.id == actor.id) {
            continue;
        }
        let plain: String = actor
            .name
            .split_whitespace()
            .filter_map(|word| word.chars().find(|c| c.is_alphanumeric()))
            .flat_map(char::to_uppercase)
            .take(4)
            .collect();
        let plain = if plain.is_empty() { "?".to_string() } else { plain };
        let same = people.iter().filter(|person| is_numbered(&person.initials, &plain)).count();
        let initials = if same == 0 { plain } else { format!("{plain}{}", same + 1) };
        people.push(PersonFacts { id: actor.id.clone(), name: actor.name.clone(), initials });
    }
    people
}

fn is_numbered(initials: &str, plain: &str) -> bool {
    initials.strip_prefix(plain).is_some_and(|rest| rest.chars().all(|c| c.is_ascii_digit()))
}

/// The codes to be found on the paper worksheet: pauses, sign-off, countersignatures, and the last entry.
pub(super) fn anchors(entries: &[Stamped]) -> Vec<AnchorFacts> {
    let last = entries.last().map(|stamped| stamped.entry);
    entries
        .iter()
        .filter_map(|stamped| {
            let what = match &stamped.event {
                Event::Paused { .. } => mark!("pause"),
                Event::SignedOff(_) => mark!("sign-off"),
                Event::Countersigned(_) => mark!("countersignature"),
                _ if Some(stamped.entry) == last => mark!("last entry"),
                _ => return None,
            };
            Some(AnchorFacts {
                entry: stamped.entry,
                when: short(&stamped.wall),
                by: stamped.event.actor().map_or_else(String::new, |actor| actor.name.clone()),
                what,
                code: paper_code(&stamped.hash)?,
            })
        })
        .collect()
}
