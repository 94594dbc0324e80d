//! How the screens looked last, in the user's folder for settings: a convenience, no record.

use std::path::{Path, PathBuf};

use super::StoreError;
use super::unpack::write_file;

const NAME: &str = "look.txt";
/// Longer ones are none of ours.
const MOST_BYTES: usize = 4096;

fn folder() -> Option<PathBuf> {
    Some(directories::ProjectDirs::from("", "", "spanwise")?.config_dir().to_path_buf())
}

/// What was kept; nothing where nothing was, or where it cannot be read.
pub fn kept() -> Option<String> {
    kept_in(&folder()?)
}

/// Keeps the text for the next time.
///
/// # Errors
/// There is no such folder, or it cannot be written.
pub fn keep(text: &str) -> Result<(), String> {
    let folder = folder().ok_or(say!("this account has no folder for settings"))?;
    keep_in(&folder, text).map_err(|error| error.to_string())
}

fn kept_in(folder: &Path) -> Option<String> {
    std::fs::read_to_string(folder.join(NAME)).ok().filter(|text| text.len() <= MOST_BYTES)
}

fn keep_in(folder: &Path, text: &str) -> Result<(), StoreError> {
    // Whole or not at all: written beside it first.
    let (path, unfinished) = (folder.join(NAME), folder.join("look.tmp"));
    write_file(&unfinished, text.as_bytes())?;
    std::fs::rename(&unfinished, &path).map_err(|error| StoreError::new("keep the file", &path, error))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn kept_in_a_folder_that_was_not_there() {
        let place = tempfile::tempdir().unwrap();
        let folder = place.path().join("settings/spanwise");
        assert_eq!(kept_in(&folder), None);
        keep_in(&folder, "theme = sun\n").unwrap();
        keep_in(&folder, "theme = dark\n").unwrap();
        assert_eq!(kept_in(&folder).as_deref(), Some("theme = dark\n"));
        assert!(keep_in(&place.path().join("no\0name"), "x").is_err());
    }
}
