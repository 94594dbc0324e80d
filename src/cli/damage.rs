//! A damaged record as replay and findings tell it: what follows the damage is not "never done", it is unknown.

use serde_json::{Value, json};

use crate::hangar::{Hangar, Viewing};
use crate::journal::Verdict as Soundness;
use crate::store::open_reader;

/// Where a record stops being one.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Damage {
    /// In words, every problem.
    pub what: String,
    /// Number of the first entry that is not to be relied on.
    pub first_bad_entry: u64,
    /// Where it begins in the journal, bytes; unknown where the journal is whole and an entry cannot be understood.
    pub byte: Option<usize>,
}

impl Damage {
    /// `None` for a sound record.
    pub fn of(hangar: &Hangar, view: &Viewing) -> Option<Damage> {
        if view.integrity.is_empty() {
            return None;
        }
        let told = view.entries.len() as u64;
        let mut damage = Damage { what: view.integrity.join(" "), first_bad_entry: told, byte: None };
        // The words were made from this; figures are not read back from words.
        if let Ok(reader) = open_reader(hangar.disk.as_ref(), &view.dir)
            && let Soundness::Damaged(found) = &reader.verdict
        {
            damage.first_bad_entry = found.first_bad_seq.min(told);
            damage.byte = (found.first_bad_seq <= told).then_some(found.byte_offset);
        }
        Some(damage)
    }

    /// The first line of a text about a damaged record.
    pub fn banner(&self) -> String {
        let place = match self.first_bad_entry.checked_sub(1) {
            Some(last) => say!("after entry {last}", last),
            None => say!("from its first entry").to_string(),
        };
        format!(
            "{}\n",
            say!("THE RECORD IS DAMAGED {place}: what follows cannot be told. {}", self.what, place)
        )
    }
}

/// As JSON: `what`, `first_bad_entry`, `byte`; null for a sound record.
pub fn fault_json(damage: Option<&Damage>) -> Value {
    damage.map_or(Value::Null, |damage| {
        json!({ "what": damage.what, "first_bad_entry": damage.first_bad_entry, "byte": damage.byte })
    })
}
