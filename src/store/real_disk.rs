//! The machine's own disk.

use std::fs::{self, File, OpenOptions, TryLockError};
use std::io::{self, ErrorKind, Read, Write};
use std::path::{Path, PathBuf};

use super::disk::{Disk, DiskFile, DiskResult, Item, LockGuard, StoreError};

/// Files through the standard library; see [`Disk`] for what each call promises.
#[derive(Debug, Default, Clone, Copy)]
pub struct RealDisk;

#[derive(Debug)]
struct RealFile {
    file: File,
    path: PathBuf,
}

#[derive(Debug)]
struct RealLock {
    /// Dropping the file releases the lock.
    _file: File,
}

impl LockGuard for RealLock {}

impl RealFile {
    fn open(operation: &'static str, path: &Path, options: &OpenOptions) -> DiskResult<Box<dyn DiskFile>> {
        let file = options.open(path).map_err(|e| StoreError::new(operation, path, e))?;
        Ok(Box::new(RealFile { file, path: path.to_path_buf() }))
    }

    fn failed(&self, operation: &'static str) -> impl FnOnce(io::Error) -> StoreError + '_ {
        move |e| StoreError::new(operation, &self.path, e)
    }
}

impl DiskFile for RealFile {
    fn append(&mut self, bytes: &[u8]) -> DiskResult<()> {
        (&self.file).write_all(bytes).map_err(self.failed("write to"))
    }

    fn pwrite(&mut self, offset: u64, bytes: &[u8]) -> DiskResult<()> {
        write_all_at(&self.file, offset, bytes).map_err(self.failed("write into"))
    }

    fn sync_data(&mut self) -> DiskResult<()> {
        self.file.sync_data().map_err(self.failed("flush"))
    }

    fn sync_all(&mut self) -> DiskResult<()> {
        self.file.sync_all().map_err(self.failed("flush"))
    }

    fn truncate(&mut self, len: u64) -> DiskResult<()> {
        self.file.set_len(len).map_err(self.failed("shorten"))
    }
}

#[cfg(unix)]
fn write_all_at(file: &File, offset: u64, bytes: &[u8]) -> io::Result<()> {
    std::os::unix::fs::FileExt::write_all_at(file, bytes, offset)
}

#[cfg(not(unix))]
fn write_all_at(mut file: &File, offset: u64, bytes: &[u8]) -> io::Result<()> {
    use std::io::{Seek, SeekFrom};
    file.seek(SeekFrom::Start(offset))?;
    file.write_all(bytes)
}

impl Disk for RealDisk {
    fn create_dir(&self, path: &Path) -> DiskResult<()> {
        fs::create_dir(path).map_err(|e| StoreError::new("create the folder", path, e))
    }

    fn create_new(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>> {
        RealFile::open("create", path, OpenOptions::new().write(true).create_new(true))
    }

    fn open_append(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>> {
        RealFile::open("open for writing", path, OpenOptions::new().append(true))
    }

    fn open_update(&self, path: &Path) -> DiskResult<Box<dyn DiskFile>> {
        RealFile::open("open for writing", path, OpenOptions::new().write(true))
    }

    fn open_read(&self, path: &Path) -> DiskResult<Box<dyn Read + Send>> {
        let file = File::open(path).map_err(|e| StoreError::new("open", path, e))?;
        Ok(Box::new(file))
    }

    fn read(&self, path: &Path) -> DiskResult<Vec<u8>> {
        fs::read(path).map_err(|e| StoreError::new("read", path, e))
    }

    fn sync_dir(&self, path: &Path) -> DiskResult<()> {
        sync_dir(path).map_err(|e| StoreError::new("flush the folder", path, e))
    }

    fn rename_noreplace(&self, from: &Path, to: &Path) -> DiskResult<()> {
        rename_noreplace(from, to).map_err(|e| StoreError::new("rename into place as", to, e))
    }

    fn rename_replace(&self, from: &Path, to: &Path) -> DiskResult<()> {
        let taken_over = match fs::metadata(to) {
            Ok(found) => fs::set_permissions(from, found.permissions()),
            Err(_) => Ok(()),
        };
        taken_over
            .and_then(|()| fs::rename(from, to))
            .map_err(|e| StoreError::new("rename into place as", to, e))
    }

    fn remove_file(&self, path: &Path) -> DiskResult<()> {
        fs::remove_file(path).map_err(|e| StoreError::new("remove", path, e))
    }

    fn exists(&self, path: &Path) -> DiskResult<bool> {
        path.try_exists().map_err(|e| StoreError::new("look for", path, e))
    }

    fn list(&self, path: &Path) -> DiskResult<Vec<Item>> {
        list(path).map_err(|e| StoreError::new("list the folder", path, e))
    }

    fn lock(&self, path: &Path) -> DiskResult<Box<dyn LockGuard>> {
        let failed = |e| StoreError::new("lock", path, e);
        let options = OpenOptions::new().read(true).write(true).create(true).truncate(false).to_owned();
        let file = options.open(path).map_err(failed)?;
        match file.try_lock() {
            Ok(()) => Ok(Box::new(RealLock { _file: file })),
            Err(TryLockError::WouldBlock) => Err(failed(ErrorKind::WouldBlock.into())),
            Err(TryLockError::Error(e)) => Err(failed(e)),
        }
    }

    fn free_space(&self, path: &Path) -> DiskResult<u64> {
        free_space(path).map_err(|e| StoreError::new("measure the free space at", path, e))
    }

    fn is_network(&self, path: &Path) -> DiskResult<bool> {
        is_network(path).map_err(|e| StoreError::new("ask for the kind of file system at", path, e))
    }
}

fn list(path: &Path) -> io::Result<Vec<Item>> {
    let mut items = Vec::new();
    for entry in fs::read_dir(path)? {
        let entry = entry?;
        // Our own names are all UTF-8; a foreign one is shown with a mark, and never opened by that name.
        let name = entry.file_name().to_string_lossy().into_owned();
        items.push(Item { name, is_dir: entry.file_type()?.is_dir() });
    }
    items.sort();
    Ok(items)
}

#[cfg(unix)]
fn sync_dir(path: &Path) -> io::Result<()> {
    File::open(path)?.sync_all()
}

/// Windows offers no flush of a folder's names; that platform needs its own evidence before it is offered.
#[cfg(not(unix))]
fn sync_dir(_path: &Path) -> io::Result<()> {
    Ok(())
}

/// One atomic step where the system has it; else a look before the rename, which is enough for names that are
/// random or made from content.
fn rename_noreplace(from: &Path, to: &Path) -> io::Result<()> {
    #[cfg(target_os = "linux")]
    {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        use rustix::io::Errno;
        match renameat_with(CWD, from, CWD, to, RenameFlags::NOREPLACE) {
            // The file system does not know the flag.
            Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => {}
            done => return Ok(done?),
        }
    }
    if to.try_exists()? {
        return Err(ErrorKind::AlreadyExists.into());
    }
    fs::rename(from, to)
}

#[cfg(unix)]
fn free_space(path: &Path) -> io::Result<u64> {
    let found = rustix::fs::statvfs(path)?;
    Ok(found.f_bavail.saturating_mul(found.f_frsize))
}

/// Not known here; a full disk then shows itself at the first write.
#[cfg(not(unix))]
fn free_space(_path: &Path) -> io::Result<u64> {
    Ok(u64::MAX)
}

/// By the file system's magic number (Linux `statfs(2)`): NFS, SMB, SMB2/CIFS, AFS, Coda, NCP, 9P, Ceph.
#[cfg(target_os = "linux")]
fn is_network(path: &Path) -> io::Result<bool> {
    const NETWORK: [u32; 9] = [
        0x6969,
        0x517b,
        0xfe53_4d42,
        0xff53_4d42,
        0x5346_414f,
        0x7375_7245,
        0x564c,
        0x0102_1997,
        0x00c3_6400,
    ];
    let kind = rustix::fs::statfs(path)?.f_type as u32;
    Ok(NETWORK.contains(&kind))
}

#[cfg(not(target_os = "linux"))]
fn is_network(_path: &Path) -> io::Result<bool> {
    Ok(false)
}

#[cfg(test)]
mod tests {
    use super::super::disk::write_new;
    use super::*;

    #[test]
    fn files_and_names() {
        let place = tempfile::tempdir().unwrap();
        let at = |name: &str| place.path().join(name);
        let disk = RealDisk;
        disk.create_dir(&at("a")).unwrap();
        assert_eq!(disk.create_dir(&at("a")).unwrap_err().kind(), ErrorKind::AlreadyExists);
        write_new(&disk, &at("a/f"), b"one\n").unwrap();
        assert_eq!(disk.create_new(&at("a/f")).unwrap_err().kind(), ErrorKind::AlreadyExists);
        let mut log = disk.open_append(&at("a/f")).unwrap();
        log.append(b"two\n").unwrap();
        log.sync_data().unwrap();
        log.truncate(6).unwrap();
        let mut update = disk.open_update(&at("a/f")).unwrap();
        update.pwrite(1, b"N").unwrap();
        log.append(b"!").unwrap();
        assert_eq!(disk.read(&at("a/f")).unwrap(), b"oNe\ntw!");
        write_new(&disk, &at("a/g"), b"").unwrap();
        assert_eq!(
            disk.rename_noreplace(&at("a/g"), &at("a/f")).unwrap_err().kind(),
            ErrorKind::AlreadyExists
        );
        disk.rename_noreplace(&at("a"), &at("b")).unwrap();
        disk.sync_dir(place.path()).unwrap();
        let names: Vec<String> = disk.list(&at("b")).unwrap().into_iter().map(|i| i.name).collect();
        assert_eq!(names, ["f", "g"]);
        disk.remove_file(&at("b/g")).unwrap();
        assert!(!disk.exists(&at("b/g")).unwrap());
        assert!(disk.free_space(place.path()).unwrap() > 0);
        assert!(!disk.is_network(place.path()).unwrap());
    }

    #[test]
    fn the_lock_is_exclusive_and_goes_with_its_guard() {
        let place = tempfile::tempdir().unwrap();
        let path = place.path().join("lock");
        let held = RealDisk.lock(&path).unwrap();
        let refused = RealDisk.lock(&path).unwrap_err();
        assert!(refused.is_locked(), "{refused}");
        drop(held);
        RealDisk.lock(&path).unwrap();
    }

    #[test]
    fn an_error_names_operation_path_and_next_step() {
        let error = RealDisk.read(Path::new("/nowhere/at/all")).unwrap_err();
        assert!(error.is_not_found());
        let words = error.to_string();
        assert!(words.starts_with("cannot read /nowhere/at/all: "), "{words}");
        assert!(words.ends_with(error.hint), "{words}");
    }
}
