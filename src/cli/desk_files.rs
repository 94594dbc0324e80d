//! The desk's part in records and registers: what the screens ask to be written into the hangar's files.

use super::desk::HangarDesk;
use crate::airframe::edit::{Change, Edit};
use crate::airframe::sheet::RecordFile;
use crate::hangar::keys::new_key;
use crate::hangar::records::{Shown, create_airframe, edit, shown};
use crate::hangar::{Hangar, HangarError};
use crate::screen::desk::{Passphrase, ShownFile, Told};

/// A record or register, read fresh.
pub(super) fn file(hangar: &Hangar, file: &RecordFile) -> Result<ShownFile, String> {
    shown(hangar, file)
        .map(|Shown { sheet, hash }| ShownFile { sheet, hash })
        .map_err(|error| error.to_string())
}

impl HangarDesk {
    pub(super) fn create_airframe(&mut self, head: &[Change]) -> Told {
        let made = create_airframe(self.hangar_at_hand(), head);
        self.written(made)
    }

    pub(super) fn edit_file(&mut self, file: &RecordFile, edits: &[Edit], was: &str) -> Told {
        let made = edit(self.hangar_at_hand(), file, edits, Some(was));
        self.written(made)
    }

    fn written(&mut self, made: Result<Shown, HangarError>) -> Told {
        match made {
            Ok(shown) => {
                self.reload();
                Told::Done { note: Some(say!("written: {}", shown.sheet.name)) }
            }
            Err(error) => told(error),
        }
    }

    pub(super) fn make_key(&mut self, person: &str, passphrase: &Passphrase) -> Told {
        let hangar = self.hangar_at_hand();
        let made = hangar.person(person).and_then(|person| new_key(hangar, person, passphrase.reveal()));
        match made {
            Ok(key) => {
                self.reload();
                let file = key.file.map(|file| say!("; keep a copy of {}", file.display()));
                Told::Done {
                    note: Some(say!(
                        "{person} has the key {}{}",
                        key.id,
                        file.unwrap_or_default(),
                        person = person
                    )),
                }
            }
            Err(error) => told(error),
        }
    }
}

/// What was typed stands in a form that is still open: it is put right there.
fn told(error: HangarError) -> Told {
    match error {
        HangarError::Files(faults) => {
            let lines: Vec<String> = faults.iter().map(ToString::to_string).collect();
            Told::Declined {
                why: lines.join("\n"),
                next: say!("put it right here; nothing was written").to_string(),
            }
        }
        // No session is at stake: what helps one on a full disk (ballast, a rescue copy) is of no use here.
        HangarError::Full { why, next } => {
            Told::Declined { why: say!("the disk is full: {why}", why = why), next }
        }
        HangarError::Disk { why, next } => {
            Told::Declined { why: say!("the disk failed: {why}", why = why), next }
        }
        other => super::desk::told_error(other),
    }
}
