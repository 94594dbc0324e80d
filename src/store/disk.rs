//! What this program asks of a disk, so that a simulated one can lose, tear and refuse in its place.
//!
//! Every method of [`Disk`] and [`DiskFile`] is one call that a fault may hit. A write is durable only after the
//! file's sync; a name only after the sync of its folder.

use std::fmt::Debug;
use std::io::Read;
use std::path::Path;
use std::sync::Arc;

pub use super::error::StoreError;

pub type DiskResult<T> = Result<T, StoreError>;

/// A disk shared by the parts of a session.
pub type SharedDisk = Arc<dyn Disk>;

/// One name in a folder.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Item {
    pub name: String,
    pub is_dir: bool,
}

/// Held as long as the lock; dropping it releases. The system releases it too when the process dies.
pub trait LockGuard: Debug + Send + Sync {}

pub trait Disk: Debug + Send + Sync {
    /// Makes one folder. Fails if the name exists or the parent does not.
    fn create_dir(&self, path: &Path) -> DiskResult<()>;
    /// Makes an empty file for writing. Fails if the name exists.
    fn create_new(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>>;
    /// Opens an existing file whose [`DiskFile::append`] always writes at the end.
    fn open_append(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>>;
    /// Opens an existing file for [`DiskFile::pwrite`].
    fn open_update(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>>;
    /// Opens a file for reading it piece by piece.
    fn open_read(&self, path: &Path) -> DiskResult<Box<dyn Read + Send>>;
    /// The whole content of a file.
    fn read(&self, path: &Path) -> DiskResult<Vec<u8>>;
    /// Makes the names in a folder durable.
    fn sync_dir(&self, path: &Path) -> DiskResult<()>;
    /// Renames a file or folder. Fails if the new name exists.
    fn rename_noreplace(&self, from: &Path, to: &Path) -> DiskResult<()>;
    /// Renames a file over another one, which is replaced in one step and whose permissions it takes over.
    fn rename_replace(&self, from: &Path, to: &Path) -> DiskResult<()>;
    /// Removes a file (ballast and our own unfinished temporary files only; records are never removed).
    fn remove_file(&self, path: &Path) -> DiskResult<()>;
    fn exists(&self, path: &Path) -> DiskResult<bool>;
    /// The names in a folder, sorted.
    fn list(&self, path: &Path) -> DiskResult<Vec<Item>>;
    /// Takes the exclusive lock on a file (made if missing) without waiting; see [`StoreError::is_locked`].
    fn lock(&self, path: &Path) -> DiskResult<Box<dyn LockGuard>>;
    /// Bytes that may still be written at this place.
    fn free_space(&self, path: &Path) -> DiskResult<u64>;
    /// Whether this place is known to lie on a network file system, whose locks and syncs are not dependable.
    fn is_network(&self, path: &Path) -> DiskResult<bool>;
}

/// An open file. One handle is kept for the life of a session, because a system reports a failed write-out to the
/// handles that were open when it failed.
pub trait DiskFile: Debug + Send + Sync {
    /// Writes all bytes at the end, or fails having written any part of them.
    fn append(&mut self, bytes: &[u8]) -> DiskResult<()>;
    /// Writes all bytes at an offset, or fails having written any part of them.
    fn pwrite(&mut self, offset: u64, bytes: &[u8]) -> DiskResult<()>;
    /// Makes the content durable, and what is needed to read it back (fdatasync).
    fn sync_data(&mut self) -> DiskResult<()>;
    /// Makes content and all metadata durable (fsync).
    fn sync_all(&mut self) -> DiskResult<()>;
    /// Cuts the file to a length.
    fn truncate(&mut self, len: u64) -> DiskResult<()>;
}

/// Makes a new durable file: create, write, sync. The caller syncs the folder.
///
/// # Errors
/// The failing step; the name may then exist with any part of the content.
pub fn write_new(disk: &dyn Disk, path: &Path, bytes: &[u8]) -> DiskResult<Box<dyn DiskFile>> {
    let mut file = disk.create_new(path)?;
    if !bytes.is_empty() {
        file.append(bytes)?;
    }
    file.sync_all()?;
    Ok(file)
}
