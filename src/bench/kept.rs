//! Issued editions held to the register of their folder: `issued.toml` beside the folders `<id>/`.

use std::sync::Arc;

use super::Bench;
use super::reading::{FileKind, Reading};
use crate::diagnostic::{Diagnostic, Source};
use crate::edition::check_kept;

/// Issued editions that were altered or are missing, as far as file or register are under check.
pub(super) fn faults(bench: &Bench<'_>) -> Vec<Diagnostic> {
    let all = || bench.files.iter().chain(bench.library);
    let mut found = Vec::new();
    let mut seen: Vec<&str> = Vec::new();
    for register in all().filter(|reading| reading.kind == FileKind::Register) {
        let folder = folder_of(&register.path);
        if seen.contains(&folder) {
            continue;
        }
        seen.push(folder);
        let beside: Vec<Arc<Source>> = all()
            .filter(|reading| folder_of(folder_of(&reading.path)) == folder && is_below(reading, folder))
            .map(|reading| Arc::clone(&reading.source))
            .collect();
        let judged =
            |fault: &Diagnostic| bench.files.iter().any(|file| file.source.name == fault.place.source.name);
        found.extend(check_kept(&register.source, &register.issued, &beside).into_iter().filter(judged));
    }
    found
}

/// The folder of a path with forward slashes; empty where it names none.
fn folder_of(path: &str) -> &str {
    path.rsplit_once('/').map_or("", |(folder, _)| folder)
}

/// `<folder>/<id>/<version>.toml`, not a file of the folder itself.
fn is_below(reading: &Reading, folder: &str) -> bool {
    folder_of(&reading.path) != folder
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_folder_of_a_path() {
        assert_eq!(folder_of("a/b/1.0.0.toml"), "a/b");
        assert_eq!(folder_of("issued.toml"), "");
    }
}
