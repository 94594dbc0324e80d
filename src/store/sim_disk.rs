//! A disk in memory that loses what was not synced, tears writes, and fails at a chosen call.
//!
//! Calls are numbered from 0 in the order they are made, over all clones of one disk.

use std::collections::BTreeSet;
use std::io::{self, Cursor, ErrorKind, Read};
use std::path::Path;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

use super::disk::{Disk, DiskFile, DiskResult, Item, LockGuard, StoreError};
pub use super::sim_state::Random;
use super::sim_state::{DirNode, DirOp, FileNode, FileOp, Ino, Node, State};

/// Handles of one simulated disk share it: a clone is the same disk.
#[derive(Debug, Clone)]
pub struct SimDisk(Arc<Mutex<Inner>>);

/// What goes wrong at a call. `written` bytes of a failing write reach the cache before the error.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SimFault {
    pub kind: ErrorKind,
    pub written: usize,
    /// Whether every later call fails too.
    pub persists: bool,
    /// What a failed flush leaves in the cache. Both were seen on file systems in use (Rebello and others, "Can
    /// Applications Recover from fsync Failures?", USENIX ATC 2020): the new content, now marked as clean, so that
    /// the next flush succeeds without writing it (false); or the content as it was before (true).
    pub old_content_returns: bool,
}

impl SimFault {
    /// A fault that hits one call, before anything of it is done.
    pub fn once(kind: ErrorKind) -> Self {
        SimFault { kind, written: 0, persists: false, old_content_returns: false }
    }

    /// From this call on the disk does nothing more: where a program stops when the power goes.
    pub fn power_off() -> Self {
        SimFault { persists: true, ..SimFault::once(ErrorKind::Other) }
    }
}

#[derive(Debug)]
struct Inner {
    state: State,
    calls: u64,
    fault: Option<(u64, SimFault)>,
    fired: bool,
    locks: BTreeSet<Ino>,
    free_space: u64,
    history: Option<Vec<State>>,
}

#[derive(Debug)]
struct SimFile {
    disk: SimDisk,
    ino: Ino,
    path: std::path::PathBuf,
}

#[derive(Debug)]
struct SimLock {
    disk: SimDisk,
    ino: Ino,
}

impl LockGuard for SimLock {}

impl Drop for SimLock {
    fn drop(&mut self) {
        self.disk.inner().locks.remove(&self.ino);
    }
}

impl Default for SimDisk {
    fn default() -> Self {
        Self::new()
    }
}

impl SimDisk {
    /// An empty disk with a durable root folder "/".
    pub fn new() -> Self {
        Self::from_state(State::new())
    }

    fn from_state(state: State) -> Self {
        let inner = Inner {
            state,
            calls: 0,
            fault: None,
            fired: false,
            locks: BTreeSet::new(),
            free_space: u64::MAX,
            history: None,
        };
        SimDisk(Arc::new(Mutex::new(inner)))
    }

    /// Lets the call numbered `call` fail (and all after it, if the fault persists).
    pub fn fail_at(&self, call: u64, fault: SimFault) {
        let mut inner = self.inner();
        inner.fault = Some((call, fault));
        inner.fired = false;
    }

    /// Whether the fault set last has happened.
    pub fn fault_fired(&self) -> bool {
        self.inner().fired
    }

    /// How many calls were made so far: the number of the next one.
    pub fn calls(&self) -> u64 {
        self.inner().calls
    }

    /// From now on, keep the disk's state before each call; see [`SimDisk::states_before_calls`].
    pub fn keep_history(&self) {
        self.inner().history = Some(Vec::new());
    }

    /// A disk for the state before each call since [`SimDisk::keep_history`], and one for the state now.
    pub fn states_before_calls(&self) -> Vec<SimDisk> {
        let inner = self.inner();
        let past = inner.history.iter().flatten().cloned();
        past.chain([inner.state.clone()]).map(Self::from_state).collect()
    }

    /// Disks that a power cut now may leave: each unsynced write lost, whole, torn at each byte or replaced by
    /// junk; each unsynced name there or not. Two choices in different files are not combined; see
    /// [`SimDisk::crash`] for that.
    pub fn crash_images(&self, seed: u64) -> Vec<SimDisk> {
        self.inner().state.crash_images(seed).into_iter().map(Self::from_state).collect()
    }

    /// One disk that a power cut now may leave, with all choices drawn at random; the same seed gives the same.
    pub fn crash(&self, seed: u64) -> SimDisk {
        Self::from_state(self.inner().state.crash(seed))
    }

    /// A second disk in the same state, cache included, without the first one's fault and locks: what the next
    /// process finds when this one was killed.
    pub fn fork(&self) -> SimDisk {
        Self::from_state(self.inner().state.clone())
    }

    /// Replaces a file's content beneath the program's feet, as tampering or rot would.
    pub fn overwrite(&self, path: &Path, bytes: &[u8]) {
        let mut inner = self.inner();
        if let Some(file) = inner.state.find(path).and_then(|ino| inner.state.file(ino)) {
            let content = Arc::new(bytes.to_vec());
            *file = FileNode { durable: Arc::clone(&content), cached: content, ..FileNode::default() };
        }
    }

    pub fn set_free_space(&self, bytes: u64) {
        self.inner().free_space = bytes;
    }

    fn inner(&self) -> MutexGuard<'_, Inner> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Counts the call and returns the fault that hits it, if any.
    fn call(&self) -> (MutexGuard<'_, Inner>, Option<SimFault>) {
        let mut inner = self.inner();
        let number = inner.calls;
        inner.calls += 1;
        if inner.history.is_some() {
            let state = inner.state.clone();
            inner.history.get_or_insert_default().push(state);
        }
        let hit = inner.fault.filter(|(at, f)| number == *at || f.persists && number > *at).map(|(_, f)| f);
        inner.fired |= hit.is_some();
        (inner, hit)
    }

    fn run<T>(
        &self,
        operation: &'static str,
        path: &Path,
        work: impl FnOnce(&mut Inner) -> Result<T, ErrorKind>,
    ) -> DiskResult<T> {
        let (mut inner, hit) = self.call();
        let outcome = hit.map_or_else(|| work(&mut inner), |fault| Err(fault.kind));
        outcome.map_err(|kind| StoreError::new(operation, path, io::Error::from(kind)))
    }

    fn open(&self, operation: &'static str, path: &Path) -> DiskResult<Box<dyn DiskFile>> {
        let ino = self.run(operation, path, |inner| find_file(inner, path))?;
        Ok(self.handle(ino, path))
    }

    fn handle(&self, ino: Ino, path: &Path) -> Box<dyn DiskFile> {
        Box::new(SimFile { disk: self.clone(), ino, path: path.to_path_buf() })
    }
}

fn find_file(inner: &mut Inner, path: &Path) -> Result<Ino, ErrorKind> {
    let ino = inner.state.find(path).ok_or(ErrorKind::NotFound)?;
    inner.state.file(ino).map(|_| ino).ok_or(ErrorKind::IsADirectory)
}

fn content(inner: &mut Inner, path: &Path) -> Result<Vec<u8>, ErrorKind> {
    let ino = find_file(inner, path)?;
    inner.state.file(ino).map(|f| f.cached.as_ref().clone()).ok_or(ErrorKind::NotFound)
}

fn split(path: &Path) -> Result<(&Path, String), ErrorKind> {
    let name = path.file_name().and_then(|n| n.to_str()).ok_or(ErrorKind::InvalidInput)?;
    Ok((path.parent().unwrap_or(Path::new("/")), name.to_owned()))
}

fn parent(inner: &mut Inner, path: &Path) -> Result<(Ino, String), ErrorKind> {
    let (folder, name) = split(path)?;
    let ino = inner.state.find(folder).ok_or(ErrorKind::NotFound)?;
    inner.state.dir(ino).map(|_| (ino, name)).ok_or(ErrorKind::NotADirectory)
}

fn dir_op(inner: &mut Inner, ino: Ino, op: DirOp) {
    if let Some(dir) = inner.state.dir(ino) {
        dir.apply(op);
    }
}

fn make(inner: &mut Inner, path: &Path, node: Node) -> Result<Ino, ErrorKind> {
    let (folder, name) = parent(inner, path)?;
    if inner.state.find(path).is_some() {
        return Err(ErrorKind::AlreadyExists);
    }
    inner.state.nodes.push(node);
    let ino = inner.state.nodes.len() - 1;
    dir_op(inner, folder, DirOp::Link(name, ino));
    Ok(ino)
}

impl SimFile {
    fn write(&self, operation: &'static str, at: Option<u64>, bytes: &[u8]) -> DiskResult<()> {
        let (mut inner, hit) = self.disk.call();
        let part = hit.map_or(bytes.len(), |fault| fault.written.min(bytes.len()));
        if let (Some(file), true) = (inner.state.file(self.ino), part > 0) {
            let offset = at.map_or(file.cached.len(), |o| o as usize);
            file.apply(FileOp::Write(offset, Arc::new(bytes[..part].to_vec())));
        }
        hit.map_or(Ok(()), |fault| Err(StoreError::new(operation, &self.path, fault.kind.into())))
    }

    fn sync(&self) -> DiskResult<()> {
        let (mut inner, hit) = self.disk.call();
        if let Some(file) = inner.state.file(self.ino) {
            match hit {
                Some(fault) => file.fail_sync(fault.old_content_returns),
                None => file.sync(),
            }
        }
        hit.map_or(Ok(()), |fault| Err(StoreError::new("flush", &self.path, fault.kind.into())))
    }
}

impl DiskFile for SimFile {
    fn append(&mut self, bytes: &[u8]) -> DiskResult<()> {
        self.write("write to", None, bytes)
    }

    fn pwrite(&mut self, offset: u64, bytes: &[u8]) -> DiskResult<()> {
        self.write("write into", Some(offset), bytes)
    }

    fn sync_data(&mut self) -> DiskResult<()> {
        self.sync()
    }

    fn sync_all(&mut self) -> DiskResult<()> {
        self.sync()
    }

    fn truncate(&mut self, len: u64) -> DiskResult<()> {
        let ino = self.ino;
        self.disk.run("shorten", &self.path, |inner| {
            let file = inner.state.file(ino).ok_or(ErrorKind::NotFound)?;
            file.apply(FileOp::Truncate(len as usize));
            Ok(())
        })
    }
}

impl Disk for SimDisk {
    fn create_dir(&self, path: &Path) -> DiskResult<()> {
        let node = Node::Dir(DirNode::default());
        self.run("create the folder", path, |inner| make(inner, path, node).map(drop))
    }

    fn create_new(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>> {
        let node = Node::File(FileNode::default());
        let ino = self.run("create", path, |inner| make(inner, path, node))?;
        Ok(self.handle(ino, path))
    }

    fn open_append(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>> {
        self.open("open for writing", path)
    }

    fn open_update(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>> {
        self.open("open for writing", path)
    }

    fn open_read(&self, path: &Path) -> DiskResult<Box<dyn Read + Send>> {
        let bytes = self.run("open", path, |inner| content(inner, path))?;
        Ok(Box::new(Cursor::new(bytes)))
    }

    fn read(&self, path: &Path) -> DiskResult<Vec<u8>> {
        self.run("read", path, |inner| content(inner, path))
    }

    /// A failed sync leaves the names pending: they may still reach the disk.
    fn sync_dir(&self, path: &Path) -> DiskResult<()> {
        self.run("flush the folder", path, |inner| {
            let ino = inner.state.find(path).ok_or(ErrorKind::NotFound)?;
            inner.state.dir(ino).ok_or(ErrorKind::NotADirectory)?.sync();
            Ok(())
        })
    }

    fn rename_replace(&self, from: &Path, to: &Path) -> DiskResult<()> {
        self.run("rename into place as", to, |inner| {
            inner.state.find(from).ok_or(ErrorKind::NotFound)?;
            let ((old, old_name), (new, new_name)) = (parent(inner, from)?, parent(inner, to)?);
            // Only within one folder is it one step.
            if old != new {
                return Err(ErrorKind::CrossesDevices);
            }
            dir_op(inner, old, DirOp::Rename(old_name, new_name));
            Ok(())
        })
    }

    fn rename_noreplace(&self, from: &Path, to: &Path) -> DiskResult<()> {
        self.run("rename into place as", to, |inner| {
            let ino = inner.state.find(from).ok_or(ErrorKind::NotFound)?;
            let ((old, old_name), (new, new_name)) = (parent(inner, from)?, parent(inner, to)?);
            if inner.state.find(to).is_some() {
                return Err(ErrorKind::AlreadyExists);
            }
            if old == new {
                dir_op(inner, old, DirOp::Rename(old_name, new_name));
            } else {
                dir_op(inner, new, DirOp::Link(new_name, ino));
                dir_op(inner, old, DirOp::Unlink(old_name));
            }
            Ok(())
        })
    }

    fn remove_file(&self, path: &Path) -> DiskResult<()> {
        self.run("remove", path, |inner| {
            find_file(inner, path)?;
            let (folder, name) = parent(inner, path)?;
            dir_op(inner, folder, DirOp::Unlink(name));
            Ok(())
        })
    }

    fn exists(&self, path: &Path) -> DiskResult<bool> {
        self.run("look for", path, |inner| Ok(inner.state.find(path).is_some()))
    }

    fn list(&self, path: &Path) -> DiskResult<Vec<Item>> {
        self.run("list the folder", path, |inner| {
            let ino = inner.state.find(path).ok_or(ErrorKind::NotFound)?;
            let names = inner.state.dir(ino).ok_or(ErrorKind::NotADirectory)?.cached.clone();
            let is_dir = |ino: Ino| matches!(inner.state.nodes[ino], Node::Dir(_));
            Ok(names.into_iter().map(|(name, ino)| Item { name, is_dir: is_dir(ino) }).collect())
        })
    }

    fn lock(&self, path: &Path) -> DiskResult<Box<dyn LockGuard>> {
        let ino = self.run("lock", path, |inner| {
            let ino = match find_file(inner, path) {
                Err(ErrorKind::NotFound) => make(inner, path, Node::File(FileNode::default()))?,
                found => found?,
            };
            if inner.locks.insert(ino) { Ok(ino) } else { Err(ErrorKind::WouldBlock) }
        })?;
        Ok(Box::new(SimLock { disk: self.clone(), ino }))
    }

    fn free_space(&self, path: &Path) -> DiskResult<u64> {
        self.run("measure the free space at", path, |inner| Ok(inner.free_space))
    }

    fn is_network(&self, path: &Path) -> DiskResult<bool> {
        self.run("ask for the kind of file system at", path, |_| Ok(false))
    }
}
