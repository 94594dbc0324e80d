//! Files that a person asks for, outside of the hangar: written new, never over another one.

use std::io::ErrorKind;
use std::path::Path;

use super::disk::{Disk, StoreError, write_new};

/// Writes a new durable file.
///
/// # Errors
/// Something of that name is there, the folder is missing, or the disk refuses.
pub fn write_export(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> Result<(), StoreError> {
    if disk.exists(path)? {
        return Err(StoreError::said(
            "write the file",
            path,
            ErrorKind::AlreadyExists,
            mark!("something of that name is there"),
            mark!("it was left as it is; give another name"),
        ));
    }
    // Closed before its folder is made durable.
    drop(write_new(disk, path, bytes)?);
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    disk.sync_dir(folder)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::RealDisk;

    #[test]
    fn a_file_is_written_once_and_never_over_another() {
        let folder = tempfile::tempdir().expect("a folder");
        let path = folder.path().join("brief.txt");
        write_export(&RealDisk, &path, b"one").expect("written");
        let refused = write_export(&RealDisk, &path, b"two").expect_err("taken");
        assert!(refused.to_string().contains("something of that name is there"), "{refused}");
        assert_eq!(RealDisk.read(&path).expect("read"), b"one");
        let nowhere = folder.path().join("no-folder").join("brief.txt");
        assert!(write_export(&RealDisk, &nowhere, b"one").is_err());
    }
}
