//! Evidence files (photographs, recordings), kept under their own hash so that a change shows.

use std::io::Read;
use std::path::{Path, PathBuf};

use super::disk::{Disk, DiskFile, DiskResult, SharedDisk, StoreError};
use super::session_dir::{EVIDENCE, UNFINISHED};
use crate::journal::hash::{Hash, Hasher};

const CHUNK: usize = 64 * 1024;

/// The evidence folder of one session.
#[derive(Debug, Clone)]
pub struct Evidence {
    disk: SharedDisk,
    session: PathBuf,
    root: PathBuf,
}

/// A file now durable in the session: its SHA-256 and its size in bytes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct StoredEvidence {
    pub hash: Hash,
    pub size: u64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EvidenceCheck {
    Present,
    Missing,
    Changed,
}

impl Evidence {
    pub fn new(disk: SharedDisk, session: &Path) -> Self {
        Evidence { disk, session: session.to_path_buf(), root: session.join(EVIDENCE) }
    }

    /// Where the file with this hash lies: `evidence/ab/<64 hex>`.
    pub fn path_of(&self, hash: &Hash) -> PathBuf {
        let name = hash.to_string();
        self.root.join(&name[..2]).join(name)
    }

    /// Copies a file in by its path on the same disk.
    ///
    /// # Errors
    /// As [`Evidence::add`], and a source that cannot be opened.
    pub fn add_file(&self, source: &Path) -> DiskResult<StoredEvidence> {
        self.add(&mut self.disk.open_read(source)?, source)
    }

    /// Streams a file in. When this returns `Ok` it is durable, and a line may cite it. `name` is for errors only.
    ///
    /// # Errors
    /// The source cannot be read, the disk refuses, or a changed file already stands under the same hash.
    pub fn add(&self, source: &mut dyn Read, name: &Path) -> DiskResult<StoredEvidence> {
        self.ensure_dir(&self.root, &self.session)?;
        let (mut file, temporary) = self.temporary()?;
        let outcome = self.fill(&mut *file, source, name).and_then(|found| self.place(found, &temporary));
        if outcome.is_err() {
            // Our own unfinished copy only takes room; if it cannot be removed either, it stays as `tmp-`.
            let _ = self.disk.remove_file(&temporary);
        }
        outcome
    }

    /// Copies every file that can be read and has its hash into another session's folder. How many, and which not
    /// and why; never fails, because the files of a failing disk are saved one by one.
    pub(super) fn copy_readable(&self, to: &Path) -> (usize, Vec<String>) {
        let target = Evidence::new(self.disk.clone(), to);
        let (mut copied, mut failed) = (0, Vec::new());
        let folders = match self.disk.list(&self.root) {
            Err(e) if e.is_not_found() => Vec::new(),
            Err(e) => return (0, vec![e.to_string()]),
            Ok(items) => items.into_iter().filter(|item| item.is_dir).collect(),
        };
        for folder in folders.iter().map(|item| self.root.join(&item.name)) {
            let files = self.disk.list(&folder);
            failed.extend(files.as_ref().err().map(StoreError::to_string));
            for hash in files.iter().flatten().filter_map(|item| item.name.parse::<Hash>().ok()) {
                let path = self.path_of(&hash);
                match self.check(&hash).and_then(|found| match found {
                    EvidenceCheck::Present => target.add_file(&path).map(|_| true),
                    EvidenceCheck::Missing | EvidenceCheck::Changed => Ok(false),
                }) {
                    Ok(true) => copied += 1,
                    Ok(false) => failed.push(say!("{}: its content has changed", path.display())),
                    Err(e) => failed.push(e.to_string()),
                }
            }
        }
        (copied, failed)
    }

    /// Takes away what an interrupted run left unfinished: our own temporary names, which no line cites. For the
    /// holder of the session's lock only. What cannot be removed stays and does no harm.
    pub(super) fn sweep(&self) {
        for item in self.disk.list(&self.root).unwrap_or_default() {
            let number = item.name.strip_prefix(UNFINISHED).and_then(|number| number.parse::<u32>().ok());
            if !item.is_dir && number.is_some() {
                let _ = self.disk.remove_file(&self.root.join(&item.name));
            }
        }
    }

    /// A fresh name, counted and not random, so that the same run makes the same names.
    fn temporary(&self) -> DiskResult<(Box<dyn DiskFile>, PathBuf)> {
        let taken = self.disk.list(&self.root)?;
        let free = |n: &u32| !taken.iter().any(|item| item.name == format!("{UNFINISHED}{n}"));
        let number = (0..u32::MAX).find(free).unwrap_or(u32::MAX);
        let path = self.root.join(format!("{UNFINISHED}{number}"));
        Ok((self.disk.create_new(&path)?, path))
    }

    fn fill(
        &self,
        file: &mut dyn DiskFile,
        source: &mut dyn Read,
        name: &Path,
    ) -> DiskResult<StoredEvidence> {
        let mut hasher = Hasher::new();
        let mut size = 0;
        let failed = |e| StoreError::new("read", name, e);
        each_chunk(source, failed, |piece| {
            hasher.update(piece);
            size += piece.len() as u64;
            file.append(piece)
        })?;
        file.sync_all()?;
        Ok(StoredEvidence { hash: hasher.finish(), size })
    }

    fn place(&self, found: StoredEvidence, temporary: &Path) -> DiskResult<StoredEvidence> {
        let target = self.path_of(&found.hash);
        let folder = target.parent().unwrap_or(&self.root);
        self.ensure_dir(folder, &self.root)?;
        match self.check(&found.hash)? {
            EvidenceCheck::Present => self.disk.remove_file(temporary)?,
            EvidenceCheck::Missing => self.disk.rename_noreplace(temporary, &target)?,
            EvidenceCheck::Changed => {
                return Err(StoreError::said(
                    "keep the evidence file",
                    &target,
                    std::io::ErrorKind::AlreadyExists,
                    mark!("a file with this name is there already and its content has changed"),
                    mark!(
                        "copy the session folder, then move the changed file out of the way and add the evidence again"
                    ),
                ));
            }
        }
        self.disk.sync_dir(folder)?;
        self.disk.sync_dir(&self.root)?;
        Ok(found)
    }

    /// The folder's own name is synced even if it was there: an earlier run may have stopped before that.
    fn ensure_dir(&self, path: &Path, parent: &Path) -> DiskResult<()> {
        if !self.disk.exists(path)? {
            self.disk.create_dir(path)?;
        }
        self.disk.sync_dir(parent)
    }

    /// Whether the file with this hash is there and still has this hash.
    ///
    /// # Errors
    /// It is there and cannot be read.
    pub fn check(&self, hash: &Hash) -> DiskResult<EvidenceCheck> {
        let path = self.path_of(hash);
        let mut source = match self.disk.open_read(&path) {
            Err(e) if e.is_not_found() => return Ok(EvidenceCheck::Missing),
            opened => opened?,
        };
        let mut hasher = Hasher::new();
        let failed = |e| StoreError::new("read", &path, e);
        each_chunk(&mut source, failed, |piece| {
            hasher.update(piece);
            Ok(())
        })?;
        Ok(if hasher.finish() == *hash { EvidenceCheck::Present } else { EvidenceCheck::Changed })
    }
}

/// Copies a file to a new name that nothing shows yet, durably, and checks that it has this hash. The caller
/// syncs the folder.
///
/// # Errors
/// The source cannot be read or has changed, or the disk refuses.
pub(super) fn copy_checked(disk: &dyn Disk, source: &Path, hash: &Hash, to: &Path) -> DiskResult<()> {
    let mut from = disk.open_read(source)?;
    let mut file = disk.create_new(to)?;
    let mut hasher = Hasher::new();
    let failed = |e| StoreError::new("read", source, e);
    each_chunk(&mut from, failed, |piece| {
        hasher.update(piece);
        file.append(piece)
    })?;
    if hasher.finish() != *hash {
        return Err(StoreError::said(
            "copy the evidence file",
            source,
            std::io::ErrorKind::InvalidData,
            mark!("its content has changed since it was taken in"),
            mark!("take the file from a copy of that session, or leave out what cites it"),
        ));
    }
    file.sync_all()
}

fn each_chunk(
    source: &mut dyn Read,
    failed: impl Fn(std::io::Error) -> StoreError,
    mut take: impl FnMut(&[u8]) -> DiskResult<()>,
) -> DiskResult<()> {
    let mut buffer = vec![0; CHUNK];
    loop {
        match source.read(&mut buffer) {
            Ok(0) => return Ok(()),
            Ok(count) => take(&buffer[..count])?,
            Err(e) if e.kind() == std::io::ErrorKind::Interrupted => {}
            Err(e) => return Err(failed(e)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::{Disk, RealDisk, SimDisk};
    use std::sync::Arc;

    fn exercise(disk: SharedDisk, session: &Path) -> StoredEvidence {
        let evidence = Evidence::new(disk.clone(), session);
        let stored = evidence.add(&mut &b"abc"[..], Path::new("photo")).unwrap();
        // FIPS 180-4 example value.
        let expected = "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad";
        assert_eq!((stored.hash.to_string().as_str(), stored.size), (expected, 3));
        assert!(evidence.path_of(&stored.hash).ends_with(format!("evidence/ba/{expected}")));
        assert_eq!(evidence.add(&mut &b"abc"[..], Path::new("again")).unwrap(), stored);
        assert_eq!(evidence.check(&stored.hash).unwrap(), EvidenceCheck::Present);
        assert_eq!(evidence.check(&Hash::ZERO).unwrap(), EvidenceCheck::Missing);
        let names: Vec<String> =
            disk.list(&session.join("evidence")).unwrap().into_iter().map(|i| i.name).collect();
        assert_eq!(names, ["ba"], "no temporary file stays");
        stored
    }

    #[test]
    fn kept_by_hash_on_the_simulated_disk() {
        let disk = SimDisk::new();
        let session = Path::new("/s");
        disk.create_dir(session).unwrap();
        let shared: SharedDisk = Arc::new(disk.clone());
        let stored = exercise(shared.clone(), session);
        let evidence = Evidence::new(shared, session);
        disk.overwrite(&evidence.path_of(&stored.hash), b"abd");
        assert_eq!(evidence.check(&stored.hash).unwrap(), EvidenceCheck::Changed);
        let error = evidence.add(&mut &b"abc"[..], Path::new("again")).unwrap_err();
        assert!(error.to_string().contains("content has changed"), "{error}");
    }

    #[test]
    fn kept_by_hash_on_the_real_disk() {
        let place = tempfile::tempdir().unwrap();
        exercise(Arc::new(RealDisk), place.path());
        let source = place.path().join("recording.wav");
        std::fs::write(&source, vec![7; 3 * CHUNK + 5]).unwrap();
        let evidence = Evidence::new(Arc::new(RealDisk), place.path());
        let stored = evidence.add_file(&source).unwrap();
        assert_eq!(stored.size, 3 * CHUNK as u64 + 5);
        assert_eq!(evidence.check(&stored.hash).unwrap(), EvidenceCheck::Present);
        assert!(evidence.add_file(&place.path().join("none")).unwrap_err().is_not_found());
    }
}
