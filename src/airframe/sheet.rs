//! A record or register as its lists and entries stand in the file: what screens and commands show before they change it.
//!
//! It is taken from the text alone, so that a file which its reader refuses can still be shown and put right.

use std::sync::Arc;

use toml_edit::{DocumentMut, Item, Table, Value};

use super::edit::typed;
use super::fields::{AIRFRAME, AIRFRAME_LISTS, AUTHORISATIONS, Field, INSTRUMENTS, List, PEOPLE};
use super::{read_airframe, read_instruments, read_people};
use crate::diagnostic::{Diagnostic, Source};

/// Which file of the hangar's folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RecordFile {
    /// By registration, or by the file's name where the record cannot be read.
    Airframe(String),
    People,
    Instruments,
}

impl RecordFile {
    /// The keys above its lists.
    pub fn head(&self) -> &'static [Field] {
        match self {
            RecordFile::Airframe(_) => AIRFRAME,
            RecordFile::People | RecordFile::Instruments => &[],
        }
    }

    /// Its lists, in the order of the screen; authorisations stand below a person.
    pub fn lists(&self) -> &'static [List] {
        match self {
            RecordFile::Airframe(_) => AIRFRAME_LISTS,
            RecordFile::People => &[PEOPLE],
            RecordFile::Instruments => &[INSTRUMENTS],
        }
    }

    /// The list of this key, also one whose entries stand below other entries.
    pub fn list(&self, key: &str) -> Option<&'static List> {
        static BELOW: [List; 1] = [AUTHORISATIONS];
        let below = if *self == RecordFile::People { &BELOW[..] } else { &[] };
        self.lists().iter().chain(below).find(|list| list.key == key)
    }

    /// What its reader says against a text.
    pub fn faults(&self, source: &Arc<Source>) -> Vec<Diagnostic> {
        match self {
            RecordFile::Airframe(_) => read_airframe(source).err(),
            RecordFile::People => read_people(source).err(),
            RecordFile::Instruments => read_instruments(source).err(),
        }
        .unwrap_or_default()
    }

    /// In words for a person.
    pub fn words(&self) -> String {
        match self {
            RecordFile::Airframe(registration) => {
                say!("the record of {registration}", registration = registration)
            }
            RecordFile::People => say!("the people register").to_string(),
            RecordFile::Instruments => say!("the instrument register").to_string(),
        }
    }
}

/// Where an entry stands: its list, the entry that it belongs to, its place from 0.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spot {
    pub list: &'static str,
    pub below: Option<(String, usize)>,
    pub at: usize,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Entry {
    pub spot: Spot,
    /// As typed, in the order of the list's fields.
    pub values: Vec<String>,
    /// Entries below it.
    pub inner: Vec<Entry>,
    /// Public keys below a person; they are entered by a command of their own.
    pub keys: usize,
}

impl Entry {
    /// What an entry is called: its id, else its first key.
    pub fn name(&self) -> &str {
        self.values.first().map_or("", String::as_str)
    }

    pub fn value<'a>(&'a self, list: &List, key: &str) -> Option<&'a str> {
        let at = list.fields.iter().position(|field| field.key == key)?;
        self.values.get(at).map(String::as_str).filter(|value| !value.is_empty())
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Section {
    pub list: &'static List,
    pub entries: Vec<Entry>,
}

/// A file as it was shown.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sheet {
    pub file: RecordFile,
    /// Its path, as the hangar names it.
    pub name: String,
    pub text: String,
    /// What the reader says, one line each with place and what to do.
    pub faults: Vec<String>,
    /// False where the text is no TOML: then only an editor of texts can help.
    pub can_edit: bool,
    pub head: Vec<String>,
    pub sections: Vec<Section>,
}

impl Sheet {
    pub fn read(file: RecordFile, source: &Arc<Source>) -> Sheet {
        let faults = file.faults(source).iter().map(ToString::to_string).collect();
        let document = source.text.parse::<DocumentMut>().ok();
        let empty = Table::new();
        let root = document.as_ref().map_or(&empty, |document| document.as_table());
        Sheet {
            name: source.name.clone(),
            text: source.text.clone(),
            faults,
            can_edit: document.is_some(),
            head: file.head().iter().map(|field| typed(root, field.key)).collect(),
            sections: file
                .lists()
                .iter()
                .map(|list| Section { list, entries: entries(root, list, None) })
                .collect(),
            file,
        }
    }

    /// The value of a key above the lists.
    pub fn head_value(&self, key: &str) -> &str {
        let at = self.file.head().iter().position(|field| field.key == key);
        at.and_then(|at| self.head.get(at)).map_or("", String::as_str)
    }

    pub fn entry(&self, spot: &Spot) -> Option<&Entry> {
        let all = self.sections.iter().flat_map(|section| &section.entries);
        all.flat_map(|entry| std::iter::once(entry).chain(&entry.inner)).find(|entry| entry.spot == *spot)
    }

    /// All entries of a list, those below other entries, too.
    pub fn entries_of<'a>(&'a self, list: &'a str) -> impl Iterator<Item = &'a Entry> {
        let all = self.sections.iter().flat_map(|section| &section.entries);
        all.flat_map(|entry| std::iter::once(entry).chain(&entry.inner))
            .filter(move |entry| entry.spot.list == list)
    }

    /// An id that no entry of the list has: r4 after r3. Empty where ids come from elsewhere, as a directive's number.
    pub fn free_id(&self, list: &List) -> String {
        let Some((_, letter)) = LETTERS.iter().find(|(key, _)| *key == list.key) else {
            return String::new();
        };
        let numbers = self.entries_of(list.key).filter_map(|entry| {
            entry.name().strip_prefix(letter).and_then(|number| number.parse::<u32>().ok())
        });
        format!("{letter}{}", numbers.max().unwrap_or(0).saturating_add(1))
    }
}

/// Lists whose ids are the record's own.
const LETTERS: &[(&str, &str)] = &[("report", "r"), ("defect", "d"), ("life_item", "l"), ("repair", "p")];

/// Entries written as `[[list]]` or as inline tables.
fn entries(table: &Table, list: &'static List, below: Option<(&str, usize)>) -> Vec<Entry> {
    let found: Vec<Table> = match table.get(list.key) {
        Some(Item::ArrayOfTables(tables)) => tables.iter().cloned().collect(),
        Some(Item::Value(Value::Array(array))) => {
            array.iter().filter_map(Value::as_inline_table).cloned().map(|t| t.into_table()).collect()
        }
        _ => Vec::new(),
    };
    let below = below.map(|(list, at)| (list.to_string(), at));
    let entry = |(at, table): (usize, &Table)| Entry {
        spot: Spot { list: list.key, below: below.clone(), at },
        values: list.fields.iter().map(|field| typed(table, field.key)).collect(),
        inner: if list.key == PEOPLE.key { authorisations(table, at) } else { Vec::new() },
        keys: table.get("key").and_then(Item::as_array_of_tables).map_or(0, |keys| keys.len()),
    };
    found.iter().enumerate().map(entry).collect()
}

fn authorisations(person: &Table, at: usize) -> Vec<Entry> {
    static LIST: List = AUTHORISATIONS;
    entries(person, &LIST, Some((PEOPLE.key, at)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sheet(file: RecordFile, text: &str) -> Sheet {
        Sheet::read(file, &Source::new("x.toml", text))
    }

    #[test]
    fn a_file_with_faults_is_shown_as_far_as_its_toml_goes() {
        let file = RecordFile::Airframe("XX-AB1".into());
        let text =
            "registration = \"XX-AB1\"\nreport = [{ id = \"r1\" }, { id = \"r7\", kind = \"hail\" }]\n";
        let found = sheet(file.clone(), text);
        assert!(found.can_edit && !found.faults.is_empty());
        assert!(found.faults.iter().all(|fault| fault.starts_with("x.toml:")), "{:?}", found.faults);
        assert_eq!(found.head_value("registration"), "XX-AB1");
        assert_eq!(found.sections[0].entries.len(), 2);
        assert_eq!(found.free_id(&AIRFRAME_LISTS[0]), "r8");
        let broken = sheet(file, "registration = ");
        assert!(!broken.can_edit && broken.faults.len() == 1);
    }

    #[test]
    fn authorisations_stand_below_their_person() {
        let text = "[[person]]\nid = \"a\"\n[[person.authorisation]]\nkind = \"annual-release\"\n[[person.key]]\npublic = \"k\"\n[[person]]\nid = \"b\"\n";
        let found = sheet(RecordFile::People, text);
        let people = &found.sections[0].entries;
        assert_eq!((people.len(), people[0].inner.len(), people[0].keys), (2, 1, 1));
        let spot = Spot { list: "authorisation", below: Some(("person".into(), 0)), at: 0 };
        assert_eq!(found.entry(&spot).map(Entry::name), Some("annual-release"));
    }
}
