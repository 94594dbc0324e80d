//! Checklist files judged by the whole check before they take part in anything.

use std::path::{Path, PathBuf};
use std::sync::Arc;

use chrono::NaiveDate;

use crate::bench::{Bench, Reading, check};
use crate::checklist::builtin_sources;
use crate::diagnostic::{Diagnostic, Source};
use crate::edition::{DRAFT, REGISTER, is_draft};
use crate::store::texts::{absolute, read_toml_files};

/// What checklist files will be used with: the built-in editions, those of the hangars that they lie in, those beside a
/// register of issued editions, and those of the hangars in `further`. Drafts take part in nothing.
pub fn library_beside(paths: &[PathBuf], further: &[PathBuf]) -> Vec<Reading> {
    let of_hangar = |hangar: &Path| hangar.join("checklists");
    let mut folders: Vec<PathBuf> = further.iter().map(|hangar| of_hangar(hangar)).collect();
    for path in paths.iter().filter_map(|path| absolute(path)) {
        folders.extend(hangar_above(&path).map(|hangar| of_hangar(&hangar)));
        folders.extend(
            path.ancestors().take(3).find(|folder| folder.join(REGISTER).is_file()).map(Path::to_path_buf),
        );
    }
    let mut folders: Vec<PathBuf> = folders.into_iter().filter_map(|folder| absolute(&folder)).collect();
    folders.sort();
    folders.dedup();
    let own = folders.iter().flat_map(|folder| read_toml_files(folder).0);
    builtin_sources()
        .into_iter()
        .chain(own.filter(|source| !is_draft(source)))
        .map(|source| Reading::of(&source))
        .collect()
}

/// Every fault and piece of advice about a draft, in file order. How its file is called says nothing: that is settled when
/// it is issued.
pub fn judge_draft(source: &Arc<Source>, library: &[Reading], today: NaiveDate) -> Vec<Diagnostic> {
    let files = [Reading::at(source, DRAFT)];
    let found = check(&Bench { files: &files, library, today }).found;
    found.into_iter().filter(|fault| fault.code != "file-name").collect()
}

/// The hangar whose `checklists` or `airframes` hold the path; the path itself where it is one.
pub fn hangar_above(path: &Path) -> Option<PathBuf> {
    let path = absolute(path)?;
    path.ancestors().take(5).find(|folder| is_hangar(folder)).map(Path::to_path_buf)
}

/// A folder with airframes or registers.
pub fn is_hangar(path: &Path) -> bool {
    path.join("airframes").is_dir()
        || path.join("people.toml").is_file()
        || path.join("instruments.toml").is_file()
}
