//! Text files that people write, read whole.

use std::path::Path;
use std::sync::Arc;

use crate::diagnostic::{Diagnostic, Place, Source};

/// Larger files are no checklist, record or register; reading them would only fill the memory.
const LARGEST_BYTES: u64 = 8 * 1024 * 1024;

/// Reads one text file. The error is a diagnostic that names the file and says what to do.
pub fn read_text(path: &Path, shown_as: &str) -> Result<Arc<Source>, Diagnostic> {
    let fault = |code: &'static str, message: String, hint: &str| {
        Diagnostic::new(code, Place::new(&Source::new(shown_as, ""), 0..0), message).hint(hint)
    };
    let length = std::fs::metadata(path)
        .map_err(|error| {
            fault("file-unreadable", format!("cannot be read: {error}"), "check the path and the permissions")
        })?
        .len();
    if length > LARGEST_BYTES {
        return Err(fault(
            "file-large",
            format!("has {length} bytes"),
            "this is no file that this program reads",
        ));
    }
    let bytes = std::fs::read(path).map_err(|error| {
        fault("file-unreadable", format!("cannot be read: {error}"), "check the path and the permissions")
    })?;
    match String::from_utf8(bytes) {
        Ok(text) => Ok(Source::new(shown_as, text)),
        Err(error) => Err(fault(
            "not-utf8",
            format!("is no UTF-8 text (byte {})", error.utf8_error().valid_up_to()),
            "save the file as UTF-8",
        )),
    }
}

/// Reads a file of readings or a recording whole, up to `most` bytes. The error says what to do.
pub fn read_bytes(path: &Path, most: u64) -> Result<Vec<u8>, String> {
    let describe = |error: std::io::Error| format!("{error}; check the path and the permissions");
    let data = std::fs::metadata(path).map_err(describe)?;
    if data.is_dir() {
        return Err("it is a folder; name a file in it".to_string());
    }
    if data.len() > most {
        return Err(format!(
            "it has {} bytes, at most {most} are read; cut it to the test itself",
            data.len()
        ));
    }
    std::fs::read(path).map_err(describe)
}

/// Reads every `*.toml` below `folder`, at most two levels down, in the order of their names. A folder that
/// does not exist holds nothing.
pub fn read_toml_files(folder: &Path) -> (Vec<Arc<Source>>, Vec<Diagnostic>) {
    let (mut sources, mut faults) = (Vec::new(), Vec::new());
    for path in toml_files(folder, 2) {
        match read_text(&path, &path.to_string_lossy()) {
            Ok(source) => sources.push(source),
            Err(fault) => faults.push(fault),
        }
    }
    (sources, faults)
}

fn toml_files(folder: &Path, depth: u8) -> Vec<std::path::PathBuf> {
    let Ok(entries) = std::fs::read_dir(folder) else { return Vec::new() };
    let mut paths: Vec<_> = entries.filter_map(Result::ok).map(|entry| entry.path()).collect();
    paths.sort();
    let mut found = Vec::new();
    for path in paths {
        if path.is_dir() {
            if depth > 0 {
                found.extend(toml_files(&path, depth - 1));
            }
        } else if path.extension().is_some_and(|extension| extension == "toml") {
            found.push(path);
        }
    }
    found
}
