//! Later plans of a session, each kept under its own hash: `plans/<64 hex>.json`. The first plan is `plan.json`.

use std::collections::BTreeMap;
use std::io::ErrorKind;
use std::path::{Path, PathBuf};

use super::disk::{Disk, DiskResult, StoreError, write_new};
use super::session_dir::UNFINISHED;
use super::writer::Writer;
use crate::journal::hash::{Hash, sha256};

pub const PLANS: &str = "plans";

impl Writer {
    /// Keeps a later plan in the session. When this returns, the plan is durable and a line may cite its SHA-256.
    /// Doing it again changes nothing; what an interruption leaves of it is cited by no line and does no harm.
    ///
    /// # Errors
    /// The disk refuses, or a changed file already stands under the same hash.
    pub fn put_plan(&mut self, bytes: &[u8]) -> DiskResult<Hash> {
        put(&*self.disk, &self.dir, bytes)
    }
}

/// Where the plan with this hash lies in a session's folder.
pub fn path_of(dir: &Path, hash: &Hash) -> PathBuf {
    dir.join(PLANS).join(format!("{hash}.json"))
}

/// Reads the plans named by their hash (64 lower-case hexadecimal characters). One that is missing is not in the
/// answer.
///
/// # Errors
/// A plan that is there and cannot be read, or whose content is not what its name says.
pub fn read_plans(disk: &dyn Disk, dir: &Path, wanted: &[String]) -> DiskResult<BTreeMap<String, Vec<u8>>> {
    let mut found = BTreeMap::new();
    for name in wanted {
        // A name that is no hash names no plan; it must not lead to another file either.
        let Ok(hash) = name.parse::<Hash>() else { continue };
        match read_one(disk, &path_of(dir, &hash), &hash) {
            Err(e) if e.is_not_found() => {}
            read => drop(found.insert(name.clone(), read?)),
        }
    }
    Ok(found)
}

fn read_one(disk: &dyn Disk, path: &Path, hash: &Hash) -> DiskResult<Vec<u8>> {
    let bytes = disk.read(path)?;
    if sha256(&bytes) == *hash { Ok(bytes) } else { Err(changed(path)) }
}

fn changed(path: &Path) -> StoreError {
    StoreError::said(
        "use the plan",
        path,
        ErrorKind::InvalidData,
        mark!("its content has changed since it was kept: it does not have the hash that is its name"),
        mark!("take the file from a copy of this session; until then the session cannot be judged"),
    )
}

/// Temporary file, sync, rename, sync of the folder: the name never stands for a part of a plan.
pub(super) fn put(disk: &dyn Disk, dir: &Path, bytes: &[u8]) -> DiskResult<Hash> {
    let hash = sha256(bytes);
    let folder = dir.join(PLANS);
    if !disk.exists(&folder)? {
        disk.create_dir(&folder)?;
    }
    // Also where the folder was there: an earlier run may have stopped before this.
    disk.sync_dir(dir)?;
    let path = path_of(dir, &hash);
    if disk.exists(&path)? {
        read_one(disk, &path, &hash)?;
    } else {
        let temporary = folder.join(format!("{UNFINISHED}{hash}"));
        if disk.exists(&temporary)? {
            // Left by an interruption. A new file is made, because a flush of the old one that failed once proves
            // nothing when it succeeds later.
            disk.remove_file(&temporary)?;
        }
        write_new(disk, &temporary, bytes)?;
        disk.rename_noreplace(&temporary, &path)?;
    }
    disk.sync_dir(&folder)?;
    Ok(hash)
}

/// The plans in a session's folder that can be read and are what their names say; never fails.
pub(super) fn readable(disk: &dyn Disk, dir: &Path) -> BTreeMap<Hash, Vec<u8>> {
    let items = disk.list(&dir.join(PLANS)).unwrap_or_default();
    let hashes = items.iter().filter_map(|item| item.name.strip_suffix(".json")?.parse::<Hash>().ok());
    hashes.filter_map(|hash| Some((hash, read_one(disk, &path_of(dir, &hash), &hash).ok()?))).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::SimDisk;

    #[test]
    fn kept_under_the_hash_read_back_and_watched() {
        let disk = SimDisk::new();
        let dir = Path::new("/s");
        disk.create_dir(dir).unwrap();
        disk.sync_dir(Path::new("/")).unwrap();
        // FIPS 180-4 example value.
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!(put(&disk, dir, b"abc").unwrap().to_string(), expected);
        put(&disk, dir, b"abc").unwrap();
        let wanted = [expected.to_string(), "00".repeat(32), "../plan".to_string()];
        for image in disk.crash_images(1) {
            let found = read_plans(&image, dir, &wanted).unwrap();
            assert_eq!(found.into_iter().collect::<Vec<_>>(), [(expected.to_string(), b"abc".to_vec())]);
        }
        let path = path_of(dir, &expected.parse().unwrap());
        disk.overwrite(&path, b"abd");
        let error = read_plans(&disk, dir, &wanted).unwrap_err();
        assert!(error.path == path && error.to_string().contains("content has changed"), "{error}");
        assert!(put(&disk, dir, b"abc").is_err());
    }
}
