//! A failed operation on the disk: what was tried, on which path, what the system said, what to do next.

use std::fmt;
use std::io::{self, ErrorKind};
use std::path::{Path, PathBuf};

use crate::words::{Language, current, said};

/// Every error of this module carries the operation, the path, the system's error and a hint.
#[derive(Debug)]
pub struct StoreError {
    /// In the infinitive, as in "cannot *create the folder*".
    pub operation: &'static str,
    pub path: PathBuf,
    pub source: io::Error,
    /// As the catalogue has it.
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

    /// "cannot create the folder a/b", one sentence for each operation: another language puts the path elsewhere.
    fn what_failed(&self) -> String {
        let path = self.path.display().to_string();
        match OPERATIONS.iter().find(|(operation, _)| *operation == self.operation) {
            Some((_, sentence)) => said(sentence).replacen("{}", &path, 1),
            None => format!("cannot {} {path}", self.operation),
        }
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

/// What is tried on a disk, and the sentence when it fails.
const OPERATIONS: &[(&str, &str)] = &[
    ("ask for the kind of file system at", mark!("cannot ask for the kind of file system at {}")),
    ("begin a session in", mark!("cannot begin a session in {}")),
    ("copy the evidence file", mark!("cannot copy the evidence file {}")),
    ("create the folder", mark!("cannot create the folder {}")),
    ("create", mark!("cannot create {}")),
    ("draw a number for", mark!("cannot draw a number for {}")),
    ("find a place for", mark!("cannot find a place for {}")),
    ("flush the folder", mark!("cannot flush the folder {}")),
    ("flush", mark!("cannot flush {}")),
    ("keep the evidence file", mark!("cannot keep the evidence file {}")),
    ("keep the file", mark!("cannot keep the file {}")),
    ("list the folder", mark!("cannot list the folder {}")),
    ("lock", mark!("cannot lock {}")),
    ("look for", mark!("cannot look for {}")),
    ("measure the free space at", mark!("cannot measure the free space at {}")),
    ("open for writing", mark!("cannot open for writing {}")),
    ("open", mark!("cannot open {}")),
    ("read back", mark!("cannot read back {}")),
    ("read the key", mark!("cannot read the key {}")),
    ("read", mark!("cannot read {}")),
    ("remove the file", mark!("cannot remove the file {}")),
    ("remove", mark!("cannot remove {}")),
    ("rename into place as", mark!("cannot rename into place as {}")),
    ("shorten", mark!("cannot shorten {}")),
    ("use the plan", mark!("cannot use the plan {}")),
    ("write into", mark!("cannot write into {}")),
    ("write the file", mark!("cannot write the file {}")),
    ("write the key", mark!("cannot write the key {}")),
    ("write to", mark!("cannot write to {}")),
    ("write", mark!("cannot write {}")),
];

fn usual_hint(kind: ErrorKind) -> &'static str {
    match kind {
        ErrorKind::StorageFull | ErrorKind::QuotaExceeded => {
            mark!("free some space on this disk and try again")
        }
        ErrorKind::ReadOnlyFilesystem | ErrorKind::PermissionDenied => {
            mark!("this place cannot be written; open the session for reading, or choose another place")
        }
        ErrorKind::NotFound => mark!("check that the path is right and the medium is plugged in"),
        ErrorKind::AlreadyExists => mark!("choose another name; nothing is overwritten"),
        ErrorKind::WouldBlock => {
            mark!("another window or program has it open; read it there, or close it first")
        }
        _ => {
            mark!(
                "the medium may be failing: copy the folder to another one, restart the computer, then look again"
            )
        }
    }
}

/// What the system said. It speaks English; what it says often is told in the language that is spoken here.
fn system_words(error: &io::Error) -> String {
    if error.get_ref().is_some() {
        // Words of our own.
        return said(&error.to_string()).to_string();
    }
    if current() == Language::English {
        return error.to_string();
    }
    let words = match error.kind() {
        ErrorKind::NotFound => say!("there is no such file or folder"),
        ErrorKind::PermissionDenied => say!("permission is denied"),
        ErrorKind::AlreadyExists => say!("something of that name is there already"),
        ErrorKind::StorageFull => say!("the disk is full"),
        ErrorKind::QuotaExceeded => say!("the disk quota is used up"),
        ErrorKind::ReadOnlyFilesystem => say!("the file system is read-only"),
        ErrorKind::IsADirectory => say!("it is a folder"),
        ErrorKind::NotADirectory => say!("a part of the path is no folder"),
        ErrorKind::WouldBlock => say!("it is in use"),
        _ => return error.to_string(),
    };
    match error.raw_os_error() {
        Some(number) => format!("{words} (os error {number})"),
        None => words.to_string(),
    }
}

impl fmt::Display for StoreError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {}; {}", self.what_failed(), system_words(&self.source), said(self.hint))
    }
}

impl std::error::Error for StoreError {
    fn source(&self) -> Option<&(dyn std::error::Error + 'static)> {
        Some(&self.source)
    }
}
