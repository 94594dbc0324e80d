//! Editions of installed packs that are no longer what their author signed.

use std::path::Path;
use std::sync::Arc;

use super::origin::{Origin, origins};
use crate::diagnostic::{Diagnostic, Place, Source};
use crate::edition::file_hash;
use crate::store::Hangar as Folder;
use crate::store::texts::read_toml_files;

/// A fault for every installed edition whose file has other bytes now, or none. A pack whose origin cannot be read is no
/// longer an installed one; the library tells of it ([`super::shelf`]).
pub fn altered(folder: &Folder) -> Vec<Diagnostic> {
    let readable = origins(folder).into_iter().filter_map(|(place, origin)| Some((place, origin.ok()?)));
    readable.flat_map(|(place, origin)| altered_of(&place, &origin)).collect()
}

fn altered_of(folder: &Path, origin: &Origin) -> Vec<Diagnostic> {
    let (files, _) = read_toml_files(folder);
    let next = say!(
        "move {} out of the checklists and install the kept.pack that lies in it anew; make a change in a draft: spanwise \
         edition draft",
        folder.display()
    );
    let mut found = Vec::new();
    for listed in &origin.editions {
        let path = folder.join(listed.path());
        let fault = match files.iter().find(|source| Path::new(&source.name) == path) {
            None => {
                let message = say!(
                    "{} was installed from pack {} and is missing, or cannot be read",
                    listed.path(),
                    origin.pack
                );
                fault_at(&Source::new(path.to_string_lossy(), ""), "installed-missing", message)
            }
            Some(source) => {
                let now = file_hash(&source.text);
                if now == listed.sha256 {
                    continue;
                }
                let message = say!(
                    "{} was altered after it was installed from pack {} of {}: its sha256 is {now}, and was {}",
                    listed.path(),
                    origin.pack,
                    origin.author.name,
                    listed.sha256,
                    now = now
                );
                fault_at(source, "installed-altered", message)
            }
        };
        found.push(fault.hint(next.clone()));
    }
    found
}

fn fault_at(source: &Arc<Source>, code: &'static str, message: String) -> Diagnostic {
    Diagnostic::new(code, Place::new(source, 0..0), message)
}
