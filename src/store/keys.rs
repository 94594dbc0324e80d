//! Key files, on the disk whole or not at all, readable by their owner alone.

use std::io::ErrorKind;
use std::path::Path;

use super::disk::StoreError;

/// A key file is a few hundred bytes.
const MAX_KEY: u64 = 64 * 1024;

/// Reads a key file, never more than a key can have.
///
/// # Errors
/// It is missing, cannot be read, or is far too long.
pub fn read_key(path: &Path) -> Result<Vec<u8>, StoreError> {
    let failed = |error| StoreError::new("read the key", path, error);
    let length = std::fs::metadata(path).map_err(failed)?.len();
    if length > MAX_KEY || super::texts::is_no_file(path) {
        return Err(StoreError::said(
            "read the key",
            path,
            ErrorKind::InvalidData,
            mark!("it is no key file"),
            mark!("name a file made by spanwise key new or by ssh-keygen"),
        ));
    }
    std::fs::read(path).map_err(failed)
}

/// Writes a new key file that only its owner may read; never over another one.
///
/// # Errors
/// Something of that name is there, or the disk refuses.
pub fn write_key(path: &Path, text: &str) -> Result<(), StoreError> {
    if path.exists() {
        let taken = ErrorKind::AlreadyExists.into();
        return Err(StoreError::new("write the key", path, taken));
    }
    write_secret(path, text.as_bytes())
}

/// Temporary file, flush, rename, flush of the folder.
fn write_secret(path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    let failed = |error| StoreError::new("write", path, error);
    let folder = path.parent().unwrap_or(Path::new("."));
    std::fs::create_dir_all(folder).map_err(failed)?;
    // Made by tempfile with mode 0600.
    let mut file = tempfile::NamedTempFile::new_in(folder).map_err(failed)?;
    std::io::Write::write_all(&mut file, bytes).map_err(failed)?;
    file.as_file().sync_all().map_err(failed)?;
    file.persist(path).map_err(|error| failed(error.error))?;
    std::fs::File::open(folder).and_then(|folder| folder.sync_all()).map_err(failed)
}

#[cfg(unix)]
pub(super) fn open_to_read(file: &tempfile::NamedTempFile, path: &Path) -> std::io::Result<()> {
    use std::os::unix::fs::PermissionsExt;
    let mode = std::fs::metadata(path).map_or(0o644, |found| found.permissions().mode());
    file.as_file().set_permissions(std::fs::Permissions::from_mode(mode & 0o777))
}

#[cfg(not(unix))]
pub(super) fn open_to_read(_file: &tempfile::NamedTempFile, _path: &Path) -> std::io::Result<()> {
    Ok(())
}
