//! The one writer of a session: an answer is acknowledged only when it is on the disk.

use std::fmt;
use std::path::{Path, PathBuf};

use serde_json::Value;

use super::create::{Contents, MIN_FREE, RESERVE_LEN, lay_out};
use super::disk::{Disk, DiskFile, DiskResult, LockGuard, SharedDisk, StoreError, write_new};
use super::evidence::Evidence;
use super::plans;
use super::session_dir::RESERVE;
use crate::journal::entry::{self, EncodeError, Encoded, Entry, Fields};
use crate::journal::hash::Hash;
use crate::journal::register::{self, Slot};
use crate::words::said;

/// What is to be recorded. `wall` is RFC 3339 with offset; `mono_ms` counts milliseconds since this run began.
#[derive(Debug, Clone, PartialEq)]
pub struct Draft {
    pub kind: String,
    pub body: Value,
    pub wall: String,
    pub mono_ms: u64,
}

/// Appends to one session. Holds the lock, the open files and a copy of every acknowledged line.
#[derive(Debug)]
pub struct Writer {
    pub(super) disk: SharedDisk,
    pub(super) dir: PathBuf,
    pub(super) journal: Box<dyn DiskFile>,
    pub(super) register: Box<dyn DiskFile>,
    pub(super) sid: String,
    /// The last acknowledged line; appends follow it.
    pub(super) last: Slot,
    /// The acknowledged journal, byte for byte.
    pub(super) acked: Vec<u8>,
    pub(super) plan: Vec<u8>,
    pub(super) poison: Option<Poison>,
    pub(super) _lock: Box<dyn LockGuard>,
}

/// After this nothing more is acknowledged in this process.
#[derive(Debug)]
pub(super) struct Poison {
    cause: String,
    unsaved: UnsavedLine,
}

/// The answer that was not saved, with its line as it would have stood.
#[derive(Debug, Clone, PartialEq)]
pub struct UnsavedLine {
    pub seq: u64,
    pub kind: String,
    pub line: Vec<u8>,
}

#[derive(Debug)]
pub enum AppendError {
    /// The line could not be made; nothing was written.
    Refused(EncodeError),
    /// Not written, and the journal is as before: room can be made and the answer given again.
    NotSaved { unsaved: UnsavedLine, cause: StoreError },
    /// The disk failed and nothing more can be saved here: offer a rescue copy.
    Poisoned { unsaved: UnsavedLine, cause: StoreError },
    /// The disk failed earlier, while saving `unsaved`.
    PoisonedBefore { unsaved: UnsavedLine, cause: String },
}

/// What a rescue copy holds.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RescueReport {
    pub path: PathBuf,
    pub lines: u64,
    /// The number of the unsaved line, which the copy holds too.
    pub unsaved_seq: Option<u64>,
    /// Later plans and evidence files in the copy.
    pub plans: usize,
    pub evidence: usize,
    /// Evidence that could not be copied, each with the reason.
    pub not_copied: Vec<String>,
}

impl Writer {
    pub fn sid(&self) -> &str {
        &self.sid
    }

    pub fn dir(&self) -> &Path {
        &self.dir
    }

    /// Number and hash of the last acknowledged line.
    pub fn head(&self) -> Slot {
        self.last
    }

    /// The exact bytes of the frozen plan.
    pub fn plan(&self) -> &[u8] {
        &self.plan
    }

    pub fn evidence(&self) -> Evidence {
        Evidence::new(self.disk.clone(), &self.dir)
    }

    /// The line lost to a failed disk, if there was one: from then on every append is refused.
    pub fn unsaved(&self) -> Option<&UnsavedLine> {
        self.poison.as_ref().map(|p| &p.unsaved)
    }

    /// Records one line. When this returns `Ok`, the line has reached the disk and so has its acknowledgement.
    ///
    /// # Errors
    /// See [`AppendError`]; only `Refused` and `NotSaved` leave the writer usable.
    pub fn append(&mut self, draft: Draft) -> Result<Entry, AppendError> {
        if let Some(poison) = &self.poison {
            let (unsaved, cause) = (poison.unsaved.clone(), poison.cause.clone());
            return Err(AppendError::PoisonedBefore { unsaved, cause });
        }
        let made = encode_after(&self.sid, Some(self.last), draft).map_err(AppendError::Refused)?;
        if let Err(cause) = self.journal.append(&made.line) {
            return Err(self.undo_write(&made, cause));
        }
        self.commit(&made).map_err(|cause| self.poisoned(&made, cause))?;
        Ok(made.entry)
    }

    /// The line is written: sync it, then acknowledge it. A failed sync is never tried again, because the system
    /// may have dropped the data and call the next sync a success.
    pub(super) fn commit(&mut self, made: &Encoded) -> DiskResult<()> {
        let slot = Slot { seq: made.entry.seq, hash: made.entry.hash };
        self.journal.sync_data()?;
        self.acknowledge(slot)?;
        self.acked.extend_from_slice(&made.line);
        self.last = slot;
        Ok(())
    }

    pub(super) fn acknowledge(&mut self, slot: Slot) -> DiskResult<()> {
        self.register.pwrite(slot.offset(), &slot.encode())?;
        self.register.sync_data()
    }

    /// A full disk leaves a part of the line: cut it off again. Any other failure ends the writing.
    fn undo_write(&mut self, made: &Encoded, cause: StoreError) -> AppendError {
        let good_len = self.acked.len() as u64;
        let undone = cause.is_no_space()
            && self.journal.truncate(good_len).and_then(|()| self.journal.sync_all()).is_ok();
        if undone {
            return AppendError::NotSaved { unsaved: unsaved(made), cause };
        }
        self.poisoned(made, cause)
    }

    fn poisoned(&mut self, made: &Encoded, cause: StoreError) -> AppendError {
        let unsaved = unsaved(made);
        self.poison = Some(Poison { cause: cause.to_string(), unsaved: unsaved.clone() });
        AppendError::Poisoned { unsaved, cause }
    }

    /// Gives the ballast back to a full disk, so that a pause or sign-off can still be written.
    ///
    /// # Errors
    /// The ballast is gone already, or cannot be removed.
    pub fn release_reserve(&self) -> Result<(), StoreError> {
        release_reserve(&*self.disk, &self.dir)
    }

    /// True while there is ballast that a full disk could get back.
    pub fn has_reserve(&self) -> bool {
        self.disk.exists(&self.dir.join(RESERVE)).unwrap_or(false)
    }

    /// Lays the ballast anew once there is room for it again. Best effort: a session without ballast is sound.
    pub fn renew_reserve(&self) {
        let has_room = self.disk.free_space(&self.dir).is_ok_and(|free| free >= MIN_FREE);
        if has_room && !self.has_reserve() {
            let path = self.dir.join(RESERVE);
            if write_new(&*self.disk, &path, &vec![0; RESERVE_LEN]).is_err() {
                let _ = self.disk.remove_file(&path);
            }
        }
    }

    /// Writes every acknowledged line, and the unsaved one, from memory into a fresh folder, best on another medium, with
    /// the later plans that can be read. When the lines are safe, the evidence is copied as far as it can be read; what
    /// is not is told.
    ///
    /// # Errors
    /// The folder exists, or the medium fails too.
    pub fn rescue_copy(&self, to: &Path) -> Result<RescueReport, StoreError> {
        let mut journal = self.acked.clone();
        let mut last = self.last;
        if let Some(line) = self.unsaved() {
            journal.extend_from_slice(&line.line);
            // The line was made by this writer and read back once; it has a hash.
            if let Ok(entry) = entry::decode(&line.line) {
                last = Slot { seq: entry.seq, hash: entry.hash };
            }
        }
        let plans: Vec<_> = plans::readable(&*self.disk, &self.dir).into_iter().collect();
        let contents = Contents {
            plan: &self.plan,
            journal: &journal,
            register: &register::single(last),
            plans: &plans,
            evidence: &[],
        };
        lay_out(&*self.disk, to, &contents)?;
        let unsaved_seq = self.unsaved().map(|line| line.seq);
        let (evidence, not_copied) = self.evidence().copy_readable(to);
        Ok(RescueReport {
            path: to.to_path_buf(),
            lines: last.seq + 1,
            unsaved_seq,
            plans: plans.len(),
            evidence,
            not_copied,
        })
    }
}

/// Gives the ballast of the session in `dir` back to its disk. Needs no lock: nothing else is touched.
///
/// # Errors
/// The ballast is gone already, or cannot be removed.
pub fn release_reserve(disk: &dyn Disk, dir: &Path) -> Result<(), StoreError> {
    disk.remove_file(&dir.join(RESERVE))?;
    disk.sync_dir(dir)
}

/// The line that follows `last` (`None`: line 0).
pub(super) fn encode_after(sid: &str, last: Option<Slot>, draft: Draft) -> Result<Encoded, EncodeError> {
    let Draft { kind, body, wall, mono_ms } = draft;
    let (seq, prev) = last.map_or((0, Hash::ZERO), |slot| (slot.seq + 1, slot.hash));
    entry::encode(Fields { sid: sid.to_owned(), seq, prev, wall, mono_ms, kind, body })
}

fn unsaved(made: &Encoded) -> UnsavedLine {
    UnsavedLine { seq: made.entry.seq, kind: made.entry.kind.clone(), line: made.line.clone() }
}

impl fmt::Display for UnsavedLine {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&say!("line {} ({})", self.seq, self.kind))
    }
}

impl fmt::Display for AppendError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        const RESCUE: &str = mark!(
            "Everything before it is saved. Make a rescue copy on another medium now, then restart the \
                              computer before this session is opened again"
        );
        match self {
            AppendError::Refused(e) => e.fmt(f),
            AppendError::NotSaved { unsaved, cause } => f.write_str(&say!(
                "{unsaved} was NOT saved: {cause}. Everything before it is saved; give the answer again",
                unsaved = unsaved,
                cause = cause
            )),
            AppendError::Poisoned { unsaved, cause } => f.write_str(&say!(
                "{unsaved} was NOT saved: {cause}. {rescue}",
                unsaved = unsaved,
                cause = cause,
                rescue = said(RESCUE)
            )),
            AppendError::PoisonedBefore { unsaved, cause } => f.write_str(&say!(
                "nothing more can be saved here since {unsaved} failed: {cause}. {rescue}",
                unsaved = unsaved,
                cause = cause,
                rescue = said(RESCUE)
            )),
        }
    }
}

impl std::error::Error for AppendError {}
