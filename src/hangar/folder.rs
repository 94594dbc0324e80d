//! The hangar folder: what its files hold, with every fault kept to be shown.

use std::path::{Path, PathBuf};
use std::sync::{Arc, OnceLock};

use crate::airframe::{Airframe, Instruments, People, Person, read_airframe, read_instruments, read_people};
use crate::checklist::{Library, builtin_sources};
use crate::diagnostic::{Diagnostic, Place, Source, suggest};
use crate::event::Actor;
use crate::store::texts::{read_text, read_toml_files, read_translation_files};
use crate::store::{Clock, Hangar as Folder, RealClock, RealDisk, SharedDisk};
use chrono::NaiveDate;

use super::{HangarError, own_checklists};
use crate::words::{add_of_checklist, current, read_translations};

/// The programme that every annual is composed from.
pub const PROGRAMME: &str = "composite-sailplane";

/// Everything that the folder holds, besides the sessions' records.
pub struct Hangar {
    pub root: PathBuf,
    pub folder: Folder,
    pub disk: SharedDisk,
    pub clock: Arc<dyn Clock>,
    /// Read when first asked for: most commands need the frozen plan alone.
    library: OnceLock<Library>,
    pub people: People,
    pub instruments: Instruments,
    pub airframes: Vec<AirframeFile>,
    /// Faults of the registers.
    pub faults: Vec<Diagnostic>,
}

/// One airframe record with its source, or its faults.
pub struct AirframeFile {
    pub source: Arc<Source>,
    pub airframe: Result<Airframe, Vec<Diagnostic>>,
}

impl AirframeFile {
    /// The registration, or the file's name where the record cannot be read.
    pub fn name(&self) -> String {
        match &self.airframe {
            Ok(airframe) => airframe.registration.clone(),
            Err(_) => Path::new(&self.source.name)
                .file_stem()
                .map_or_else(|| self.source.name.clone(), |stem| stem.to_string_lossy().into_owned()),
        }
    }
}

impl Hangar {
    /// Reads the folder. A folder that lacks some files is no error: a fresh hangar is empty.
    pub fn load(root: &Path) -> Hangar {
        let mut faults = Vec::new();
        let folder = Folder::at(root);
        let people = register(&folder.people(), read_people, &mut faults);
        let instruments = register(&folder.instruments(), read_instruments, &mut faults);
        let (records, unreadable) = read_toml_files(&folder.airframes());
        faults.extend(unreadable);
        let airframes = read_records(records);
        faults.extend(take_in_translations(&folder));
        Hangar {
            root: root.to_path_buf(),
            folder,
            disk: Arc::new(RealDisk),
            clock: Arc::new(RealClock::new()),
            library: OnceLock::new(),
            people,
            instruments,
            airframes,
            faults,
        }
    }

    /// Reads airframes and registers again, after one of them was changed. Clock and disk stay.
    pub fn reload(&mut self) {
        let fresh = Hangar::load(&self.root);
        self.people = fresh.people;
        self.instruments = fresh.instruments;
        self.airframes = fresh.airframes;
        self.faults = fresh.faults;
    }

    /// The people register alone; a faulty or missing one has nobody.
    pub fn people_of(folder: &Folder) -> People {
        register(&folder.people(), read_people, &mut Vec::new())
    }

    /// The checklists at hand, the folder's own before the built-in ones of the same id and version.
    pub fn library(&self) -> &Library {
        self.library.get_or_init(|| {
            let mut sources = builtin_sources();
            let own = own_checklists(&self.folder);
            sources.extend(own.editions);
            let mut library = Library::read(&sources);
            // What cannot be read, or is no longer what was issued, might have taken part: composing is refused.
            library.faults.extend(own.faults);
            library
        })
    }

    /// Faults of the folder's own checklists. The built-in ones are without fault (a test holds them to it), so
    /// that a list need not read them all.
    pub fn own_checklist_faults(&self) -> Vec<Diagnostic> {
        let own = own_checklists(&self.folder);
        let mut faults =
            if own.editions.is_empty() { Vec::new() } else { Library::read(&own.editions).faults };
        faults.extend(own.faults);
        faults
    }

    /// Reads the airframes' records again, after one was changed.
    pub fn reload_airframes(&mut self) {
        let (records, _) = read_toml_files(&self.folder.airframes());
        self.airframes = read_records(records);
    }

    /// Today on the inspector's calendar.
    pub fn today(&self) -> NaiveDate {
        self.clock.now().date_naive()
    }

    pub fn sessions_folder(&self) -> PathBuf {
        self.folder.sessions()
    }

    /// True for the invented hangar of the demo, which says so on its screens.
    pub fn is_demo(&self) -> bool {
        self.root.join("INVENTED.md").exists()
    }

    pub fn airframe(&self, registration: &str) -> Result<&AirframeFile, HangarError> {
        let wanted = registration.to_uppercase();
        let found = self.airframes.iter().find(|file| file.name().to_uppercase() == wanted);
        found.ok_or_else(|| {
            let names: Vec<String> = self.airframes.iter().map(AirframeFile::name).collect();
            let hint = suggest(registration, names.iter().map(String::as_str));
            HangarError::not_found(
                say!(
                    "there is no airframe \"{registration}\" in {}",
                    self.root.display(),
                    registration = registration
                ),
                hint.unwrap_or(say!("write its record into airframes/<registration>.toml").to_string()),
            )
        })
    }

    /// The person of this id, or a message that lists who is known.
    pub fn person(&self, id: &str) -> Result<&Person, HangarError> {
        self.people.find(id).ok_or_else(|| {
            let hint = suggest(id, self.people.0.iter().map(|person| person.id.as_str()));
            HangarError::not_found(
                say!("the people register has nobody called \"{id}\"", id = id),
                hint.unwrap_or(say!("enter the person into people.toml").to_string()),
            )
        })
    }

    pub fn actor(&self, id: &str) -> Result<Actor, HangarError> {
        self.person(id).map(|person| Actor { id: person.id.clone(), name: person.name.clone() })
    }
}

/// The text of a file; a missing one is empty.
pub(super) fn read_or_empty(path: &Path) -> Result<Arc<Source>, Diagnostic> {
    let name = path.to_string_lossy();
    if path.exists() { read_text(path, &name) } else { Ok(Source::new(name, "")) }
}

/// The folder's own translations of its checklists, where a language is spoken that needs them. A file that cannot be read is a
/// fault of the folder; its checklists are shown as their author wrote them.
fn take_in_translations(folder: &Folder) -> Vec<Diagnostic> {
    let Some(language) = current().catalogue() else { return Vec::new() };
    let (sources, mut faults) = read_translation_files(&folder.checklists(), language);
    for source in sources {
        match read_translations(&source.text) {
            Ok(texts) => add_of_checklist(texts),
            Err(fault) => faults.push(
                Diagnostic::new(
                    "translation",
                    Place::new(&source, 0..0),
                    say!("this is no translation file in PO format: {}", fault.0),
                )
                .hint(say!("mend it, or take it away: the checklist is then shown in its own language")),
            ),
        }
    }
    faults
}

fn read_records(records: Vec<Arc<Source>>) -> Vec<AirframeFile> {
    let read = |source: Arc<Source>| AirframeFile { airframe: read_airframe(&source), source };
    let mut files: Vec<AirframeFile> = records.into_iter().map(read).collect();
    let twins = twins(&files);
    for (at, fault) in twins {
        files[at].airframe = Err(vec![fault]);
    }
    files
}

/// Records that give the same registration: which of them is the airframe's, nobody can tell, so that none is used.
fn twins(files: &[AirframeFile]) -> Vec<(usize, Diagnostic)> {
    let registration = |file: &AirframeFile| Some(file.airframe.as_ref().ok()?.registration.to_uppercase());
    let named: Vec<Option<String>> = files.iter().map(registration).collect();
    let twin_of = |at: usize| {
        let mut others = (0..files.len()).filter(|other| *other != at);
        others.find(|other| named[at].is_some() && named[*other] == named[at])
    };
    let told = |at: usize, other: usize| {
        let source = &files[at].source;
        let line = source.text.find("registration").unwrap_or(0);
        let end = source.text[line..].find('\n').map_or(source.text.len(), |length| line + length);
        Diagnostic::new(
            "duplicate-id",
            Place::new(source, line..end),
            say!("{} gives the same registration", files[other].source.name),
        )
        .hint(say!("keep one record of each airframe, and move the other file away"))
    };
    (0..files.len()).filter_map(|at| twin_of(at).map(|other| (at, told(at, other)))).collect()
}

/// Reads a register; a missing file is an empty register, a faulty one an empty one with its faults told.
fn register<T: Default>(
    path: &Path,
    read: impl Fn(&Arc<Source>) -> Result<T, Vec<Diagnostic>>,
    faults: &mut Vec<Diagnostic>,
) -> T {
    if !path.exists() {
        return T::default();
    }
    let found = read_text(path, &path.to_string_lossy())
        .map_err(|fault| vec![fault])
        .and_then(|source| read(&source));
    found.unwrap_or_else(|found| {
        faults.extend(found);
        T::default()
    })
}
