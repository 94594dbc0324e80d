//! Files that people and the program both edit: a new content is there whole or not at all.

use std::path::{Path, PathBuf};

use super::disk::{Disk, DiskResult, LockGuard, write_new};
use super::log::{self, Level};

/// Whoever edits records or registers of a folder holds the lock on this file.
const LOCK: &str = "records.lock";

/// Takes the lock under which the records and registers of a hangar folder are edited; the folder is made where it is
/// missing. An editor of texts knows nothing of it: that is what the look at the earlier text is for.
///
/// # Errors
/// Another program holds it (see [`super::StoreError::is_locked`]), or the disk refuses.
pub fn lock_records(disk: &dyn Disk, root: &Path) -> DiskResult<Box<dyn LockGuard>> {
    super::folders::ensure_chain(disk, root)?;
    disk.lock(&root.join(LOCK))
}

/// Puts a new content in the place of a file, or makes the file: temporary file, flush, rename, flush of the folder.
/// The caller holds [`lock_records`]: the temporary file has one name.
///
/// # Errors
/// The disk refuses; the earlier content is still there.
pub fn replace(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> DiskResult<()> {
    write_beside(disk, path, bytes, |temporary| disk.rename_replace(temporary, path))
}

/// The same for a file that must not be there yet.
///
/// # Errors
/// Something of that name is there, or the disk refuses.
pub fn create(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> DiskResult<()> {
    write_beside(disk, path, bytes, |temporary| disk.rename_noreplace(temporary, path))
}

fn write_beside(
    disk: &dyn Disk,
    path: &Path,
    bytes: &[u8],
    rename: impl Fn(&Path) -> DiskResult<()>,
) -> DiskResult<()> {
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    super::folders::ensure_chain(disk, folder)?;
    let temporary = beside(path);
    if disk.exists(&temporary)? {
        // What a killed program left; whoever had it never took it for written.
        disk.remove_file(&temporary)?;
    }
    let written = write_new(disk, &temporary, bytes).and_then(|_| rename(&temporary));
    if written.is_err() {
        // A full disk: half a text is worth less than the room. If that fails, too, the next writer removes it.
        let _ = disk.remove_file(&temporary);
        return written;
    }
    disk.sync_dir(folder)?;
    log::tell(Level::Info, || {
        let path = std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
        say!("{} written", path.display())
    });
    Ok(())
}

/// No `.toml` at its end: nobody reads it.
fn beside(path: &Path) -> PathBuf {
    let name = path.file_name().map_or_else(String::new, |name| name.to_string_lossy().into_owned());
    path.with_file_name(format!(".{name}.new"))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::sim_disk::SimFault;
    use crate::store::{RealDisk, SimDisk};

    /// After a power cut at any moment the old text is there whole, or the new one.
    #[test]
    fn a_power_cut_leaves_one_of_the_two_texts() {
        let path = Path::new("/hangar/people.toml");
        let (old, new) = (b"old text\n".as_slice(), b"new and longer text\n".as_slice());
        let (mut olds, mut news) = (0, 0);
        let mut at = 0;
        loop {
            let disk = SimDisk::new();
            replace(&disk, path, old).unwrap();
            disk.fail_at(disk.calls() + at, SimFault::power_off());
            let done = replace(&disk, path, new);
            for image in disk.crash_images(3) {
                match image.read(path).unwrap() {
                    text if text == old => olds += 1,
                    text if text == new => news += 1,
                    text => panic!("cut at call {at}: {:?}", String::from_utf8_lossy(&text)),
                }
                // And whoever comes next can write.
                replace(&image, path, b"third\n").unwrap();
                assert_eq!(image.read(path).unwrap(), b"third\n");
            }
            if done.is_ok() {
                break;
            }
            at += 1;
        }
        assert!(olds > 0 && news > 0, "{olds} {news}");
    }

    #[test]
    fn a_new_file_is_never_put_over_another() {
        let place = tempfile::tempdir().unwrap();
        let path = place.path().join("airframes/a.toml");
        create(&RealDisk, &path, b"one").unwrap();
        assert!(create(&RealDisk, &path, b"two").is_err());
        assert_eq!(std::fs::read(&path).unwrap(), b"one");
        replace(&RealDisk, &path, b"three").unwrap();
        let names: Vec<_> = std::fs::read_dir(path.parent().unwrap()).unwrap().collect();
        assert_eq!((std::fs::read(&path).unwrap().as_slice(), names.len()), (b"three".as_slice(), 1));
    }
}
