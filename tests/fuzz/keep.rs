//! Inputs on disk: seeds, what was found, and the input that is being tried just now.
#![allow(clippy::disallowed_methods, reason = "tests read and keep files")]

use std::fs::{self, File, OpenOptions};
use std::io::{Seek, Write};
use std::path::{Path, PathBuf};

fn home() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/fuzz")
}

/// A file of the repository by its path from the root.
pub fn file(path: &str) -> Vec<u8> {
    fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join(path)).unwrap_or_else(|why| panic!("{path}: {why}"))
}

/// The kept inputs of a target, in name order: `seeds` or `found`.
pub fn all(kind: &str, target: &str) -> Vec<Vec<u8>> {
    let Ok(folder) = fs::read_dir(home().join(kind).join(target)) else { return Vec::new() };
    let mut paths: Vec<PathBuf> = folder.filter_map(|entry| entry.ok().map(|entry| entry.path())).collect();
    paths.sort();
    paths.iter().filter_map(|path| fs::read(path).ok()).collect()
}

/// Keeps an input that made `target` fail. The name comes from the content, so that one input is kept once.
pub fn found(target: &str, input: &[u8]) -> PathBuf {
    let folder = home().join("found").join(target);
    let name: String = spanwise::journal::sha256(input).to_string().chars().take(12).collect();
    let path = folder.join(name);
    let kept = fs::create_dir_all(&folder).and_then(|()| fs::write(&path, input));
    kept.unwrap_or_else(|why| eprintln!("{} cannot be kept: {why}", path.display()));
    path
}

/// The slowest input of the last run, for looking at; it is no finding.
pub fn slowest(target: &str, input: &[u8]) {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/fuzz-slowest");
    let kept = fs::create_dir_all(&folder).and_then(|()| fs::write(folder.join(target), input));
    kept.unwrap_or_else(|why| eprintln!("the slowest input of {target} cannot be kept: {why}"));
}

/// The input in hand, on disk before it is tried: an overflown stack or an exhausted memory ends the process
/// without a word, and the next run finds it here.
pub struct InHand {
    path: PathBuf,
    file: File,
}

impl InHand {
    /// Opens the place for `target`, and hands out what an earlier run died at.
    pub fn open(target: &str) -> (InHand, Option<Vec<u8>>) {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("target/fuzz");
        let path = folder.join(target);
        let left = fs::read(&path).ok();
        let opened = fs::create_dir_all(&folder)
            .and_then(|()| OpenOptions::new().create(true).write(true).truncate(true).open(&path));
        let file = opened.unwrap_or_else(|why| panic!("{}: {why}", path.display()));
        (InHand { path, file }, left.filter(|left| !left.is_empty()))
    }

    pub fn take(&mut self, input: &[u8]) {
        let written =
            self.file.set_len(0).and_then(|()| self.file.rewind()).and_then(|()| self.file.write_all(input));
        written.unwrap_or_else(|why| panic!("{}: {why}", self.path.display()));
    }
}

impl Drop for InHand {
    fn drop(&mut self) {
        // A clean end leaves nothing to be taken for a death.
        let _ = fs::remove_file(&self.path);
    }
}
