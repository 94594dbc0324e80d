//! How a session begins: its first entry alone, read without judging or folding the rest.

use std::path::Path;

use super::Hangar;
use crate::event::{Event, Opened};
use crate::journal::Entry;
use crate::store::session_dir::first_entry;
use crate::store::{Disk, SessionFolder};

/// The first entry of the session in this folder. `None` where it cannot be read or is no beginning.
pub(super) fn opening_entry(disk: &dyn Disk, dir: &Path) -> Option<(Entry, Opened)> {
    let first = first_entry(disk, dir).ok()??;
    match Event::from_parts(&first.kind, &first.body) {
        Ok(Event::Opened(opened)) => Some((first, opened)),
        _ => None,
    }
}

/// Every other whole session of the hangar with its first entry.
pub(super) fn others(hangar: &Hangar, sid: &str) -> Vec<(SessionFolder, Entry, Opened)> {
    let folders = hangar.folder.list_sessions(hangar.disk.as_ref()).unwrap_or_default();
    let whole = folders.into_iter().filter(|folder| folder.finished && folder.sid != sid);
    whole
        .filter_map(|folder| {
            let (first, opened) = opening_entry(hangar.disk.as_ref(), &folder.path)?;
            Some((folder, first, opened))
        })
        .collect()
}
