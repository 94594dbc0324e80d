//! Writing whole files where nothing is at stake: the demo's copy, never a record.

use std::path::Path;

use super::StoreError;

/// True when the folder does not exist or holds nothing.
pub fn is_free(folder: &Path) -> bool {
    match std::fs::read_dir(folder) {
        Ok(mut entries) => entries.next().is_none(),
        Err(error) => error.kind() == std::io::ErrorKind::NotFound,
    }
}

/// Writes one file and the folders above it.
///
/// # Errors
/// The path that could not be written, and why.
pub fn write_file(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    if let Some(folder) = path.parent() {
        std::fs::create_dir_all(folder)
            .map_err(|error| StoreError::new("create the folder", folder, error))?;
    }
    std::fs::write(path, bytes).map_err(|error| StoreError::new("write the file", path, error))
}
