//! What is typed into forms and tables and not recorded yet, kept beside the record so that a killed program does
//! not lose it. It is no part of the record: nothing is judged, hashed or signed from it.
//!
//! It is written at each change and never synced: that outlives the program, not a power cut, and costs a write
//! into the system's memory instead of a wait for the disk at every key.

use std::io::ErrorKind;
use std::path::Path;

use super::StoreError;
use super::unpack::write_file;

const NAME: &str = "unsaved.txt";
/// Written whole first, so that what was kept before stays until then.
const UNFINISHED: &str = "unsaved.tmp";

/// Keeps the text in the session's folder; an empty one takes away what was kept.
///
/// # Errors
/// The file cannot be written or taken away.
pub fn keep(session: &Path, text: &str) -> Result<(), StoreError> {
    let path = session.join(NAME);
    if text.is_empty() {
        return match std::fs::remove_file(&path) {
            Err(error) if error.kind() != ErrorKind::NotFound => {
                Err(StoreError::new("remove the file", &path, error))
            }
            _ => Ok(()),
        };
    }
    let unfinished = session.join(UNFINISHED);
    if let Err(error) = write_file(&unfinished, text.as_bytes()) {
        // A full disk: half a text is worth less than the room.
        let _ = std::fs::remove_file(&unfinished);
        return Err(error);
    }
    std::fs::rename(&unfinished, &path).map_err(|error| StoreError::new("keep the file", &path, error))
}

/// What was kept; nothing where nothing was, or where it cannot be read.
pub fn kept(session: &Path) -> Option<String> {
    std::fs::read_to_string(session.join(NAME)).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kept_until_it_is_empty() {
        let place = tempfile::tempdir().unwrap();
        assert_eq!(kept(place.path()), None);
        keep(place.path(), "").unwrap();
        keep(place.path(), "one\n").unwrap();
        keep(place.path(), "two\n").unwrap();
        assert_eq!(kept(place.path()).as_deref(), Some("two\n"));
        keep(place.path(), "").unwrap();
        assert_eq!(kept(place.path()), None);
        assert!(keep(&place.path().join("no folder\0"), "x").is_err());
    }
}
