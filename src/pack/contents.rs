//! The editions of a pack, read as checklists.

use super::Pack;
use crate::checklist::{Checklist, read_checklist};
use crate::diagnostic::{Diagnostic, Place, Source};

/// Reads every edition. `shown_as` is the name of the pack in messages.
///
/// # Errors
/// Every fault of every edition: one that says another id, version or kind than the header has a fault, too.
pub fn checklists(pack: &Pack, shown_as: &str) -> Result<Vec<Checklist>, Vec<Diagnostic>> {
    let (mut read, mut faults) = (Vec::new(), Vec::new());
    for (listed, bytes) in pack.header.editions.iter().zip(&pack.files) {
        let name = format!("{shown_as}/{}", listed.path());
        let Ok(text) = std::str::from_utf8(bytes) else {
            let place = Place::new(&Source::new(&name, ""), 0..0);
            faults.push(Diagnostic::new("not-utf8", place, say!("is no UTF-8 text").to_string()));
            continue;
        };
        let source = Source::new(&name, text);
        match read_checklist(&source) {
            Err(found) => faults.extend(found),
            Ok(edition) => {
                let is_as_listed = edition.id.value == listed.id
                    && edition.version.value.to_string() == listed.version
                    && edition.kind.word() == listed.kind;
                if is_as_listed {
                    read.push(edition);
                } else {
                    let place = Place::new(&source, edition.id.span.clone());
                    let message = say!(
                        "the pack lists a {} {} {} here, and this is another one",
                        listed.kind,
                        listed.id,
                        listed.version
                    );
                    faults.push(Diagnostic::new("pack-lists-another", place, message));
                }
            }
        }
    }
    if faults.is_empty() { Ok(read) } else { Err(faults) }
}
