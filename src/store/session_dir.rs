//! A session's folder: its names, and how one writer or any number of readers open it.

use std::fmt;
use std::path::{Path, PathBuf};

use super::clock::Clock;
use super::disk::{Disk, DiskResult, SharedDisk, StoreError};
use super::writer::{AppendError, Writer};
use crate::journal::chain;
use crate::journal::entry::{Encoded, Entry};
use crate::journal::hash::{Hash, sha256};
use crate::journal::recover::{Damage, Verdict, judge};
use crate::journal::register::{self, Slot};

pub const JOURNAL: &str = "journal.jsonl";
pub const REGISTER: &str = "acked.reg";
pub const PLAN: &str = "plan.json";
pub const LOCK: &str = "lock";
pub const RESERVE: &str = "reserve.bin";
pub const EVIDENCE: &str = "evidence";
pub const TORN: &str = "torn";
/// Prefix of a session folder whose creation was interrupted.
pub const UNFINISHED: &str = "tmp-";
/// Ending of the copy of a whole line in [`TORN`], made before the line is written again in its place. It may stay: the
/// journal holds the line, too.
const LINE_COPY: &str = ".line";
/// Kind of the line that tells of a fragment set aside; body `{byte_offset, len, sha256}`.
pub const RECOVERED: &str = "recovered";

/// What opening found and did, to be shown to the inspector.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Notice {
    /// Line `seq` was saved just before the interruption; only the confirmation was not shown.
    SavedBeforeInterruption { seq: u64, kind: String },
    /// An unfinished line, never confirmed, was moved into `torn/`; line `seq` records it.
    FragmentSetAside { seq: u64, len: u64, sha256: Hash },
}

/// The lines and the plan of a session just opened for writing.
#[derive(Debug, Clone, PartialEq)]
pub struct Opened {
    pub entries: Vec<Entry>,
    pub plan: Vec<u8>,
    pub notices: Vec<Notice>,
}

#[derive(Debug)]
pub enum OpenError {
    /// Another writer has it: open it for reading.
    Locked(StoreError),
    /// Not to be written any more: open it for reading. Nothing was changed.
    Damaged(Box<Damage>),
    Store(StoreError),
    /// Recovery itself could not be recorded.
    Recovery(Box<AppendError>),
}

/// A session as found, for reading. Nothing was written.
#[derive(Debug, Clone, PartialEq)]
pub struct Reader {
    /// The lines that verify.
    pub entries: Vec<Entry>,
    pub plan: Vec<u8>,
    pub verdict: Verdict,
}

/// Opens a session for writing: takes the lock, judges what an interruption left, heals or sets aside.
///
/// # Errors
/// See [`OpenError`]. A damaged session is not touched.
pub fn open_writer(disk: SharedDisk, dir: &Path, clock: &dyn Clock) -> Result<(Writer, Opened), OpenError> {
    // Read something first: taking the lock makes the lock file, which has no place in a folder that is no session.
    let plan = disk.read(&dir.join(PLAN))?;
    let lock = disk.lock(&dir.join(LOCK)).map_err(|e| match e.is_locked() {
        true => OpenError::Locked(e),
        false => OpenError::Store(e),
    })?;
    let bytes = disk.read(&dir.join(JOURNAL))?;
    let judged = judge(&bytes, &read_register(&*disk, dir)?);
    if let Verdict::Damaged(damage) = judged.verdict {
        return Err(OpenError::Damaged(Box::new(damage)));
    }
    let mut entries = judged.verified.entries;
    let healed = matches!(judged.verdict, Verdict::HealRegister { .. });
    let acked = entries.len() - usize::from(healed);
    let acked_len = judged.verified.ends[acked - 1];
    let head = &entries[acked - 1];
    let mut writer = Writer {
        journal: disk.open_append(&dir.join(JOURNAL))?,
        register: disk.open_update(&dir.join(REGISTER))?,
        sid: head.sid.clone(),
        last: Slot { seq: head.seq, hash: head.hash },
        acked: bytes[..acked_len].to_vec(),
        plan: plan.clone(),
        poison: None,
        _lock: lock,
        dir: dir.to_path_buf(),
        disk,
    };
    // An earlier run may have ended between the rename and this flush.
    writer.disk.sync_dir(dir.parent().unwrap_or(Path::new(".")))?;
    let mut notices = Vec::new();
    match judged.verdict {
        Verdict::HealRegister { last } => {
            heal(&mut writer, last.clone(), &bytes[acked_len..], &mut notices)?;
        }
        Verdict::HealNewline { last } => {
            let line = [&bytes[acked_len..], b"\n"].concat();
            heal(&mut writer, last.clone(), &line, &mut notices)?;
            entries.push(last);
        }
        Verdict::SetAside { from, .. } => set_aside(&mut writer, &bytes[from..])?,
        Verdict::Clean { .. } => renew_slot(&mut writer)?,
        Verdict::Damaged(_) => {}
    }
    // An earlier recovery was writing this line again when the power went.
    if let Some((last, line)) = kept_line(&writer, entries.last())? {
        heal(&mut writer, last.clone(), &line, &mut notices)?;
        entries.push(last);
    }
    record_torn(&mut writer, &mut entries, clock, &mut notices)?;
    writer.evidence().sweep();
    Ok((writer, Opened { entries, plan, notices }))
}

/// Writes the last acknowledgement again: a flush that failed in an earlier run of the same boot may have left it in
/// the cache only. Not done unless the other slot stands too and nothing follows the line, so that tearing this
/// write leaves a picture that recovery knows.
fn renew_slot(writer: &mut Writer) -> DiskResult<()> {
    let register = read_register(&*writer.disk, &writer.dir)?;
    if register::valid_slots(&register) < 2 {
        return Ok(());
    }
    writer.acknowledge(writer.last)
}

/// Makes the whole last line durable, then acknowledges it. The line is written again in its place, because it may
/// be in the cache only: the system drops data whose flush failed and calls the next flush a success. A copy stands in
/// `torn/` before, because a power cut may leave junk where something is written, also where the same stood before.
fn heal(writer: &mut Writer, last: Entry, line: &[u8], notices: &mut Vec<Notice>) -> DiskResult<()> {
    let torn = ensure_torn(writer)?;
    keep_in(&*writer.disk, &torn, &format!("{}{LINE_COPY}", sha256(line)), line)?;
    let mut file = writer.disk.open_update(&writer.dir.join(JOURNAL))?;
    file.pwrite(writer.acked.len() as u64, line)?;
    file.sync_data()?;
    notices.push(Notice::SavedBeforeInterruption { seq: last.seq, kind: last.kind.clone() });
    writer.commit(&Encoded { line: line.to_vec(), entry: last })
}

/// Copies the fragment into `torn/`, durably, before cutting it off the journal; may be interrupted anywhere.
fn set_aside(writer: &mut Writer, fragment: &[u8]) -> DiskResult<()> {
    let torn = ensure_torn(writer)?;
    keep_in(&*writer.disk, &torn, &format!("{}.bin", sha256(fragment)), fragment)?;
    writer.journal.truncate(writer.acked.len() as u64)?;
    writer.journal.sync_all()
}

/// Keeps bytes under a name made from their hash: temporary file, sync, rename, sync of the folder.
fn keep_in(disk: &dyn Disk, folder: &Path, name: &str, bytes: &[u8]) -> DiskResult<()> {
    let kept = folder.join(name);
    if !disk.exists(&kept)? {
        let temporary = folder.join(format!("{UNFINISHED}{name}"));
        let mut file = if disk.exists(&temporary)? {
            // Left by a recovery that was itself interrupted; the bytes are still whole in the journal.
            disk.open_update(&temporary)?
        } else {
            disk.create_new(&temporary)?
        };
        file.truncate(0)?;
        file.pwrite(0, bytes)?;
        file.sync_all()?;
        disk.rename_noreplace(&temporary, &kept)?;
    }
    disk.sync_dir(folder)
}

/// The line that follows the last verified one, if an interrupted [`heal`] kept a copy of it.
fn kept_line(writer: &Writer, last: Option<&Entry>) -> DiskResult<Option<(Entry, Vec<u8>)>> {
    let torn = ensure_torn(writer)?;
    for item in writer.disk.list(&torn)?.iter().filter(|item| item.name.ends_with(LINE_COPY)) {
        let bytes = writer.disk.read(&torn.join(&item.name))?;
        if !item.name.starts_with(UNFINISHED)
            && let Ok(entry) = chain::next(last, &bytes)
        {
            return Ok(Some((entry, bytes)));
        }
    }
    Ok(None)
}

fn ensure_torn(writer: &Writer) -> DiskResult<PathBuf> {
    let torn = writer.dir.join(TORN);
    if !writer.disk.exists(&torn)? {
        writer.disk.create_dir(&torn)?;
        writer.disk.sync_dir(&writer.dir)?;
    }
    Ok(torn)
}

/// Every fragment in `torn/` that no line tells of gets one.
fn record_torn(
    writer: &mut Writer,
    entries: &mut Vec<Entry>,
    clock: &dyn Clock,
    notices: &mut Vec<Notice>,
) -> Result<(), OpenError> {
    let torn = ensure_torn(writer)?;
    for item in writer.disk.list(&torn)? {
        let Some(hash) = item.name.strip_suffix(".bin").and_then(|hex| hex.parse::<Hash>().ok()) else {
            continue;
        };
        if entries.iter().any(|e| e.kind == RECOVERED && e.body["sha256"] == hash.to_string()) {
            continue;
        }
        let len = writer.disk.read(&torn.join(&item.name))?.len() as u64;
        let body = serde_json::json!({
            "byte_offset": writer.acked.len(),
            "len": len,
            "sha256": hash,
        });
        let entry =
            writer.append(clock.draft(RECOVERED, body)).map_err(|e| OpenError::Recovery(Box::new(e)))?;
        notices.push(Notice::FragmentSetAside { seq: entry.seq, len, sha256: hash });
        entries.push(entry);
    }
    Ok(())
}

fn read_register(disk: &dyn Disk, dir: &Path) -> DiskResult<Vec<u8>> {
    match disk.read(&dir.join(REGISTER)) {
        Err(e) if e.is_not_found() => Ok(Vec::new()),
        read => read,
    }
}

/// Opens a session for reading: no lock, no write, any number at a time, also beside a writer.
///
/// # Errors
/// A file that cannot be read. Damage is not an error here: see [`Reader::verdict`].
pub fn open_reader(disk: &dyn Disk, dir: &Path) -> DiskResult<Reader> {
    const TRIES: usize = 8;
    let plan = disk.read(&dir.join(PLAN))?;
    let mut before = read_register(disk, dir)?;
    let mut journal = disk.read(&dir.join(JOURNAL))?;
    // A writer may append between the two reads; only a register that stood still belongs to the journal read.
    for _ in 0..TRIES {
        let after = read_register(disk, dir)?;
        if after == before {
            break;
        }
        before = after;
        journal = disk.read(&dir.join(JOURNAL))?;
    }
    let judged = judge(&journal, &before);
    Ok(Reader { entries: judged.verified.entries, plan, verdict: judged.verdict })
}

/// The first entry of a session alone, without judging the rest. `None` where it does not verify.
///
/// # Errors
/// The journal cannot be read.
pub fn first_entry(disk: &dyn Disk, dir: &Path) -> DiskResult<Option<Entry>> {
    let mut start = vec![0; crate::journal::entry::MAX_LINE];
    let path = dir.join(JOURNAL);
    let mut file = disk.open_read(&path)?;
    let mut filled = 0;
    while filled < start.len() {
        match std::io::Read::read(&mut file, &mut start[filled..]) {
            Ok(0) => break,
            Ok(count) => filled += count,
            Err(e) if e.kind() == std::io::ErrorKind::Interrupted => {}
            Err(e) => return Err(StoreError::new("read", &path, e)),
        }
        if start[..filled].contains(&b'\n') {
            break;
        }
    }
    let end = start[..filled].iter().position(|byte| *byte == b'\n').map_or(0, |at| at + 1);
    Ok(crate::journal::chain::next(None, &start[..end]).ok())
}

impl From<StoreError> for OpenError {
    fn from(e: StoreError) -> Self {
        OpenError::Store(e)
    }
}

impl fmt::Display for OpenError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            OpenError::Locked(e) | OpenError::Store(e) => e.fmt(f),
            OpenError::Damaged(damage) => damage.fmt(f),
            OpenError::Recovery(e) => e.fmt(f),
        }
    }
}

impl fmt::Display for Notice {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Notice::SavedBeforeInterruption { seq, kind } => {
                f.write_str(&say!(
                    "Line {seq} ({kind}) was saved just before the interruption.",
                    seq = seq,
                    kind = kind
                ))
            }
            Notice::FragmentSetAside { seq, len, .. } => f.write_str(&say!(
                "An unfinished entry of {len} bytes, never confirmed as saved, was set aside in torn/ (line {seq}); \
                 check your last answer.",
                len = len,
                seq = seq
            )),
        }
    }
}

impl std::error::Error for OpenError {}
