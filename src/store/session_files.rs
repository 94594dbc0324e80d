//! A session's folder read as an auditor finds it: every file, bounded, with nothing locked, healed or written.

use std::collections::BTreeMap;
use std::io::Read;
use std::path::Path;

use super::disk::{Disk, DiskResult, StoreError};
use super::plans::PLANS;
use super::session_dir::{EVIDENCE, JOURNAL, PLAN, REGISTER, UNFINISHED};
use super::texts::is_no_file;
use crate::journal::entry::is_session_id;
use crate::journal::hash::{Hash, Hasher};
use crate::journal::register::REGISTER_LEN;

/// Longest journal and longest plan that are read, bytes. An annual's journal has well under 10 MB.
const LARGEST: u64 = 512 * 1024 * 1024;
const CHUNK: usize = 64 * 1024;

/// What lies in a session's folder. `None`: there is no such file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SessionBytes {
    pub name: String,
    pub journal: Vec<u8>,
    pub register: Option<Vec<u8>>,
    pub plan: Option<Vec<u8>>,
    /// Later plans by the hash that their name claims.
    pub later_plans: BTreeMap<String, Vec<u8>>,
    /// Evidence files by the hash that their name claims: SHA-256 and size in bytes, or why it cannot be read.
    pub evidence: BTreeMap<String, Result<(Hash, u64), String>>,
}

/// What a folder of sessions holds.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Sessions {
    /// Names of the folders that hold a journal.
    pub sessions: Vec<String>,
    /// Names that an interrupted creation left.
    pub unfinished: Vec<String>,
}

/// Whether this is a session's folder: it holds a journal.
pub fn is_session(disk: &dyn Disk, dir: &Path) -> bool {
    disk.exists(&dir.join(JOURNAL)).unwrap_or(false)
}

/// The sessions of a folder, by name; also a session whose folder was renamed. A session's name without a journal
/// is listed too: its journal is gone.
///
/// # Errors
/// The folder cannot be listed.
pub fn sessions_in(disk: &dyn Disk, folder: &Path) -> DiskResult<Sessions> {
    let mut found = Sessions::default();
    for item in disk.list(folder)?.into_iter().filter(|item| item.is_dir) {
        match item.name.strip_prefix(UNFINISHED) {
            Some(sid) if is_session_id(sid) => found.unfinished.push(item.name),
            _ if is_session_id(&item.name) || is_session(disk, &folder.join(&item.name)) => {
                found.sessions.push(item.name);
            }
            _ => {}
        }
    }
    Ok(found)
}

/// Reads a session's folder. A writer may be at work: the register read belongs to the journal read.
///
/// # Errors
/// The journal cannot be read, or a file is larger than any that this program writes.
pub fn read_session(disk: &dyn Disk, dir: &Path) -> DiskResult<SessionBytes> {
    const TRIES: usize = 8;
    let register_path = dir.join(REGISTER);
    let register = || optional(read_bounded(disk, &register_path, 4 * REGISTER_LEN as u64));
    let mut before = register()?;
    let mut journal = read_bounded(disk, &dir.join(JOURNAL), LARGEST)?;
    for _ in 0..TRIES {
        let after = register()?;
        if after == before {
            break;
        }
        before = after;
        journal = read_bounded(disk, &dir.join(JOURNAL), LARGEST)?;
    }
    let full = std::path::absolute(dir).unwrap_or_else(|_| dir.to_path_buf());
    Ok(SessionBytes {
        name: full.file_name().unwrap_or_default().to_string_lossy().into_owned(),
        journal,
        register: before,
        plan: optional(read_bounded(disk, &dir.join(PLAN), LARGEST))?,
        later_plans: later_plans(disk, &dir.join(PLANS))?,
        evidence: evidence(disk, &dir.join(EVIDENCE)),
    })
}

fn optional<T>(read: DiskResult<T>) -> DiskResult<Option<T>> {
    match read {
        Ok(found) => Ok(Some(found)),
        Err(error) if error.is_not_found() => Ok(None),
        Err(error) => Err(error),
    }
}

/// A device or a pipe in the place of a file may have no end.
fn open(disk: &dyn Disk, path: &Path) -> DiskResult<Box<dyn Read + Send>> {
    if is_no_file(path) {
        let hint = mark!("look at what lies there; a session's folder holds plain files only");
        return Err(StoreError::said(
            "read",
            path,
            std::io::ErrorKind::InvalidInput,
            mark!("it is no file"),
            hint,
        ));
    }
    disk.open_read(path)
}

fn read_bounded(disk: &dyn Disk, path: &Path, most: u64) -> DiskResult<Vec<u8>> {
    let mut bytes = Vec::new();
    let failed = |error| StoreError::new("read", path, error);
    open(disk, path)?.take(most + 1).read_to_end(&mut bytes).map_err(failed)?;
    if bytes.len() as u64 > most {
        let words = say!("it has more than {most} bytes", most = most);
        let hint = mark!("no session has such a file; look at what lies there");
        return Err(StoreError::said("read", path, std::io::ErrorKind::FileTooLarge, &words, hint));
    }
    Ok(bytes)
}

fn later_plans(disk: &dyn Disk, folder: &Path) -> DiskResult<BTreeMap<String, Vec<u8>>> {
    let mut found = BTreeMap::new();
    for item in disk.list(folder).unwrap_or_default() {
        if let Some(hash) = item.name.strip_suffix(".json").filter(|hash| hash.parse::<Hash>().is_ok()) {
            found.insert(hash.to_string(), read_bounded(disk, &folder.join(&item.name), LARGEST)?);
        }
    }
    Ok(found)
}

/// Every evidence file hashed; films are large, so none is held in memory.
fn evidence(disk: &dyn Disk, folder: &Path) -> BTreeMap<String, Result<(Hash, u64), String>> {
    let mut found = BTreeMap::new();
    for shelf in disk.list(folder).unwrap_or_default().into_iter().filter(|item| item.is_dir) {
        let dir = folder.join(&shelf.name);
        for item in disk.list(&dir).unwrap_or_default().into_iter().filter(|item| !item.is_dir) {
            if item.name.parse::<Hash>().is_ok() && item.name.starts_with(&shelf.name) {
                let read = hash_of(disk, &dir.join(&item.name)).map_err(|error| error.source.to_string());
                found.insert(item.name, read);
            }
        }
    }
    found
}

fn hash_of(disk: &dyn Disk, path: &Path) -> DiskResult<(Hash, u64)> {
    let (mut source, mut hasher, mut size) = (open(disk, path)?, Hasher::new(), 0);
    let mut buffer = vec![0; CHUNK];
    loop {
        match source.read(&mut buffer) {
            Ok(0) => return Ok((hasher.finish(), size)),
            Ok(count) => {
                hasher.update(&buffer[..count]);
                size += count as u64;
            }
            Err(error) if error.kind() == std::io::ErrorKind::Interrupted => {}
            Err(error) => return Err(StoreError::new("read", path, error)),
        }
    }
}
