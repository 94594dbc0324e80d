//! Airframe records and registers changed by the program: read fresh, changed, read again with the file's own reader,
//! written whole or not at all.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use super::folder::read_or_empty;
use super::{Hangar, HangarError, Viewing, summaries};
use crate::airframe::edit::{Change, Edit, edited, typed_head};
use crate::airframe::fields::{AIRFRAME, PEOPLE};
use crate::airframe::sheet::{RecordFile, Sheet};
use crate::diagnostic::Source;
use crate::journal::hash::sha256;
use crate::store::disk::LockGuard;
use crate::store::replace::{create, lock_records, replace};
use crate::store::texts::read_text;

/// The registers of a hangar.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Register {
    People,
    Instruments,
}

impl From<Register> for RecordFile {
    fn from(register: Register) -> RecordFile {
        match register {
            Register::People => RecordFile::People,
            Register::Instruments => RecordFile::Instruments,
        }
    }
}

/// A file as it stands now, and what was handed out to know it again.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Shown {
    pub sheet: Sheet,
    /// SHA-256 of the text.
    pub hash: String,
}

/// Takes the lock under which records and registers are edited.
fn lock(hangar: &Hangar) -> Result<Box<dyn LockGuard>, HangarError> {
    lock_records(hangar.disk.as_ref(), &hangar.root).map_err(|error| {
        if error.is_locked() {
            return HangarError::InUse {
                why: say!("another program is changing a record of this hangar at this moment").to_string(),
            };
        }
        HangarError::store(&error, say!("nothing was changed"))
    })
}

/// Reads a record or register fresh from its file. A register that is not there yet is an empty one.
///
/// # Errors
/// No airframe of that name, or a file that cannot be read.
pub fn shown(hangar: &Hangar, file: &RecordFile) -> Result<Shown, HangarError> {
    let (_, source) = read(hangar, file)?;
    Ok(Shown { hash: hash_of(&source.text), sheet: Sheet::read(file.clone(), &source) })
}

fn hash_of(text: &str) -> String {
    sha256(text.as_bytes()).to_string()
}

fn read(hangar: &Hangar, file: &RecordFile) -> Result<(PathBuf, Arc<Source>), HangarError> {
    let path = match file {
        RecordFile::People => hangar.folder.people(),
        RecordFile::Instruments => hangar.folder.instruments(),
        RecordFile::Airframe(registration) => PathBuf::from(&hangar.airframe(registration)?.source.name),
    };
    let source = match file {
        RecordFile::Airframe(_) => read_text(&path, &path.to_string_lossy()),
        RecordFile::People | RecordFile::Instruments => read_or_empty(&path),
    };
    Ok((path, source.map_err(|fault| HangarError::Files(vec![fault]))?))
}

/// Writes the record of an airframe that has none yet; `head` holds its keys.
///
/// # Errors
/// Its keys do not make a sound record; its registration is taken or makes no file name; the disk refuses.
pub fn create_airframe(hangar: &Hangar, head: &[Change]) -> Result<Shown, HangarError> {
    let _lock = lock(hangar)?;
    let (path, file, source) = new_airframe(hangar, head)?;
    create(hangar.disk.as_ref(), &path, source.text.as_bytes())
        .map_err(|error| HangarError::store(&error, say!("nothing was written")))?;
    Ok(Shown { hash: hash_of(&source.text), sheet: Sheet::read(file, &source) })
}

/// The record that [`create_airframe`] would write, with its path; nothing is written.
///
/// # Errors
/// As [`create_airframe`].
pub fn new_airframe(
    hangar: &Hangar,
    head: &[Change],
) -> Result<(PathBuf, RecordFile, Arc<Source>), HangarError> {
    let text = edited("", &[Edit::Head(head.to_vec())])
        .map_err(|fault| HangarError::declined(fault.why, fault.next))?;
    let registration = registration_of(&text);
    let path = hangar.folder.airframes().join(file_name(&registration)?);
    let shown_as = path.to_string_lossy().into_owned();
    let source = Source::new(&shown_as, text);
    let file = RecordFile::Airframe(registration.clone());
    let faults = file.faults(&source);
    if !faults.is_empty() {
        return Err(HangarError::Files(faults));
    }
    if is_taken(hangar, &registration, None) || path.exists() {
        return Err(HangarError::declined(
            say!(
                "there is a record of {registration} already: {shown_as}",
                registration = registration,
                shown_as = shown_as
            ),
            say!("open that one; a registration has one record"),
        ));
    }
    Ok((path, file, source))
}

/// Changes an airframe's record. `was` is the hash of the text that the person saw; without it the text as it is now is
/// changed, as a command does.
///
/// # Errors
/// The file was changed since; what would come of it has faults, all of them; a change that would hide what a session
/// or a signature rests on; the disk refuses. Nothing is written then.
pub fn edit_airframe(
    hangar: &Hangar,
    registration: &str,
    edits: &[Edit],
    was: Option<&str>,
) -> Result<Shown, HangarError> {
    edit(hangar, &RecordFile::Airframe(registration.to_string()), edits, was)
}

/// The same for a register; one that is not there yet is made.
///
/// # Errors
/// As [`edit_airframe`].
pub fn edit_register(
    hangar: &Hangar,
    register: Register,
    edits: &[Edit],
    was: Option<&str>,
) -> Result<Shown, HangarError> {
    edit(hangar, &register.into(), edits, was)
}

/// Changes the file, whichever it is.
///
/// # Errors
/// As [`edit_airframe`].
pub fn edit(
    hangar: &Hangar,
    file: &RecordFile,
    edits: &[Edit],
    was: Option<&str>,
) -> Result<Shown, HangarError> {
    let _lock = lock(hangar)?;
    write(hangar, changed(hangar, file, edits, was)?)
}

/// Changes the file by what it says: `change` sees it as it stands on the disk now. Returns what `change` tells.
///
/// # Errors
/// As [`edit_airframe`], and what `change` refuses.
pub(super) fn edit_by<T>(
    hangar: &Hangar,
    file: &RecordFile,
    change: impl FnOnce(&Arc<Source>) -> Result<(Vec<Edit>, T), HangarError>,
) -> Result<T, HangarError> {
    let _lock = lock(hangar)?;
    let (_, source) = read(hangar, file)?;
    let (edits, told) = change(&source)?;
    if !edits.is_empty() {
        // An editor of texts takes no lock: the file is looked at once more before it is replaced.
        write(hangar, changed(hangar, file, &edits, Some(&hash_of(&source.text)))?)?;
    }
    Ok(told)
}

/// The caller holds the lock.
fn write(hangar: &Hangar, Changed { path, file, before, after }: Changed) -> Result<Shown, HangarError> {
    if after.text != before.text {
        replace(hangar.disk.as_ref(), &path, after.text.as_bytes())
            .map_err(|error| HangarError::store(&error, say!("nothing was changed")))?;
    }
    Ok(Shown { hash: hash_of(&after.text), sheet: Sheet::read(file, &after) })
}

/// What a change makes of a file.
pub struct Changed {
    pub path: PathBuf,
    pub file: RecordFile,
    pub before: Arc<Source>,
    pub after: Arc<Source>,
}

/// What [`edit`] would make of the file; nothing is written.
///
/// # Errors
/// As [`edit_airframe`].
pub fn changed(
    hangar: &Hangar,
    file: &RecordFile,
    edits: &[Edit],
    was: Option<&str>,
) -> Result<Changed, HangarError> {
    let (path, source) = read(hangar, file)?;
    if was.is_some_and(|was| was != hash_of(&source.text)) {
        return Err(HangarError::declined(
            say!("{} was changed by another hand meanwhile", source.name),
            say!("look at it again, then do the same once more"),
        ));
    }
    let text = edited(&source.text, edits).map_err(|fault| HangarError::declined(fault.why, fault.next))?;
    let after = Source::new(&source.name, text);
    let mut file = file.clone();
    let faults = file.faults(&after);
    if !faults.is_empty() {
        return Err(HangarError::Files(faults));
    }
    let before = Sheet::read(file.clone(), &source);
    match &mut file {
        RecordFile::Airframe(name) => {
            let registration = registration_of(&after.text);
            may_be_called(hangar, &before, &registration, &path)?;
            may_lose_reports(hangar, &before, &Sheet::read(RecordFile::Airframe(name.clone()), &after))?;
            *name = registration;
        }
        RecordFile::People => may_lose_people(hangar, &before, &Sheet::read(RecordFile::People, &after))?,
        RecordFile::Instruments => {}
    }
    Ok(Changed { path, file, before: source, after })
}

fn registration_of(text: &str) -> String {
    let fields: Vec<_> = AIRFRAME.iter().filter(|field| field.key == "registration").copied().collect();
    typed_head(text, &fields).ok().and_then(|mut values| values.pop()).unwrap_or_default()
}

/// `XX-VA7.toml`: capital letters and figures of every script, hyphens for the rest; never a path.
fn file_name(registration: &str) -> Result<String, HangarError> {
    let safe: String =
        registration.to_uppercase().chars().map(|c| if c.is_alphanumeric() { c } else { '-' }).collect();
    let safe = safe.trim_matches('-');
    if safe.is_empty() || safe.chars().count() > 40 {
        return Err(HangarError::declined(
            say!("\"{registration}\" is no registration", registration = registration),
            say!("type it as it stands on the airframe, such as XX-VA7"),
        ));
    }
    // Some systems keep these names for devices.
    let name = safe.to_lowercase();
    let is_device = ["con", "prn", "aux", "nul"].contains(&name.as_str())
        || (name.len() == 4 && (name.starts_with("com") || name.starts_with("lpt")));
    Ok(format!("{}{safe}.toml", if is_device { "airframe-" } else { "" }))
}

fn is_taken(hangar: &Hangar, registration: &str, own: Option<&Path>) -> bool {
    hangar.airframes.iter().any(|file| {
        own.is_none_or(|own| Path::new(&file.source.name) != own)
            && (file.name().eq_ignore_ascii_case(registration)
                || registration_of(&file.source.text).eq_ignore_ascii_case(registration))
    })
}

/// The sessions of an airframe are found by its registration: a record with another one would lose them.
fn may_be_called(
    hangar: &Hangar,
    before: &Sheet,
    registration: &str,
    path: &Path,
) -> Result<(), HangarError> {
    let earlier = before.head_value("registration");
    if earlier == registration {
        return Ok(());
    }
    if is_taken(hangar, registration, Some(path)) {
        return Err(HangarError::declined(
            say!("there is a record of {registration} already", registration = registration),
            say!("a registration has one record; correct the one that is wrong"),
        ));
    }
    let sessions = summaries(hangar);
    if sessions.iter().any(|session| session.registration.eq_ignore_ascii_case(earlier)) {
        return Err(HangarError::declined(
            say!("there are sessions of {earlier}, which are found by that registration", earlier = earlier),
            say!("keep the registration; an airframe that was registered anew gets a record of its own"),
        ));
    }
    if !earlier.is_empty() && sessions.iter().any(|session| session.registration == "?") {
        return Err(HangarError::declined(
            say!("a session cannot be read, and may be one of {earlier}", earlier = earlier),
            say!("keep the registration until that session can be read"),
        ));
    }
    Ok(())
}

/// A running session was composed from its reports: the record must go on showing them.
fn may_lose_reports(hangar: &Hangar, before: &Sheet, after: &Sheet) -> Result<(), HangarError> {
    let gone = gone(before, after, "report");
    if gone.is_empty() {
        return Ok(());
    }
    let registration = before.head_value("registration");
    for session in summaries(hangar) {
        let is_under_way = session.is_under_way();
        if !is_under_way || !session.registration.eq_ignore_ascii_case(registration) {
            continue;
        }
        let plan = Viewing::open(hangar, &session.sid)?.plan;
        if let Some(id) = gone.iter().find(|id| plan.reports.iter().any(|report| report.id == **id)) {
            return Err(HangarError::declined(
                say!("the annual begun {} was composed from report {id}", session.begun, id = id),
                say!("finish that annual; a report that turns out wrong is set aside there, in writing"),
            ));
        }
    }
    Ok(())
}

/// Whoever appears in a session or holds a key stays in the register: signatures and names are checked against it.
fn may_lose_people(hangar: &Hangar, before: &Sheet, after: &Sheet) -> Result<(), HangarError> {
    let gone = gone(before, after, PEOPLE.key);
    if gone.is_empty() {
        return Ok(());
    }
    let stays = say!("leave the person in the register; an authorisation that ended is told by its date");
    for person in &gone {
        if before.entries_of(PEOPLE.key).any(|entry| entry.name() == person && entry.keys > 0) {
            return Err(HangarError::declined(
                say!("{person} holds a key, by which old signatures are checked", person = person),
                say!(
                    "{stays}; a key is ended with: spanwise key end {person}",
                    stays = stays,
                    person = person
                ),
            ));
        }
    }
    for session in summaries(hangar) {
        if session.is_unfinished() {
            continue;
        }
        let view = Viewing::open(hangar, &session.sid).map_err(|error| {
            HangarError::declined(
                say!("a session cannot be read, so who appears in it is not known: {}", error.parts().0),
                stays,
            )
        })?;
        let appears = |id: &&String| {
            view.entries.iter().any(|entry| entry.event.actor().is_some_and(|actor| actor.id == **id))
        };
        if let Some(person) = gone.iter().find(appears) {
            return Err(HangarError::declined(
                say!(
                    "{person} appears in the session of {} begun {}",
                    session.registration,
                    session.begun,
                    person = person
                ),
                stays,
            ));
        }
    }
    Ok(())
}

/// Names of a list that the new text has no longer: taken out, or called otherwise.
fn gone(before: &Sheet, after: &Sheet, list: &str) -> Vec<String> {
    let stays = |name: &str| after.entries_of(list).any(|entry| entry.name() == name);
    let names = before.entries_of(list).map(|entry| entry.name().to_string());
    names.filter(|name| !name.is_empty() && !stays(name)).collect()
}

/// What [`init`] did with one file or folder.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Made {
    pub path: PathBuf,
    /// False where it was there already, and was left as it is.
    pub is_new: bool,
}

const PEOPLE_TEXT: &str = include_str!("blank/people.toml");
const INSTRUMENTS_TEXT: &str = include_str!("blank/instruments.toml");

/// Makes the folders and the registers of a hangar, empty but for a commented example. What is there stays.
///
/// # Errors
/// The disk refuses.
pub fn init(hangar: &Hangar) -> Result<Vec<Made>, HangarError> {
    let _lock = lock(hangar)?;
    let disk = hangar.disk.as_ref();
    let failed = |error| HangarError::store(&error, say!("name another folder, or make room"));
    let mut made = Vec::new();
    let folders = [hangar.folder.airframes(), hangar.folder.checklists(), hangar.sessions_folder()];
    for path in folders {
        made.push(Made { is_new: !path.exists(), path });
    }
    hangar.folder.ensure(disk).map_err(failed)?;
    let registers = [(hangar.folder.people(), PEOPLE_TEXT), (hangar.folder.instruments(), INSTRUMENTS_TEXT)];
    for (path, text) in registers {
        let is_new = !path.exists();
        if is_new {
            create(disk, &path, text.as_bytes()).map_err(failed)?;
        }
        made.push(Made { path, is_new });
    }
    Ok(made)
}
