//! All checklists at hand: those built into the program and those of the user's folder, which go first.

use std::collections::BTreeMap;
use std::sync::Arc;

use semver::{Version, VersionReq};

use super::{Checklist, Kind, read_checklist};
use crate::diagnostic::{Diagnostic, Place, Source, in_file_order, suggest};
use crate::embedded::CHECKLISTS;

/// The checklist files built into the program, each with the name `built in: <id>/<version>.toml`.
pub fn builtin_sources() -> Vec<Arc<Source>> {
    let mut sources = Vec::new();
    for folder in CHECKLISTS.dirs() {
        for file in folder.files() {
            let path = file.path().to_string_lossy();
            if path.ends_with(".toml")
                && let Some(text) = file.contents_utf8()
            {
                sources.push(Source::new(format!("built in: {path}"), text));
            }
        }
    }
    sources.sort_by(|a, b| a.name.cmp(&b.name));
    sources
}

/// The register of the built-in editions, `issued.toml` beside them.
pub fn builtin_register() -> Arc<Source> {
    let text = CHECKLISTS.get_file("issued.toml").and_then(|file| file.contents_utf8()).unwrap_or_default();
    Source::new("built in: issued.toml", text)
}

/// Every edition that could be read, by id and version.
#[derive(Debug, Clone, Default)]
pub struct Library {
    editions: BTreeMap<String, BTreeMap<Version, Arc<Checklist>>>,
    /// Faults of files that could not be taken in. Composing with what they would have held is refused.
    pub faults: Vec<Diagnostic>,
}

impl Library {
    /// Reads all sources. A later source replaces an earlier one of the same id and version, so that the
    /// user's own folder, given last, overrides what is built in. The register of issued editions, which lies in the
    /// same folder, is no checklist.
    pub fn read(sources: &[Arc<Source>]) -> Library {
        let mut library = Library::default();
        let is_register =
            |source: &Source| source.name.rsplit(['/', '\\', ' ']).next() == Some("issued.toml");
        for source in sources.iter().filter(|source| !is_register(source)) {
            match read_checklist(source) {
                Ok(checklist) => library.add(checklist),
                Err(faults) => library.faults.extend(faults),
            }
        }
        in_file_order(&mut library.faults);
        library
    }

    fn add(&mut self, checklist: Checklist) {
        if let Some(fault) = misplaced(&checklist, &checklist.source.name) {
            self.faults.push(fault);
            return;
        }
        self.editions
            .entry(checklist.id.value.clone())
            .or_default()
            .insert(checklist.version.value.clone(), Arc::new(checklist));
    }

    /// Puts one edition in the place of all of its id, wherever its file lies: a draft that is tried out.
    pub fn try_out(&mut self, checklist: Checklist) {
        let (id, version) = (checklist.id.value.clone(), checklist.version.value.clone());
        self.editions.insert(id, BTreeMap::from([(version, Arc::new(checklist))]));
    }

    /// One edition by id and version.
    pub fn edition(&self, id: &str, version: &Version) -> Option<&Arc<Checklist>> {
        self.editions.get(id)?.get(version)
    }

    /// The newest edition of `id` below a version.
    pub fn below(&self, id: &str, version: &Version) -> Option<&Arc<Checklist>> {
        self.editions.get(id)?.range(..version.clone()).next_back().map(|(_, found)| found)
    }

    pub fn all(&self) -> impl Iterator<Item = &Arc<Checklist>> {
        self.editions.values().flat_map(BTreeMap::values)
    }

    /// The newest edition of every checklist.
    pub fn newest(&self) -> impl Iterator<Item = &Arc<Checklist>> {
        self.editions.values().filter_map(|editions| editions.values().next_back())
    }

    /// The newest edition of `id` within `range`.
    pub fn find(&self, id: &str, range: &VersionReq) -> Option<&Arc<Checklist>> {
        self.editions
            .get(id)?
            .iter()
            .rev()
            .find(|(version, _)| range.matches(version))
            .map(|(_, found)| found)
    }

    pub fn versions(&self, id: &str) -> Vec<&Version> {
        self.editions.get(id).map(|editions| editions.keys().collect()).unwrap_or_default()
    }

    pub fn ids(&self) -> impl Iterator<Item = &str> {
        self.editions.keys().map(String::as_str)
    }

    /// The newest supplements of an airframe type, in order of their ids.
    pub fn supplements_of(&self, type_id: &str) -> Vec<&Arc<Checklist>> {
        self.newest()
            .filter(|checklist| matches!(&checklist.kind, Kind::Supplement(of) if of.of_type.id == type_id))
            .collect()
    }

    /// The newest modules that a report or occurrence of this kind selects.
    pub fn modules_for(&self, kind: &str) -> Vec<&Arc<Checklist>> {
        self.newest()
            .filter(|checklist| matches!(&checklist.kind, Kind::Module(selection) if selection.selects(kind)))
            .collect()
    }

    /// Type ids that some supplement describes.
    pub fn types(&self) -> Vec<&str> {
        let mut types: Vec<&str> = self
            .newest()
            .filter_map(|checklist| match &checklist.kind {
                Kind::Supplement(of) => Some(of.of_type.id.as_str()),
                _ => None,
            })
            .collect();
        types.sort_unstable();
        types.dedup();
        types
    }

    /// The edition that a requirement asks for, or a message at the requirement.
    pub fn satisfy(&self, checklist: &Checklist, index: usize) -> Result<&Arc<Checklist>, Diagnostic> {
        let requirement = &checklist.requires[index];
        let place = Place::new(&checklist.source, requirement.id.span.clone());
        if let Some(found) = self.find(&requirement.id.value, &requirement.range) {
            return Ok(found);
        }
        let versions = self.versions(&requirement.id.value);
        let diagnostic = Diagnostic::new(
            "version-not-satisfied",
            place,
            say!(
                "\"{}\" requires {} {}, which is not in the library",
                checklist.id.value,
                requirement.id.value,
                requirement.range
            ),
        );
        Err(if versions.is_empty() {
            diagnostic.maybe_hint(suggest(&requirement.id.value, self.ids()))
        } else {
            let list: Vec<String> = versions.iter().map(ToString::to_string).collect();
            diagnostic
                .hint(say!("at hand: {}; install a fitting edition or widen the range", list.join(", ")))
        })
    }
}

/// `<id>/<version>.toml`, the end of `path`, must agree with what the file says of itself, or two editions could be mistaken.
pub fn misplaced(checklist: &Checklist, path: &str) -> Option<Diagnostic> {
    let name = path.replace('\\', "/");
    let wanted = format!("{}/{}.toml", checklist.id.value, checklist.version.value);
    // A draft is no edition yet and stands under a name of its own.
    if name.ends_with(&format!("{}/draft.toml", checklist.id.value)) {
        return None;
    }
    if name == wanted || name.ends_with(&format!("/{wanted}")) || name == format!("built in: {wanted}") {
        return None;
    }
    let place = Place::new(&checklist.source, checklist.version.span.clone());
    Some(
        Diagnostic::new(
            "file-name",
            place,
            say!("this edition belongs into a file called {wanted}", wanted = wanted),
        )
        .hint(say!("rename the file, or correct id and version")),
    )
}
