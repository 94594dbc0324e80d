//! A failed operation on the disk: what was tried, on which path, what the system said, what to do next.

use std::fmt;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

/// Every error of this module carries the operation, the path, the system's error and a hint.
#[derive(Debug)]
pub struct StoreError {
    /// In the infinitive, as in "cannot *create the folder*".
    pub operation: &'static str,
    pub path: PathBuf,
    pub source: io::Error,
    pub hint: &'static str,
}

impl StoreError {
    /// With the usual hint for this kind of system error.
    pub fn new(operation: &'static str, path: &Path, source: io::Error) -> Self {
        let hint = usual_hint(source.kind());
        StoreError { operation, path: path.to_path_buf(), source, hint }
    }

    /// With a message of our own in the place of the system's.
    pub fn said(
        operation: &'static str,
        path: &Path,
        kind: ErrorKind,
        words: &str,
        hint: &'static str,
    ) -> Self {
        StoreError { operation, path: path.to_path_buf(), source: io::Error::new(kind, words), hint }
    }

    pub fn kind(&self) -> ErrorKind {
        self.source.kind()
    }

    pub fn is_not_found(&self) -> bool {
        self.kind() == ErrorKind::NotFound
    }

    /// Another process holds the lock.
    pub fn is_locked(&self) -> bool {
        self.kind() == ErrorKind::WouldBlock
    }

    /// The place can be read and not written: a medium mounted for reading, or not ours.
    pub fn is_not_writable(&self) -> bool {
        matches!(self.kind(), ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied)
    }

    pub fn is_no_space(&self) -> bool {
        matches!(self.kind(), ErrorKind::StorageFull | ErrorKind::QuotaExceeded)
    }
}

fn usual_hint(kind: ErrorKind) -> &'static str {
    match kind {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => "free some space on this disk and try again",
        ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => {
            "this place cannot be written; open the session for reading, or choose another place"
        }
        ErrorKind::NotFound => "check that the path is right and the medium is plugged in",
        ErrorKind::AlreadyExists => "choose another name; nothing is overwritten",
        ErrorKind::WouldBlock => "another window or program has it open; read it there, or close it first",
        _ => {
            "the medium may be failing: copy the folder to another one, restart the computer, then look again"
        }
    }
}

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "cannot {} {}: {}; {}", self.operation, self.path.display(), self.source, self.hint)
    }
}

impl std::error::Error for StoreError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.source)
    }
}
