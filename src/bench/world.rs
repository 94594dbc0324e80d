//! The files under check together with the library that they will be used with.

use std::collections::{BTreeSet, HashMap};
use std::sync::OnceLock;

use chrono::NaiveDate;
use semver::Version;

use super::reading::Reading;
use crate::checklist::{Checklist, Kind, Step, Supplement};
use crate::diagnostic::Source;
use crate::source::Located;

/// One edition with its steps by id.
pub struct Edition<'a> {
    pub reading: &'a Reading,
    pub checklist: &'a Checklist,
    steps: OnceLock<HashMap<&'a str, &'a Located<Step>>>,
}

impl<'a> Edition<'a> {
    pub fn id(&self) -> &'a str {
        &self.checklist.id.value
    }

    pub fn version(&self) -> &'a Version {
        &self.checklist.version.value
    }

    pub fn step(&self, id: &str) -> Option<&'a Located<Step>> {
        self.steps().get(id).copied()
    }

    pub fn steps(&self) -> &HashMap<&'a str, &'a Located<Step>> {
        self.steps
            .get_or_init(|| self.checklist.steps.iter().map(|step| (step.value.id.as_str(), step)).collect())
    }

    pub fn supplement(&self) -> Option<&'a Supplement> {
        match &self.checklist.kind {
            Kind::Supplement(content) => Some(content),
            _ => None,
        }
    }

    pub fn is_programme(&self) -> bool {
        matches!(self.checklist.kind, Kind::Programme)
    }
}

fn key(checklist: &Checklist) -> (&str, &Version) {
    (&checklist.id.value, &checklist.version.value)
}

/// A file that says it is some edition.
pub struct Issued<'a> {
    pub source: &'a Source,
    /// Not under check itself.
    pub is_library: bool,
}

pub struct World<'a> {
    files: &'a [Reading],
    library: &'a [Reading],
    /// The files of every id and version.
    issued: OnceLock<HashMap<(&'a str, &'a Version), Vec<Issued<'a>>>>,
    pub editions: Vec<Edition<'a>>,
    /// Places in `editions` by checklist id, oldest version first.
    by_id: HashMap<&'a str, Vec<usize>>,
    /// Which newest editions hold a step of this id; made when first asked for.
    holders: OnceLock<HashMap<&'a str, Vec<usize>>>,
    pub today: NaiveDate,
}

impl<'a> World<'a> {
    /// A file under check stands for the library's edition of the same id and version.
    pub fn of(files: &'a [Reading], library: &'a [Reading], today: NaiveDate) -> World<'a> {
        let under_check: BTreeSet<_> =
            files.iter().filter_map(|file| file.checklist.as_ref()).map(key).collect();
        let stays = |reading: &&'a Reading| {
            reading.checklist.as_ref().is_some_and(|checklist| !under_check.contains(&key(checklist)))
        };
        let editions: Vec<Edition<'a>> = library
            .iter()
            .filter(stays)
            .chain(files)
            .filter_map(|reading| {
                let checklist = reading.checklist.as_ref()?;
                Some(Edition { reading, checklist, steps: OnceLock::new() })
            })
            .collect();
        let mut by_id: HashMap<&str, Vec<usize>> = HashMap::new();
        for (index, edition) in editions.iter().enumerate() {
            by_id.entry(edition.id()).or_default().push(index);
        }
        for places in by_id.values_mut() {
            places.sort_by_key(|&index| editions[index].version());
        }
        World { files, library, issued: OnceLock::new(), editions, by_id, holders: OnceLock::new(), today }
    }

    /// All editions of a checklist, oldest first.
    pub fn editions_of(&self, id: &str) -> impl DoubleEndedIterator<Item = &Edition<'a>> {
        self.by_id.get(id).into_iter().flatten().map(|&index| &self.editions[index])
    }

    /// Every file that says it is this edition.
    pub fn issued(&self, id: &'a str, version: &'a Version) -> &[Issued<'a>] {
        let issued = self.issued.get_or_init(|| {
            let mut issued: HashMap<_, Vec<Issued<'_>>> = HashMap::new();
            let all = self
                .library
                .iter()
                .map(|file| (file, true))
                .chain(self.files.iter().map(|file| (file, false)));
            for (file, is_library) in all {
                if let Some(checklist) = &file.checklist {
                    let key = (checklist.id.value.as_str(), &checklist.version.value);
                    issued.entry(key).or_default().push(Issued { source: &file.source, is_library });
                }
            }
            issued
        });
        issued.get(&(id, version)).map_or(&[], Vec::as_slice)
    }

    pub fn ids(&self) -> impl Iterator<Item = &'a str> {
        self.by_id.keys().copied()
    }

    pub fn is_newest(&self, edition: &Edition<'_>) -> bool {
        self.editions_of(edition.id()).next_back().is_some_and(|newest| newest.version() == edition.version())
    }

    pub fn newest(&self) -> impl Iterator<Item = &Edition<'a>> {
        self.by_id.values().filter_map(|places| places.last()).map(|&index| &self.editions[index])
    }

    /// The newest supplements.
    pub fn supplements(&self) -> impl Iterator<Item = (&Edition<'a>, &'a Supplement)> {
        self.newest().filter_map(|edition| Some((edition, edition.supplement()?)))
    }

    /// The newest editions that hold a step of this id.
    pub fn holders(&self, step: &str) -> impl Iterator<Item = &Edition<'a>> {
        let holders = self.holders.get_or_init(|| {
            let mut holders: HashMap<&str, Vec<usize>> = HashMap::new();
            for index in self.by_id.values().filter_map(|places| places.last()).copied() {
                for step in &self.editions[index].checklist.steps {
                    let held = holders.entry(step.value.id.as_str()).or_default();
                    if held.last() != Some(&index) {
                        held.push(index);
                    }
                }
            }
            holders
        });
        holders.get(step).into_iter().flatten().map(|&index| &self.editions[index])
    }
}
