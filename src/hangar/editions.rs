//! The folder's own checklists: editions, drafts that take part in no plan, and the register of what was issued.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;
use semver::Version;

use super::{Hangar, HangarError, packs};
use crate::checklist::{Checklist, read_checklist};
use crate::diagnostic::{Diagnostic, Source, suggest};
use crate::edition::{DRAFT, Issued, REGISTER, VersionStep, check_kept, is_draft, read_register, with_value};
use crate::store::Hangar as Folder;
use crate::store::replace::replace;
use crate::store::texts::{absolute, read_text, read_toml_files};

/// What lies in `checklists/` of a hangar.
pub struct OwnChecklists {
    /// Files that stand for an edition.
    pub editions: Vec<Arc<Source>>,
    pub drafts: Vec<Arc<Source>>,
    /// The register's text, empty where there is none yet.
    pub register: Arc<Source>,
    pub issued: Vec<Issued>,
    /// Files that cannot be read, a faulty register, issued or installed editions that were altered or are missing.
    pub faults: Vec<Diagnostic>,
}

/// Reads the folder's checklist files without reading what they say; the register and its hashes are checked.
pub fn own_checklists(folder: &Folder) -> OwnChecklists {
    let root = folder.checklists();
    let register_path = root.join(REGISTER);
    let register_name = register_path.to_string_lossy().into_owned();
    let (all, unreadable) = read_toml_files(&root);
    let (drafts, editions): (Vec<_>, Vec<_>) =
        all.into_iter().filter(|source| source.name != register_name).partition(|source| is_draft(source));
    // A draft that cannot be read takes part in nothing.
    let mut faults: Vec<Diagnostic> =
        unreadable.into_iter().filter(|fault| !fault.place.source.name.ends_with(DRAFT)).collect();
    let is_unreadable = faults.iter().any(|fault| fault.place.source.name == register_name);
    let register = match register_path.exists() && !is_unreadable {
        true => read_text(&register_path, &register_name).unwrap_or_else(|fault| {
            faults.push(fault);
            Source::new(register_name, "")
        }),
        false => Source::new(register_name, ""),
    };
    let issued = read_register(&register).unwrap_or_else(|found| {
        faults.extend(found);
        Vec::new()
    });
    faults.extend(check_kept(&register, &issued, &editions));
    faults.extend(packs::altered(folder));
    OwnChecklists { editions, drafts, register, issued, faults }
}

/// A checklist that a person named: a file, `id@version`, or an id for its newest edition.
///
/// # Errors
/// The file's faults; an id or version that the library does not have, with what it has.
pub fn find_edition(hangar: &Hangar, name: &str) -> Result<Arc<Checklist>, HangarError> {
    let path = Path::new(name);
    if path.exists() || name.ends_with(".toml") {
        let source = read_text(path, name).map_err(|fault| HangarError::Files(vec![fault]))?;
        return Ok(Arc::new(read_checklist(&source)?));
    }
    let library = hangar.library();
    let (id, version) = match name.split_once('@') {
        Some((id, version)) => {
            let parsed = Version::parse(version).map_err(|error| {
                HangarError::declined(
                    format!("\"{version}\" is no version: {error}"),
                    "write it like fin-root@1.0.0",
                )
            })?;
            (id, Some(parsed))
        }
        None => (name, None),
    };
    let versions = library.versions(id);
    let wanted = version.as_ref().or(versions.last().copied());
    let found = wanted.and_then(|version| library.edition(id, version));
    found.cloned().ok_or_else(|| {
        if versions.is_empty() {
            let hint = suggest(id, library.ids());
            let next = "name a file, or an edition of the library: spanwise edition list".to_string();
            return HangarError::not_found(format!("there is no checklist \"{id}\""), hint.unwrap_or(next));
        }
        let list: Vec<String> = versions.iter().map(ToString::to_string).collect();
        HangarError::not_found(format!("there is no {name}"), format!("at hand: {}", list.join(", ")))
    })
}

/// Puts a draft of the newest edition, or of `from`, into the folder, with the version wanted and today as date of issue;
/// everything else, comments too, stays as it is. Without a version it is the next minor one.
///
/// # Errors
/// There is a draft already; no such edition; the disk refuses.
pub fn begin_draft(hangar: &Hangar, from: &str, version: Option<Version>) -> Result<PathBuf, HangarError> {
    let base = find_edition(hangar, from)?;
    let path = hangar.folder.checklists().join(&base.id.value).join(DRAFT);
    if path.exists() {
        return Err(HangarError::declined(
            format!("there is a draft of {} already: {}", base.id.value, path.display()),
            "go on with it, or move it away",
        ));
    }
    let version = version.unwrap_or_else(|| VersionStep::Minor.after(&base.version.value));
    let text = stamped(&base.source.text, &version, hangar.today())?;
    replace(hangar.disk.as_ref(), &path, text.as_bytes())
        .map_err(|error| HangarError::store(&error, "nothing was changed"))?;
    Ok(path)
}

/// The text with another version and date of issue in its head.
pub(super) fn stamped(text: &str, version: &Version, on: NaiveDate) -> Result<String, HangarError> {
    with_value(text, "version", &format!("\"{version}\""))
        .and_then(|text| with_value(&text, "issued", &on.to_string()))
        .map_err(|why| HangarError::declined(why, "correct the file first"))
}

/// The entry by which a file was issued, where a register two folders above it has one; a draft has none.
///
/// # Errors
/// The register there cannot be read: then nobody knows, and the file is better left alone.
pub fn issued_as(file: &Path, id: &str, version: &Version) -> Result<Option<Issued>, HangarError> {
    if file.file_name().is_some_and(|name| name == DRAFT) {
        return Ok(None);
    }
    let folder = absolute(file).and_then(|file| file.parent()?.parent().map(Path::to_path_buf));
    let Some(register) = folder.map(|folder| folder.join(REGISTER)).filter(|register| register.exists())
    else {
        return Ok(None);
    };
    let source =
        read_text(&register, &register.to_string_lossy()).map_err(|fault| HangarError::Files(vec![fault]))?;
    let entries = read_register(&source)?;
    Ok(entries.into_iter().find(|entry| entry.id == id && entry.version == *version))
}
