//! The log file: what the program did, for whoever looks after it. Never what is typed, never a passphrase.
//!
//! It is no record and nothing rests on it: a full, read-only or missing disk is no reason to fail, so every error here is
//! dropped. The file is small; when it is full it becomes `spanwise.log.1`, in the place of the one before.

use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::OnceLock;

use super::clock::{Clock, RealClock, wall_text};
use crate::words::{Language, with_language};

/// Bytes of one file: a year of work, and read in a moment.
pub const LARGEST_BYTES: u64 = 256 * 1024;

/// How much is kept; each level holds those before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Level {
    Error,
    Info,
    Debug,
}

impl Level {
    pub fn word(self) -> &'static str {
        match self {
            Level::Error => "error",
            Level::Info => "info",
            Level::Debug => "debug",
        }
    }

    /// `None` for "off" and for anything else that is no level.
    pub fn of_word(word: &str) -> Option<Level> {
        [Level::Error, Level::Info, Level::Debug].into_iter().find(|level| level.word() == word)
    }
}

/// One log file, written by any number of processes: each line is one write at its end.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Log {
    path: PathBuf,
    level: Level,
    largest_bytes: u64,
}

/// The log of this process. The core is called from tests and from other programs, too: without a start nothing is kept.
static LOG: OnceLock<Log> = OnceLock::new();

/// From now on [`tell`] writes to this file. A second start changes nothing.
pub fn start(path: PathBuf, level: Level) {
    let _ = LOG.set(Log::at(path, level));
}

/// Keeps a line, if this level is kept. The words are made only then, and in English: whoever looks after the program may
/// speak another language than its user.
pub fn tell(level: Level, words: impl FnOnce() -> String) {
    if let Some(log) = LOG.get().filter(|log| level <= log.level) {
        log.write(level, &wall_text(RealClock::new().now()), &with_language(Language::English, words));
    }
}

impl Log {
    pub fn at(path: PathBuf, level: Level) -> Log {
        Log { path, level, largest_bytes: LARGEST_BYTES }
    }

    /// Writes one line, or nothing where the disk refuses.
    fn write(&self, level: Level, wall: &str, words: &str) {
        let line = format!("{wall} {:<5} {} {}\n", level.word(), std::process::id(), on_one_line(words));
        let folder = self.path.parent().unwrap_or(Path::new("."));
        let full = std::fs::metadata(&self.path)
            .is_ok_and(|found| found.len().saturating_add(line.len() as u64) > self.largest_bytes);
        if full {
            let _ = std::fs::rename(&self.path, earlier(&self.path));
        }
        let open = || std::fs::OpenOptions::new().append(true).create(true).open(&self.path);
        let opened = open().or_else(|_| std::fs::create_dir_all(folder).and_then(|()| open()));
        if let Ok(mut file) = opened {
            let _ = file.write_all(line.as_bytes());
        }
    }
}

/// Where the file before this one lies.
fn earlier(path: &Path) -> PathBuf {
    let mut name = path.as_os_str().to_owned();
    name.push(".1");
    name.into()
}

/// One event, one line: whatever stands in a path or in the system's words.
fn on_one_line(words: &str) -> String {
    words.chars().map(|c| if c.is_control() { ' ' } else { c }).collect()
}

/// The last lines, oldest first, from the file and the one before it. No file is no line.
///
/// # Errors
/// A file that is there cannot be read.
pub fn tail(path: &Path, lines: usize) -> std::io::Result<Vec<String>> {
    let mut found = Vec::new();
    for path in [earlier(path), path.to_path_buf()] {
        match std::fs::read(&path) {
            Ok(bytes) => found.extend(String::from_utf8_lossy(&bytes).lines().map(str::to_string)),
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => {}
            Err(error) => return Err(error),
        }
    }
    Ok(found.split_off(found.len().saturating_sub(lines)))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_full_file_becomes_the_earlier_one_and_both_stay_small() {
        let place = tempfile::tempdir().unwrap();
        let path = place.path().join("deep/state/spanwise.log");
        let log = Log { largest_bytes: 400, ..Log::at(path.clone(), Level::Info) };
        for number in 0..50 {
            log.write(Level::Info, "2030-05-04T12:00:00.000+02:00", &format!("entry {number}\nnote"));
        }
        for path in [path.clone(), earlier(&path)] {
            let size = std::fs::metadata(&path).unwrap().len();
            assert!(size > 0 && size <= 400, "{size}");
        }
        let last = tail(&path, 3).unwrap();
        assert_eq!(last.len(), 3);
        assert!(last[2].ends_with(" entry 49 note") && last[2].contains(" info "), "{last:?}");
        assert!(last[0].ends_with(" entry 47 note"), "{last:?}");
    }

    #[test]
    fn a_place_that_cannot_be_written_is_no_reason_to_fail() {
        let place = tempfile::tempdir().unwrap();
        let in_the_way = place.path().join("file");
        std::fs::write(&in_the_way, "x").unwrap();
        let path = in_the_way.join("spanwise.log");
        Log::at(path.clone(), Level::Debug).write(Level::Error, "now", "what went wrong");
        assert!(tail(&place.path().join("nothing.log"), 9).unwrap().is_empty());
        assert_eq!(std::fs::read(&in_the_way).unwrap(), b"x");
        #[cfg(target_os = "linux")]
        Log::at("/dev/full".into(), Level::Debug).write(Level::Error, "now", "a disk that is full");
    }

    #[test]
    fn levels_hold_those_before_them() {
        assert!(Level::Error < Level::Info && Level::Info < Level::Debug);
        assert_eq!(Level::of_word("info"), Some(Level::Info));
        assert_eq!(Level::of_word("off"), None);
    }
}
