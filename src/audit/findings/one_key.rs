//! Signatures of different people made with one key.

use std::collections::{BTreeMap, BTreeSet};

use super::{About, Context, Seen};
use crate::event::{Actor, EntryNumber, Event, Seal};

pub const NAME: &str = "one-key";
pub const TITLE: &str = mark!("Different people, one key");
pub const DOC: &str = mark!(
    "Tells where the seals of two people of different ids (sign-off, independent inspection, \
countersignature) were made with the same key. Worth a look because the second pair of eyes is to be another \
person's. Entries without a seal are left out. From: the public keys that stand in the seals."
);
pub const MAY_BE: &[&str] = &[
    mark!("one person is registered under two ids"),
    mark!("a shared machine signed with the key of the person who was logged in"),
];

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let mut by_key: BTreeMap<&str, Vec<(EntryNumber, &Actor)>> = BTreeMap::new();
    for stamped in context.session.entries {
        if let Some((by, seal)) = sealed(stamped.event.inner()) {
            by_key.entry(&seal.key).or_default().push((stamped.entry, by));
        }
    }
    by_key.into_values().filter_map(|uses| seen(&uses)).collect()
}

fn sealed(event: &Event) -> Option<(&Actor, &Seal)> {
    match event {
        Event::SignedOff(signed) => signed.seal.as_ref().map(|seal| (&signed.by, seal)),
        Event::IndependentlyInspected(inspected) => inspected.seal.as_ref().map(|seal| (&inspected.by, seal)),
        Event::Countersigned(added) => added.seal.as_ref().map(|seal| (&added.by, seal)),
        _ => None,
    }
}

fn seen(uses: &[(EntryNumber, &Actor)]) -> Option<Seen> {
    let people: BTreeSet<&str> = uses.iter().map(|(_, by)| by.id.as_str()).collect();
    if people.len() < 2 {
        return None;
    }
    let names: Vec<&str> = people.iter().copied().collect();
    Some(Seen {
        about: people.iter().map(|id| About::Person { id: (*id).to_string() }).collect(),
        entries: uses.iter().map(|(entry, _)| *entry).collect(),
        words: say!("the seals of {} were made with one key", names.join(say!(" and "))),
    })
}
