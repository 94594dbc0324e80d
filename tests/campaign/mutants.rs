//! Faults sown into the way of writing, as wrappers around the disk: each must be caught, or the campaign is no
//! proof. Production code knows nothing of them.
//!
//! Not listed, because they cannot break an invariant in the model:
//! - no flush of `lock` and `reserve.bin`: nothing is read from them;
//! - no flush of `evidence/` after the rename: the folder's own names were flushed before it, only the removal of
//!   the temporary name is not, and a temporary name is cited by no line;
//! - fsync in the place of fdatasync: it flushes more.

use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use spanwise::journal::verify;
use spanwise::store::disk::{DiskFile, DiskResult, Item, LockGuard};
use spanwise::store::{Disk, SharedDisk, SimDisk};

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Mutant {
    NoJournalFlush,
    NoRegisterFlush,
    NoFolderFlush,
    NoFlushOfNewSessionsName,
    NoFlushInCreation,
    NoFlushOfEvidence,
    NoFlushOfPlan,
    NoFlushOfFragment,
    NoFlushOfEvidenceFolder,
    NoFlushOfPlansFolder,
    NoFlushOfTornFolder,
    CreationRenamedBeforeFlush,
    EvidenceRenamedBeforeFlush,
    PlanRenamedBeforeFlush,
    AcknowledgedBeforeFlush,
    RegisterNotWritten,
    RegisterWithOneSlot,
    FailedFlushTriedAgain,
    FailedFlushIgnored,
    HalfWrittenLineLeft,
    CutBeforeSetAside,
}

use Mutant::*;

pub const MUTANTS: [(Mutant, &str); 21] = [
    (NoJournalFlush, "the journal is not flushed"),
    (NoRegisterFlush, "the register is not flushed"),
    (NoFolderFlush, "no folder is flushed"),
    (NoFlushOfNewSessionsName, "the new session's name is not flushed"),
    (NoFlushInCreation, "a new session's files are not flushed"),
    (NoFlushOfEvidence, "evidence is not flushed"),
    (NoFlushOfPlan, "a later plan is not flushed"),
    (NoFlushOfFragment, "a fragment set aside is not flushed"),
    (NoFlushOfEvidenceFolder, "the folder of an evidence file is not flushed"),
    (NoFlushOfPlansFolder, "the folder of later plans is not flushed"),
    (NoFlushOfTornFolder, "the folder of fragments is not flushed"),
    (CreationRenamedBeforeFlush, "a new session gets its name before it is flushed"),
    (EvidenceRenamedBeforeFlush, "evidence gets its name before it is flushed"),
    (PlanRenamedBeforeFlush, "a later plan gets its name before it is flushed"),
    (AcknowledgedBeforeFlush, "a line is acknowledged before it is flushed"),
    (RegisterNotWritten, "the register is not written"),
    (RegisterWithOneSlot, "the register's other slot is overwritten, too"),
    (FailedFlushTriedAgain, "a failed flush is tried again"),
    (FailedFlushIgnored, "a failed flush is ignored"),
    (HalfWrittenLineLeft, "a half-written line is not cut off again"),
    (CutBeforeSetAside, "a fragment is cut off before it is set aside"),
];

type File = Arc<Mutex<Box<dyn DiskFile>>>;

/// A simulated disk with one fault in the way it is used.
#[derive(Debug, Clone)]
pub struct MutantDisk {
    inner: SimDisk,
    mutant: Mutant,
    /// Files whose flush was put off.
    late: Arc<Mutex<Vec<File>>>,
}

#[derive(Debug)]
struct MutantFile {
    disk: MutantDisk,
    file: File,
    path: PathBuf,
}

pub fn wrap(disk: &SimDisk, mutant: Mutant) -> SharedDisk {
    Arc::new(MutantDisk { inner: disk.clone(), mutant, late: Arc::default() })
}

fn open<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn name(path: &Path) -> &str {
    path.file_name().and_then(|name| name.to_str()).unwrap_or_default()
}

fn folder(path: &Path) -> &str {
    path.parent().map(name).unwrap_or_default()
}

/// In a session folder that has its temporary name.
fn in_creation(path: &Path) -> bool {
    path.ancestors().skip(1).any(|above| name(above).starts_with("tmp-"))
}

fn is_new_in(path: &Path, of: &str) -> bool {
    name(path).starts_with("tmp-") && folder(path) == of
}

impl MutantDisk {
    fn file(&self, path: &Path, file: Box<dyn DiskFile>) -> Box<dyn DiskFile> {
        Box::new(MutantFile {
            disk: self.clone(),
            file: Arc::new(Mutex::new(file)),
            path: path.to_path_buf(),
        })
    }

    fn flush_late(&self) -> DiskResult<()> {
        let late: Vec<File> = open(&self.late).drain(..).collect();
        late.iter().try_for_each(|file| open(file).sync_all())
    }

    /// Cuts the fragment off the journal that belongs to a `torn/` folder.
    fn cut_off(&self, torn: &Path) -> DiskResult<()> {
        let session = torn.parent().and_then(Path::parent).unwrap_or(Path::new("/"));
        let journal = session.join("journal.jsonl");
        let kept = verify(&self.inner.read(&journal)?).verified_len;
        let mut file = self.inner.open_update(&journal)?;
        file.truncate(kept as u64)?;
        file.sync_all()
    }
}

impl MutantFile {
    fn is(&self, wanted: &str) -> bool {
        name(&self.path) == wanted
    }

    fn dropped(&self, data_only: bool) -> bool {
        match self.disk.mutant {
            NoJournalFlush => data_only && self.is("journal.jsonl"),
            NoRegisterFlush => data_only && self.is("acked.reg"),
            NoFlushInCreation => !data_only && in_creation(&self.path),
            NoFlushOfEvidence => is_new_in(&self.path, "evidence"),
            NoFlushOfPlan => is_new_in(&self.path, "plans"),
            NoFlushOfFragment => is_new_in(&self.path, "torn"),
            _ => false,
        }
    }

    fn put_off(&self, data_only: bool) -> bool {
        match self.disk.mutant {
            CreationRenamedBeforeFlush => !data_only && in_creation(&self.path),
            EvidenceRenamedBeforeFlush => is_new_in(&self.path, "evidence"),
            PlanRenamedBeforeFlush => is_new_in(&self.path, "plans"),
            AcknowledgedBeforeFlush => data_only && self.is("journal.jsonl"),
            _ => false,
        }
    }

    fn sync(&mut self, data_only: bool) -> DiskResult<()> {
        if self.dropped(data_only) {
            return Ok(());
        }
        if self.put_off(data_only) {
            open(&self.disk.late).push(self.file.clone());
            return Ok(());
        }
        let flush = |file: &File| if data_only { open(file).sync_data() } else { open(file).sync_all() };
        let done = match (flush(&self.file), self.disk.mutant) {
            (Err(_), FailedFlushTriedAgain) => flush(&self.file),
            (Err(_), FailedFlushIgnored) => Ok(()),
            (done, _) => done,
        };
        if self.disk.mutant == AcknowledgedBeforeFlush && self.is("acked.reg") {
            self.disk.flush_late()?;
        }
        done
    }
}

impl DiskFile for MutantFile {
    fn append(&mut self, bytes: &[u8]) -> DiskResult<()> {
        open(&self.file).append(bytes)
    }

    fn pwrite(&mut self, offset: u64, bytes: &[u8]) -> DiskResult<()> {
        match self.disk.mutant {
            RegisterNotWritten if self.is("acked.reg") => Ok(()),
            RegisterWithOneSlot if self.is("acked.reg") => {
                let mut both = vec![b'\n'; 1024];
                both[offset as usize..offset as usize + bytes.len()].copy_from_slice(bytes);
                open(&self.file).pwrite(0, &both)
            }
            _ => open(&self.file).pwrite(offset, bytes),
        }
    }

    fn sync_data(&mut self) -> DiskResult<()> {
        self.sync(true)
    }

    fn sync_all(&mut self) -> DiskResult<()> {
        self.sync(false)
    }

    fn truncate(&mut self, len: u64) -> DiskResult<()> {
        if self.disk.mutant == HalfWrittenLineLeft && self.is("journal.jsonl") {
            return Ok(());
        }
        open(&self.file).truncate(len)
    }
}

impl Disk for MutantDisk {
    fn create_dir(&self, path: &Path) -> DiskResult<()> {
        self.inner.create_dir(path)
    }

    fn create_new(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>> {
        if self.mutant == CutBeforeSetAside && is_new_in(path, "torn") {
            self.cut_off(path)?;
        }
        Ok(self.file(path, self.inner.create_new(path)?))
    }

    fn open_append(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>> {
        Ok(self.file(path, self.inner.open_append(path)?))
    }

    fn open_update(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>> {
        Ok(self.file(path, self.inner.open_update(path)?))
    }

    fn open_read(&self, path: &Path) -> DiskResult<Box<dyn Read + Send>> {
        self.inner.open_read(path)
    }

    fn read(&self, path: &Path) -> DiskResult<Vec<u8>> {
        self.inner.read(path)
    }

    fn sync_dir(&self, path: &Path) -> DiskResult<()> {
        let dropped = match self.mutant {
            NoFolderFlush => true,
            NoFlushOfNewSessionsName => name(path) == "sessions",
            NoFlushOfEvidenceFolder => folder(path) == "evidence",
            NoFlushOfPlansFolder => name(path) == "plans",
            NoFlushOfTornFolder => name(path) == "torn",
            _ => false,
        };
        if dropped { Ok(()) } else { self.inner.sync_dir(path) }
    }

    fn rename_noreplace(&self, from: &Path, to: &Path) -> DiskResult<()> {
        self.inner.rename_noreplace(from, to)?;
        if self.mutant == AcknowledgedBeforeFlush { Ok(()) } else { self.flush_late() }
    }

    fn rename_replace(&self, from: &Path, to: &Path) -> DiskResult<()> {
        self.inner.rename_replace(from, to)
    }

    fn remove_file(&self, path: &Path) -> DiskResult<()> {
        self.inner.remove_file(path)
    }

    fn exists(&self, path: &Path) -> DiskResult<bool> {
        self.inner.exists(path)
    }

    fn list(&self, path: &Path) -> DiskResult<Vec<Item>> {
        self.inner.list(path)
    }

    fn lock(&self, path: &Path) -> DiskResult<Box<dyn LockGuard>> {
        self.inner.lock(path)
    }

    fn free_space(&self, path: &Path) -> DiskResult<u64> {
        self.inner.free_space(path)
    }

    fn is_network(&self, path: &Path) -> DiskResult<bool> {
        self.inner.is_network(path)
    }
}

/// How a mutant was found out: after how many crash points, and by what. `None`: it was not.
pub struct Caught {
    pub points: u64,
    pub by: String,
}

/// Random sessions under the mutant until one breaks an invariant, at most about `limit` crash points.
pub fn hunt(mutant: Mutant, seed: u64, limit: u64) -> Option<Caught> {
    let under = |disk: &SimDisk| wrap(disk, mutant);
    let (mut points, mut number) = (0, 0);
    while points < limit {
        let mut figures = super::figures::Figures::default();
        super::random_session(seed, number, &under, &mut figures);
        if let Some(words) = figures.breaks.first() {
            let by = words.lines().next().unwrap_or_default().to_string();
            return Some(Caught { points: points + figures.first_break, by });
        }
        points += figures.points();
        number += 1;
    }
    None
}
