//! Making a session's folder: whole or not at all.

use std::collections::BTreeSet;
use std::fmt;
use std::path::{Path, PathBuf};

use super::disk::{Disk, DiskFile, DiskResult, LockGuard, SharedDisk, StoreError, write_new};
use super::evidence::copy_checked;
use super::plans::{PLANS, path_of};
use super::session_dir::{EVIDENCE, JOURNAL, LOCK, PLAN, REGISTER, RESERVE, TORN, UNFINISHED};
use super::writer::{Draft, Writer, encode_after};
use crate::journal::entry::{EncodeError, is_session_id};
use crate::journal::hash::Hash;
use crate::journal::register::{self, REGISTER_LEN, SLOT_LEN, Slot};

/// Ballast that a full disk can give back.
pub const RESERVE_LEN: usize = 1024 * 1024;
/// Free space demanded before a session is begun.
pub const MIN_FREE: u64 = 64 * 1024 * 1024;

#[derive(Debug)]
pub enum CreateError {
    /// One of the first lines cannot be made.
    FirstLine(EncodeError),
    /// A session begins with at least one line.
    NoLine,
    SessionId(String),
    Store(StoreError),
}

/// Makes a session folder `parent/sid`, with `first` as line 0. It exists when this returns, and not before.
///
/// # Errors
/// The step that failed. A folder `tmp-<sid>` may stay; it is listed and never deleted. Take a new id to try again.
pub fn create(
    disk: SharedDisk,
    parent: &Path,
    sid: &str,
    plan: &[u8],
    first: Draft,
) -> Result<Writer, CreateError> {
    create_with(disk, parent, sid, plan, vec![first], &[])
}

/// As [`create`], with several first lines and with evidence files copied in: each hash with the file that has
/// it, such as one of another session. The last line is acknowledged, and with it all. A session that continues
/// another one so exists with everything it carries over, or not at all.
///
/// # Errors
/// As [`create`]; no line at all; an evidence file that cannot be read or no longer has its hash.
pub fn create_with(
    disk: SharedDisk,
    parent: &Path,
    sid: &str,
    plan: &[u8],
    drafts: Vec<Draft>,
    evidence: &[(Hash, PathBuf)],
) -> Result<Writer, CreateError> {
    if !is_session_id(sid) {
        return Err(CreateError::SessionId(sid.to_owned()));
    }
    let (journal, slots) = encode_all(sid, drafts)?;
    let last = *slots.last().ok_or(CreateError::NoLine)?;
    let register = register_of(&slots);
    let dir = parent.join(sid);
    check_place(&*disk, parent)?;
    let contents = Contents { plan, journal: &journal, register: &register, plans: &[], evidence };
    let files = lay_out(&*disk, &dir, &contents)?;
    Ok(Writer {
        disk,
        dir,
        journal: files.journal,
        register: files.register,
        sid: sid.to_owned(),
        last,
        acked: journal,
        plan: plan.to_vec(),
        poison: None,
        _lock: files.lock,
    })
}

fn encode_all(sid: &str, drafts: Vec<Draft>) -> Result<(Vec<u8>, Vec<Slot>), CreateError> {
    let (mut journal, mut slots) = (Vec::new(), Vec::new());
    for draft in drafts {
        let made = encode_after(sid, slots.last().copied(), draft).map_err(CreateError::FirstLine)?;
        journal.extend_from_slice(&made.line);
        slots.push(Slot { seq: made.entry.seq, hash: made.entry.hash });
    }
    Ok((journal, slots))
}

/// The slots of the last two lines, as if they had been acknowledged one after the other.
pub(super) fn register_of(slots: &[Slot]) -> [u8; REGISTER_LEN] {
    let mut register = [b'\n'; REGISTER_LEN];
    for slot in &slots[slots.len().saturating_sub(2)..] {
        let at = slot.offset() as usize;
        register[at..at + SLOT_LEN].copy_from_slice(&register::single(*slot)[at..at + SLOT_LEN]);
    }
    register
}

fn check_place(disk: &dyn Disk, parent: &Path) -> DiskResult<()> {
    use std::io::ErrorKind::{StorageFull, Unsupported};
    const WHAT: &str = "begin a session in";
    if disk.is_network(parent)? {
        let words = mark!("it lies on a network file system, where locks and flushing cannot be relied on");
        return Err(StoreError::said(
            WHAT,
            parent,
            Unsupported,
            words,
            mark!("choose a folder on this machine's own disk"),
        ));
    }
    if disk.free_space(parent)? < MIN_FREE {
        let words = mark!("less than 64 MiB are free");
        return Err(StoreError::said(
            WHAT,
            parent,
            StorageFull,
            words,
            mark!("free some space and try again"),
        ));
    }
    Ok(())
}

/// What a new session folder is to hold.
pub(super) struct Contents<'a> {
    pub plan: &'a [u8],
    pub journal: &'a [u8],
    pub register: &'a [u8; REGISTER_LEN],
    /// Later plans by hash.
    pub plans: &'a [(Hash, Vec<u8>)],
    /// Evidence to copy in, by hash, from these files.
    pub evidence: &'a [(Hash, PathBuf)],
}

pub(super) struct LaidOut {
    journal: Box<dyn DiskFile>,
    register: Box<dyn DiskFile>,
    lock: Box<dyn LockGuard>,
}

/// Writes a whole session folder under a temporary name and renames it into place. The order matters: every file
/// is synced before its folder, every folder before the rename, and the parent last.
pub(super) fn lay_out(disk: &dyn Disk, dir: &Path, contents: &Contents<'_>) -> DiskResult<LaidOut> {
    let parent = dir.parent().unwrap_or(Path::new("."));
    if disk.exists(dir)? {
        let taken = std::io::ErrorKind::AlreadyExists.into();
        return Err(StoreError::new("create the folder", dir, taken));
    }
    let name = dir.file_name().unwrap_or_default().to_string_lossy();
    let temporary = parent.join(format!("{UNFINISHED}{name}"));
    disk.create_dir(&temporary)?;
    write_new(disk, &temporary.join(PLAN), contents.plan)?;
    let journal = write_new(disk, &temporary.join(JOURNAL), contents.journal)?;
    let register = write_new(disk, &temporary.join(REGISTER), contents.register)?;
    write_new(disk, &temporary.join(LOCK), b"")?;
    write_new(disk, &temporary.join(RESERVE), &vec![0; RESERVE_LEN])?;
    // The lock belongs to the file, not to its name, so it outlives the rename.
    let lock = disk.lock(&temporary.join(LOCK))?;
    for inner in [EVIDENCE, TORN] {
        disk.create_dir(&temporary.join(inner))?;
    }
    lay_plans(disk, &temporary, contents.plans)?;
    lay_evidence(disk, &temporary.join(EVIDENCE), contents.evidence)?;
    for inner in [EVIDENCE, TORN] {
        disk.sync_dir(&temporary.join(inner))?;
    }
    disk.sync_dir(&temporary)?;
    disk.rename_noreplace(&temporary, dir)?;
    disk.sync_dir(parent)?;
    Ok(LaidOut { journal, register, lock })
}

fn lay_plans(disk: &dyn Disk, session: &Path, plans: &[(Hash, Vec<u8>)]) -> DiskResult<()> {
    if plans.is_empty() {
        return Ok(());
    }
    disk.create_dir(&session.join(PLANS))?;
    for (hash, bytes) in plans {
        write_new(disk, &path_of(session, hash), bytes)?;
    }
    disk.sync_dir(&session.join(PLANS))
}

fn lay_evidence(disk: &dyn Disk, root: &Path, evidence: &[(Hash, PathBuf)]) -> DiskResult<()> {
    let (mut done, mut folders) = (BTreeSet::new(), BTreeSet::new());
    for (hash, source) in evidence {
        // Two lines may cite the same file.
        if !done.insert(*hash) {
            continue;
        }
        let name = hash.to_string();
        let folder = root.join(&name[..2]);
        if folders.insert(folder.clone()) {
            disk.create_dir(&folder)?;
        }
        copy_checked(disk, source, hash, &folder.join(name))?;
    }
    folders.iter().try_for_each(|folder| disk.sync_dir(folder))
}

impl From<StoreError> for CreateError {
    fn from(e: StoreError) -> Self {
        CreateError::Store(e)
    }
}

impl fmt::Display for CreateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            CreateError::FirstLine(e) => e.fmt(f),
            CreateError::NoLine => {
                f.write_str(say!("a session begins with at least one line, and none was given"))
            }
            CreateError::SessionId(id) => f.write_str(&say!(
                "{id} is not a session id; it needs 32 characters out of 0-9 and a-f",
                id = format_args!("{:?}", id)
            )),
            CreateError::Store(e) => e.fmt(f),
        }
    }
}

impl std::error::Error for CreateError {}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::journal::recover::Verdict;
    use crate::store::{Evidence, EvidenceCheck, SimDisk, open_reader};
    use serde_json::json;
    use std::sync::Arc;

    const OLD: &str = "00112233445566778899aabbccddeeff";
    const NEW: &str = "ffeeddccbbaa99887766554433221100";

    fn drafts(count: usize) -> Vec<Draft> {
        let draft = |n: usize| Draft {
            kind: "answer".into(),
            body: json!({ "n": n }),
            wall: "2030-05-04T09:00:00.000Z".into(),
            mono_ms: n as u64,
        };
        (0..count).map(draft).collect()
    }

    #[test]
    fn a_continued_session_is_there_whole_or_not_at_all() {
        let disk = SimDisk::new();
        let shared: SharedDisk = Arc::new(disk.clone());
        let parent = Path::new("/");
        let old = create(shared.clone(), parent, OLD, b"{}", drafts(1).remove(0)).unwrap();
        let photo = old.evidence().add(&mut &b"abc"[..], Path::new("photo")).unwrap().hash;
        let cited = [(photo, old.evidence().path_of(&photo)), (photo, old.evidence().path_of(&photo))];
        disk.keep_history();
        let writer = create_with(shared.clone(), parent, NEW, b"{}", drafts(5), &cited).unwrap();
        assert_eq!(writer.head().seq, 4);
        let dir = parent.join(NEW);
        let mut whole = 0;
        for image in disk.states_before_calls().iter().flat_map(|state| state.crash_images(1)) {
            if !image.exists(&dir).unwrap() {
                continue;
            }
            whole += 1;
            let reader = open_reader(&image, &dir).unwrap();
            assert!(
                reader.entries.len() == 5
                    && matches!(reader.verdict, Verdict::Clean { acked } if acked.seq == 4)
            );
            let check = Evidence::new(Arc::new(image.clone()), &dir).check(&photo).unwrap();
            assert_eq!(check, EvidenceCheck::Present);
        }
        assert!(whole > 1);
        disk.overwrite(&old.evidence().path_of(&photo), b"abd");
        let other = "0123456789abcdef0123456789abcdef";
        let refused = create_with(shared.clone(), parent, other, b"{}", drafts(1), &cited).unwrap_err();
        assert!(refused.to_string().contains("content has changed"), "{refused}");
        assert!(!disk.exists(&parent.join(other)).unwrap());
        assert!(matches!(
            create_with(shared, parent, other, b"{}", Vec::new(), &[]),
            Err(CreateError::NoLine)
        ));
    }
}
