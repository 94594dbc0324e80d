//! The signed texts of a session with their signatures, as files that OpenSSH alone can check.

use chrono::Utc;

use super::Viewing;
use crate::event::{Event, Seal};
use crate::seal::{COUNTERSIGN, INSPECTION, SEAL, countersign_text, inspection_text, sign_off_text};
use crate::state::instant;

/// One signed text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SealFile {
    /// File name without its ending, with the number of the entry.
    pub name: String,
    pub text: Vec<u8>,
    pub signature: String,
    /// Id of the person under which the list of signers keeps the key.
    pub person: String,
    pub namespace: &'static str,
    /// When it was signed, as OpenSSH's `verify-time` takes it (UTC).
    pub time: String,
}

/// Every signature of the session, in its order.
pub fn seal_files(view: &Viewing) -> Vec<SealFile> {
    view.entries
        .iter()
        .filter_map(|stamped| {
            let (sid, wall, event) = match &stamped.event {
                Event::Carried(carried) => (&carried.sid, &carried.wall, &*carried.event),
                event => (&view.sid, &stamped.wall, event),
            };
            let (what, namespace, text, seal) = signed(sid, event)?;
            Some(SealFile {
                name: format!("{what}-entry-{}", stamped.entry),
                text,
                signature: seal.signature.clone(),
                person: event.actor().map(|actor| actor.id.clone()).unwrap_or_default(),
                namespace,
                time: instant(wall)
                    .map(|wall| wall.with_timezone(&Utc).format("%Y%m%d%H%M%SZ").to_string())
                    .unwrap_or_default(),
            })
        })
        .collect()
}

fn signed<'a>(sid: &str, event: &'a Event) -> Option<(&'static str, &'static str, Vec<u8>, &'a Seal)> {
    Some(match event {
        Event::SignedOff(signed) => ("sign-off", SEAL, sign_off_text(sid, signed), signed.seal.as_ref()?),
        Event::Countersigned(added) => {
            ("countersign", COUNTERSIGN, countersign_text(sid, added), added.seal.as_ref()?)
        }
        Event::IndependentlyInspected(inspected) => {
            ("inspection", INSPECTION, inspection_text(sid, inspected), inspected.seal.as_ref()?)
        }
        _ => return None,
    })
}
