//! A copy of everything that can still be read of a session, into a new place; and room made on a full disk.

use std::io::Read;
use std::path::{Path, PathBuf};

use super::{Hangar, HangarError};
use crate::journal::Verdict;
use crate::journal::hash::{Hash, Hasher};
use crate::session::Declined;
use crate::store::create::{MIN_FREE, RESERVE_LEN};
use crate::store::disk::{Disk, DiskResult, StoreError};
use crate::store::session_dir::{JOURNAL, LOCK, REGISTER, RESERVE, UNFINISHED};
use crate::store::texts::is_no_file;
use crate::store::{Writer, open_reader, release_reserve};

const CHUNK_BYTES: usize = 64 * 1024;
/// Evidence lies two folders deep; what lies much deeper is no session's.
const DEEPEST: u8 = 8;
/// Registers without which nobody could go on with the copy.
const REGISTERS: [&str; 2] = ["people.toml", "instruments.toml"];

/// What a rescue copy holds, as read back from it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Rescued {
    /// The new hangar folder.
    pub hangar: PathBuf,
    /// The session's folder in it.
    pub session: PathBuf,
    pub files: usize,
    pub bytes: u64,
    /// Entries of the copy that verify.
    pub entries: usize,
    /// What could not be read, or does not read back the same: one line each. Empty when the copy is complete.
    pub problems: Vec<String>,
    /// Damage of the record itself, which a copy neither repairs nor makes worse.
    pub damage: Option<String>,
}

impl Rescued {
    /// In one sentence: how much, and whether it was found again.
    pub fn words(&self) -> String {
        let (files, bytes) = (self.files, self.bytes);
        let held = say!(
            "{files} files, {bytes} bytes, {} entries that verify",
            self.entries,
            files = files,
            bytes = bytes
        );
        match self.problems.len() {
            0 => say!("copied and read back the same: {held}", held = held),
            n => say!("copied as far as it can be read ({n} not whole): {held}", n = n, held = held),
        }
    }

    /// What to do with it.
    pub fn next(&self) -> String {
        say!(
            "look at it: spanwise --hangar {} show {}; go on in one of the two only",
            self.hangar.display(),
            self.session.file_name().unwrap_or_default().to_string_lossy()
        )
    }
}

/// Copies a session byte for byte: journal, register, plans, evidence, fragments. Damaged, read-only or locked by
/// another window, it makes no difference: nothing is written to the session. The copy lies as `sessions/<sid>` in
/// `into`, which with the registers becomes a hangar folder of its own. Lock and ballast are left out.
///
/// # Errors
/// The new place cannot be written, or holds this session already. What cannot be *read* is no error: see
/// [`Rescued::problems`].
pub fn rescue(hangar: &Hangar, sid: &str, into: &Path) -> Result<Rescued, HangarError> {
    Rescue::begin(hangar, sid, into)?.copy_from_disk().map_err(unwritten)
}

/// As [`rescue`], with the journal from this writer's memory, and its unsaved line: after a failed flush the disk
/// may tell something else than what was written to it.
pub(super) fn rescue_from(
    hangar: &Hangar,
    sid: &str,
    writer: &Writer,
    into: &Path,
) -> Result<Rescued, HangarError> {
    Rescue::begin(hangar, sid, into)?.copy_from_memory(writer).map_err(unwritten)
}

fn unwritten(error: StoreError) -> HangarError {
    HangarError::disk(error, say!("the copy is not complete; choose another folder, best on another medium"))
}

/// Gives the session's ballast back to its disk. Needs no lock: another window may have the session open, and it is
/// that one which waits for room.
///
/// # Errors
/// There is room enough, the ballast is gone already, or it cannot be removed.
pub fn make_room(hangar: &Hangar, sid: &str) -> Result<u64, HangarError> {
    let (disk, dir) = (hangar.disk.as_ref(), hangar.sessions_folder().join(sid));
    let declined = |why: String, next: &str| HangarError::Declined(Declined { why, next: next.to_string() });
    let ballast = RESERVE_LEN as u64;
    if let Ok(free) = disk.free_space(&dir)
        && free >= MIN_FREE
    {
        return Err(declined(
            say!("the disk is not full: {free} bytes are free", free = free),
            say!("just go on; the ballast stays"),
        ));
    }
    match release_reserve(disk, &dir) {
        Ok(()) => Ok(ballast),
        Err(error) if error.is_not_found() => Err(declined(
            say!("the ballast was given back before").to_string(),
            say!("free some space on this disk, or rescue the session to another one: spanwise rescue"),
        )),
        Err(error) => {
            Err(HangarError::disk(error, say!("rescue the session to another disk: spanwise rescue")))
        }
    }
}

struct Rescue<'a> {
    hangar: &'a Hangar,
    from: PathBuf,
    to: PathBuf,
    done: Rescued,
}

impl<'a> Rescue<'a> {
    /// Makes the new place and refuses one that holds the session already.
    fn begin(hangar: &'a Hangar, sid: &str, into: &Path) -> Result<Rescue<'a>, HangarError> {
        let disk = hangar.disk.as_ref();
        let sessions = into.join("sessions");
        let to = sessions.join(sid);
        let another = say!("name a new folder, best on another medium");
        if disk.exists(&to).map_err(|error| HangarError::disk(error, another))? {
            return Err(HangarError::Declined(Declined {
                why: say!("{} is there already; nothing is overwritten", to.display()),
                next: another.to_string(),
            }));
        }
        let from = hangar.sessions_folder().join(sid);
        if is_inside(into, &from) {
            return Err(HangarError::Declined(Declined {
                why: say!("{} lies in the session itself", into.display()),
                next: another.to_string(),
            }));
        }
        make_folders(disk, &sessions).map_err(|error| HangarError::disk(error, another))?;
        let done = Rescued {
            hangar: into.to_path_buf(),
            session: to.clone(),
            files: 0,
            bytes: 0,
            entries: 0,
            problems: Vec::new(),
            damage: None,
        };
        Ok(Rescue { hangar, from, to, done })
    }

    fn disk(&self) -> &'a dyn Disk {
        self.hangar.disk.as_ref()
    }

    /// Under a temporary name until all of it is durable, so that half a copy is never taken for one.
    fn copy_from_disk(mut self) -> DiskResult<Rescued> {
        let disk = self.disk();
        let name = self.to.file_name().unwrap_or_default().to_string_lossy().into_owned();
        let sessions = self.to.with_file_name("");
        let unfinished = (0..u32::MAX)
            .map(|n| sessions.join(format!("{UNFINISHED}{n}-{name}")))
            .find(|path| !disk.exists(path).unwrap_or(false))
            .unwrap_or_else(|| sessions.join(format!("{UNFINISHED}{name}")));
        disk.create_dir(&unfinished)?;
        self.pair(&unfinished)?;
        self.folder(&self.from.clone(), &unfinished, &[JOURNAL, REGISTER, LOCK, RESERVE], DEEPEST)?;
        disk.sync_dir(&unfinished)?;
        disk.rename_noreplace(&unfinished, &self.to)?;
        disk.sync_dir(&sessions)?;
        self.finish()
    }

    fn copy_from_memory(mut self, writer: &Writer) -> DiskResult<Rescued> {
        writer.rescue_copy(&self.to)?;
        let disk = self.disk();
        for item in disk.list(&self.to)?.into_iter().filter(|item| !item.is_dir && item.name != LOCK) {
            let bytes = disk.read(&self.to.join(&item.name))?.len() as u64;
            self.done.files += usize::from(item.name != RESERVE);
            self.done.bytes += if item.name == RESERVE { 0 } else { bytes };
        }
        let (from, to) = (self.from.clone(), self.to.clone());
        let held: Vec<String> =
            disk.list(&to)?.into_iter().filter(|item| !item.is_dir).map(|i| i.name).collect();
        let held: Vec<&str> = held.iter().map(String::as_str).collect();
        self.folder(&from, &to, &held, DEEPEST)?;
        disk.sync_dir(&to)?;
        self.finish()
    }

    /// Journal and register belong together: where a writer appends meanwhile, both are read again until the
    /// register stood still.
    fn pair(&mut self, to: &Path) -> DiskResult<()> {
        const TRIES: usize = 8;
        let read = |name: &str| self.disk().read(&self.from.join(name));
        let mut register = read(REGISTER);
        let mut journal = read(JOURNAL);
        for _ in 0..TRIES {
            let again = read(REGISTER);
            if matches!((&register, &again), (Ok(before), Ok(after)) if before == after) || again.is_err() {
                break;
            }
            (register, journal) = (again, read(JOURNAL));
        }
        for (name, found) in [(JOURNAL, journal), (REGISTER, register)] {
            match found {
                Ok(bytes) => self.write(&mut bytes.as_slice(), &self.from.join(name), &to.join(name))?,
                // A bad block: what comes before it is still worth having.
                Err(_) => self.file(&self.from.join(name), &to.join(name))?,
            }
        }
        Ok(())
    }

    fn folder(&mut self, from: &Path, to: &Path, without: &[&str], levels: u8) -> DiskResult<()> {
        let Some(below) = levels.checked_sub(1) else {
            self.done.problems.push(say!("{} lies too deep for a session", from.display()));
            return Ok(());
        };
        let items = match self.disk().list(from) {
            Ok(items) => items,
            Err(error) => {
                self.done.problems.push(error.to_string());
                return Ok(());
            }
        };
        for item in items.iter().filter(|item| !without.contains(&item.name.as_str())) {
            let (source, target) = (from.join(&item.name), to.join(&item.name));
            if item.is_dir {
                if !self.disk().exists(&target)? {
                    self.disk().create_dir(&target)?;
                }
                self.folder(&source, &target, &[], below)?;
                self.disk().sync_dir(&target)?;
            } else if is_no_file(&source) {
                self.done.problems.push(say!("{} is no file", source.display()));
            } else {
                self.file(&source, &target)?;
            }
        }
        Ok(())
    }

    fn file(&mut self, from: &Path, to: &Path) -> DiskResult<()> {
        match self.disk().open_read(from) {
            Ok(mut source) => self.write(&mut source, from, to),
            Err(error) => {
                self.done.problems.push(error.to_string());
                Ok(())
            }
        }
    }

    /// Copies as far as the source can be read, makes it durable and reads it back.
    fn write(&mut self, source: &mut dyn Read, from: &Path, to: &Path) -> DiskResult<()> {
        let disk = self.disk();
        let mut target = disk.create_new(to)?;
        let mut piece = vec![0; CHUNK_BYTES];
        let (mut hasher, mut bytes) = (Hasher::new(), 0u64);
        loop {
            match source.read(&mut piece) {
                Ok(0) => break,
                Ok(read) => {
                    hasher.update(&piece[..read]);
                    target.append(&piece[..read])?;
                    bytes += read as u64;
                }
                Err(error) if error.kind() == std::io::ErrorKind::Interrupted => {}
                Err(error) => {
                    self.done.problems.push(say!(
                        "{}: after {bytes} bytes: {error}",
                        from.display(),
                        bytes = bytes,
                        error = error
                    ));
                    break;
                }
            }
        }
        target.sync_all()?;
        if read_back(disk, to)? != hasher.finish() {
            self.done.problems.push(say!("{} does not read back as it was written", to.display()));
        }
        self.done.files += 1;
        self.done.bytes += bytes;
        Ok(())
    }

    /// The registers, then the verdict on the copy as it lies on its disk.
    fn finish(mut self) -> DiskResult<Rescued> {
        let disk = self.disk();
        for name in REGISTERS {
            let (from, to) = (self.hangar.root.join(name), self.done.hangar.join(name));
            if disk.exists(&from).unwrap_or(false) && !is_no_file(&from) && !disk.exists(&to)? {
                self.file(&from, &to)?;
            }
        }
        disk.sync_dir(&self.done.hangar)?;
        match open_reader(disk, &self.to) {
            Ok(read) => {
                self.done.entries = read.entries.len();
                if let Verdict::Damaged(damage) = read.verdict {
                    self.done.damage = Some(damage.to_string());
                }
            }
            Err(error) => self.done.damage = Some(error.to_string()),
        }
        Ok(self.done)
    }
}

/// Else the copy would be copied into itself without end.
fn is_inside(path: &Path, folder: &Path) -> bool {
    let whole = |path: &Path| std::path::absolute(path).unwrap_or_else(|_| path.to_path_buf());
    whole(path).starts_with(whole(folder))
}

fn read_back(disk: &dyn Disk, path: &Path) -> DiskResult<Hash> {
    let mut source = disk.open_read(path)?;
    let mut piece = vec![0; CHUNK_BYTES];
    let mut hasher = Hasher::new();
    loop {
        match source.read(&mut piece) {
            Ok(0) => return Ok(hasher.finish()),
            Ok(read) => hasher.update(&piece[..read]),
            Err(error) if error.kind() == std::io::ErrorKind::Interrupted => {}
            Err(error) => return Err(StoreError::new("read back", path, error)),
        }
    }
}

/// Makes a folder and its missing parents, each name durable before the next.
fn make_folders(disk: &dyn Disk, path: &Path) -> DiskResult<()> {
    if path.as_os_str().is_empty() || disk.exists(path)? {
        return Ok(());
    }
    let parent = path.parent().filter(|parent| !parent.as_os_str().is_empty());
    if let Some(parent) = parent {
        make_folders(disk, parent)?;
    }
    disk.create_dir(path)?;
    disk.sync_dir(parent.unwrap_or(Path::new(".")))
}
