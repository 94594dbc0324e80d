//! Installed checklist packs: a folder below `checklists/` that is there whole or not at all; packs read and written.

use std::collections::BTreeSet;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::disk::{Disk, DiskResult, LockGuard, StoreError, write_new};
use super::folders::{Hangar, ensure_chain, new_session_id};
use super::session_dir::UNFINISHED;

/// An installed pack's folder begins with it: `checklists/from-<name>-<16 hex>/<id>/<version>.toml`.
const FROM: &str = "from-";
/// Where the editions of a pack came from. No `.toml`: it must not be read as a checklist.
pub const ORIGIN: &str = "origin.json";
/// The pack itself, as it was installed.
pub const KEPT: &str = "kept.pack";
/// An origin has a few kilobytes; 256 editions have about 60.
const MAX_ORIGIN: u64 = 256 * 1024;

/// Held while a pack is installed, so that two programs cannot both find an edition missing.
///
/// # Errors
/// Another program installs a pack, or the folder cannot be made.
pub fn lock(disk: &dyn Disk, hangar: &Hangar) -> DiskResult<Box<dyn LockGuard>> {
    ensure_chain(disk, &hangar.packs())?;
    ensure_chain(disk, &hangar.checklists())?;
    disk.lock(&hangar.packs().join("lock"))
}

/// The name of an installed pack's folder. Both parts are checked words.
pub fn folder_name(name: &str, sha256: &str) -> String {
    format!("{FROM}{name}-{}", sha256.get(..16).unwrap_or(sha256))
}

/// Puts a folder of files below `checklists/`: all of them are written and flushed in a place that nobody reads, then
/// one rename brings them in. `files` are relative names with one folder at most.
///
/// # Errors
/// The step that failed; nothing is installed then. What an interruption leaves lies under `packs/` and is read by
/// nobody.
pub fn put_folder(
    disk: &dyn Disk,
    hangar: &Hangar,
    name: &str,
    files: &[(String, Vec<u8>)],
) -> DiskResult<PathBuf> {
    let staging = hangar.packs().join(format!("{UNFINISHED}{}", new_session_id()?));
    disk.create_dir(&staging)?;
    let folders: BTreeSet<&str> =
        files.iter().filter_map(|(name, _)| name.split_once('/').map(|(folder, _)| folder)).collect();
    for folder in &folders {
        disk.create_dir(&staging.join(folder))?;
    }
    for (name, bytes) in files {
        write_new(disk, &staging.join(name), bytes)?;
    }
    for folder in folders {
        disk.sync_dir(&staging.join(folder))?;
    }
    disk.sync_dir(&staging)?;
    disk.sync_dir(&hangar.packs())?;
    let place = hangar.checklists().join(name);
    disk.rename_noreplace(&staging, &place)?;
    disk.sync_dir(&hangar.checklists())?;
    disk.sync_dir(&hangar.packs())?;
    Ok(place)
}

/// The folders of installed packs with their origins, by name. One whose origin cannot be read has its error.
pub fn installed(hangar: &Hangar) -> Vec<(PathBuf, Result<Vec<u8>, StoreError>)> {
    let Ok(entries) = std::fs::read_dir(hangar.checklists()) else { return Vec::new() };
    let mut folders: Vec<PathBuf> = entries
        .filter_map(Result::ok)
        .filter(|entry| entry.file_name().to_string_lossy().starts_with(FROM))
        .map(|entry| entry.path())
        .filter(|path| path.is_dir())
        .collect();
    folders.sort();
    folders
        .into_iter()
        .map(|folder| {
            let path = folder.join(ORIGIN);
            let read = read_at_most(&path, MAX_ORIGIN);
            (folder, read)
        })
        .collect()
}

/// Whether an edition's file, `<folder>/<id>/<version>.toml`, lies in the folder of an installed pack.
pub fn is_installed(file: &Path) -> bool {
    let folder = file.parent().and_then(Path::parent).filter(|folder| folder.join(ORIGIN).is_file());
    folder.and_then(Path::file_name).is_some_and(|name| name.to_string_lossy().starts_with(FROM))
}

/// Reads a file whole, never more than `most` bytes.
///
/// # Errors
/// It cannot be read, is no file, or is larger.
pub fn read_at_most(path: &Path, most: u64) -> DiskResult<Vec<u8>> {
    let too_large = |size: &str| {
        let words = say!("it has {size} bytes, and at most {most} are read", size = size, most = most);
        StoreError::said(
            "read",
            path,
            ErrorKind::FileTooLarge,
            &words,
            mark!("check that it is the right file"),
        )
    };
    if path.is_dir() {
        let words = mark!("it is a folder");
        return Err(StoreError::said("read", path, ErrorKind::IsADirectory, words, mark!("name a file")));
    }
    super::texts::read_whole(path, most, too_large, |error| StoreError::new("read", path, error))
}

/// Writes a pack where nothing is yet: temporary file, flush, rename, flush of the folder.
///
/// # Errors
/// Something of that name is there, or the disk refuses; then nothing of that name was made.
pub fn write_out(path: &Path, bytes: &[u8]) -> DiskResult<()> {
    let failed = |error| StoreError::new("write", path, error);
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    let mut file = tempfile::NamedTempFile::new_in(folder).map_err(failed)?;
    std::io::Write::write_all(&mut file, bytes).map_err(failed)?;
    super::keys::open_to_read(&file, path).map_err(failed)?;
    file.as_file().sync_all().map_err(failed)?;
    file.persist_noclobber(path).map_err(|error| failed(error.error))?;
    std::fs::File::open(folder).and_then(|folder| folder.sync_all()).map_err(failed)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::SimDisk;
    use crate::store::sim_disk::SimFault;

    fn names(disk: &SimDisk, folder: &Path) -> Vec<String> {
        disk.list(folder).map(|items| items.into_iter().map(|item| item.name).collect()).unwrap_or_default()
    }

    /// After a power cut at any call, and after a failure of any call, the pack is there whole or not at all.
    #[test]
    fn whole_or_not_at_all() {
        let hangar = Hangar::at("/hangar");
        let files = [
            ("fin/1.0.0.toml".to_string(), b"one".to_vec()),
            ("fin/1.1.0.toml".to_string(), b"two".to_vec()),
            ("boom/1.0.0.toml".to_string(), b"three".to_vec()),
            (ORIGIN.to_string(), b"{}".to_vec()),
        ];
        let is_whole = |image: &SimDisk| {
            let place = hangar.checklists().join("from-x");
            if !image.exists(&place).unwrap() {
                return false;
            }
            for (name, bytes) in &files {
                assert_eq!(&image.read(&place.join(name)).unwrap(), bytes, "{name}");
            }
            true
        };
        let (mut before, mut after, mut call) = (0, 0, 0);
        loop {
            let disk = SimDisk::new();
            ensure_chain(&disk, &hangar.packs()).unwrap();
            ensure_chain(&disk, &hangar.checklists()).unwrap();
            disk.fail_at(disk.calls() + call, SimFault::power_off());
            let made = put_folder(&disk, &hangar, "from-x", &files);
            for image in disk.crash_images(call) {
                match is_whole(&image) {
                    true => after += 1,
                    false => {
                        before += 1;
                        assert!(made.is_err(), "it was reported as installed and is gone");
                        assert_eq!(names(&image, &hangar.checklists()), Vec::<String>::new());
                    }
                }
            }
            if made.is_ok() {
                break;
            }
            call += 1;
        }
        assert!(call > 15 && before > 100 && after > 0, "{call} {before} {after}");
    }
}
