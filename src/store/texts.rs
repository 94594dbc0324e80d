//! Text files that people write, read whole.

use std::io::Read;
use std::path::Path;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Place, Source};

/// The place as seen from the root; `None` where nothing lies there.
pub fn absolute(path: &Path) -> Option<std::path::PathBuf> {
    std::fs::canonicalize(path).ok()
}

/// Removes a file that a person has no more use for: a draft that was issued.
///
/// # Errors
/// The disk refuses.
pub fn remove(path: &Path) -> Result<(), super::disk::StoreError> {
    std::fs::remove_file(path).map_err(|error| super::disk::StoreError::new("remove", path, error))
}

/// Larger files are no checklist, record or register; reading them would only fill the memory.
const LARGEST_BYTES: u64 = 8 * 1024 * 1024;

/// Reads one text file. The error is a diagnostic that names the file and says what to do.
pub fn read_text(path: &Path, shown_as: &str) -> Result<Arc<Source>, Diagnostic> {
    let fault = |code: &'static str, message: String, hint: &str| {
        Diagnostic::new(code, Place::new(&Source::new(shown_as, ""), 0..0), message).hint(hint)
    };
    let bytes = read_up_to(path, LARGEST_BYTES).map_err(|unread| match unread {
        Unread::Failed(error) => fault(
            "file-unreadable",
            say!("cannot be read: {error}", error = error),
            say!("check the path and the permissions"),
        ),
        Unread::Larger(size) => fault(
            "file-large",
            say!("has {size} bytes", size = size),
            say!("this is no file that this program reads"),
        ),
    })?;
    match String::from_utf8(bytes) {
        Ok(text) => Ok(Source::new(shown_as, text)),
        Err(error) => Err(fault(
            "not-utf8",
            say!("is no UTF-8 text (byte {})", error.utf8_error().valid_up_to()),
            say!("save the file as UTF-8"),
        )),
    }
}

/// Reads a file of readings or a recording whole, up to `most` bytes. The error says what to do.
pub fn read_bytes(path: &Path, most: u64) -> Result<Vec<u8>, String> {
    if path.is_dir() {
        return Err(say!("it is a folder; name a file in it").to_string());
    }
    read_up_to(path, most).map_err(|unread| match unread {
        Unread::Failed(error) => say!("{error}; check the path and the permissions", error = error),
        Unread::Larger(size) => {
            say!(
                "it has {size} bytes, at most {most} are read; cut it to the test itself",
                size = size,
                most = most
            )
        }
    })
}

/// As [`read_bytes`], with the caller's own words for what goes wrong.
pub(super) fn read_whole<E>(
    path: &Path,
    most: u64,
    larger: impl FnOnce(&str) -> E,
    failed: impl FnOnce(std::io::Error) -> E,
) -> Result<Vec<u8>, E> {
    read_up_to(path, most).map_err(|unread| match unread {
        Unread::Failed(error) => failed(error),
        Unread::Larger(size) => larger(&size),
    })
}

enum Unread {
    Failed(std::io::Error),
    /// Its size in words: a device or a pipe does not tell it beforehand.
    Larger(String),
}

/// Reads a file whole, and never more than `most` bytes: a device such as `/dev/zero` has no size and no end.
fn read_up_to(path: &Path, most: u64) -> Result<Vec<u8>, Unread> {
    let file = std::fs::File::open(path).map_err(Unread::Failed)?;
    let told = file.metadata().map_err(Unread::Failed)?.len();
    if told > most {
        return Err(Unread::Larger(told.to_string()));
    }
    let mut bytes = Vec::new();
    file.take(most + 1).read_to_end(&mut bytes).map_err(Unread::Failed)?;
    if bytes.len() as u64 > most {
        return Err(Unread::Larger(say!("more than {most}", most = most)));
    }
    Ok(bytes)
}

/// Whether the path names something else than a file: a folder, a device, a pipe. What cannot be looked at is
/// told when it is read.
pub fn is_no_file(path: &Path) -> bool {
    std::fs::metadata(path).is_ok_and(|found| !found.is_file())
}

/// Reads every `*.toml` below `folder`, at most two levels down, in the order of their names. A folder that
/// does not exist holds nothing.
pub fn read_toml_files(folder: &Path) -> (Vec<Arc<Source>>, Vec<Diagnostic>) {
    let (mut sources, mut faults) = (Vec::new(), Vec::new());
    for path in files(folder, "toml", 2) {
        match read_text(&path, &path.to_string_lossy()) {
            Ok(source) => sources.push(source),
            Err(fault) => faults.push(fault),
        }
    }
    (sources, faults)
}

/// Every translation file of this language below `folder`, as [`read_toml_files`] finds checklists.
pub fn read_translation_files(folder: &Path, language: &str) -> (Vec<Arc<Source>>, Vec<Diagnostic>) {
    let (mut sources, mut faults) = (Vec::new(), Vec::new());
    for path in files(folder, "po", 2) {
        if path.file_stem().is_some_and(|stem| stem == language) {
            match read_text(&path, &path.to_string_lossy()) {
                Ok(source) => sources.push(source),
                Err(fault) => faults.push(fault),
            }
        }
    }
    (sources, faults)
}

fn files(folder: &Path, ending: &str, depth: u8) -> Vec<std::path::PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut paths: Vec<_> = entries.filter_map(Result::ok).map(|entry| entry.path()).collect();
    paths.sort();
    let mut found = Vec::new();
    for path in paths {
        if path.is_dir() {
            if depth > 0 {
                found.extend(files(&path, ending, depth - 1));
            }
        } else if path.extension().is_some_and(|extension| extension == ending) {
            found.push(path);
        }
    }
    found
}

#[cfg(all(test, unix))]
mod tests {
    use super::*;

    #[test]
    fn a_device_without_end_is_told_and_not_read_for_ever() {
        let endless = Path::new("/dev/zero");
        let fault = read_text(endless, "zero").err().map(|fault| fault.to_string()).unwrap_or_default();
        assert!(fault.contains("has more than 8388608 bytes"), "{fault}");
        let why = read_bytes(endless, 10).err().unwrap_or_default();
        assert!(why.contains("more than 10 bytes, at most 10 are read"), "{why}");
        assert!(is_no_file(endless) && is_no_file(Path::new("/dev")));
    }
}
