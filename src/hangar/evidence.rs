//! Evidence files: taken in by content first, then cited by an entry.

use std::path::Path;

use super::work::{Recorded, Work};
use super::{Hangar, HangarError};
use crate::event::Actor;
use crate::session::{Declined, Request};
use crate::store::Evidence;
use crate::store::texts::is_no_file;

/// What a file is evidence for.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct EvidenceTarget {
    pub step: Option<String>,
    /// Id of the step's evidence demand.
    pub demand: Option<String>,
    pub defect: Option<String>,
}

impl Work {
    /// Copies the file into the session under the hash of its content, makes it durable, then records it.
    pub fn add_evidence(
        &mut self,
        hangar: &Hangar,
        by: &Actor,
        target: EvidenceTarget,
        file: &Path,
    ) -> Result<Recorded, HangarError> {
        let name = file
            .file_name()
            .map_or_else(|| file.to_string_lossy(), |name| name.to_string_lossy())
            .into_owned();
        // A device or pipe may never end and would fill the disk; what cannot be looked at is told below.
        if is_no_file(file) {
            return Err(HangarError::Declined(Declined {
                why: say!("{} is no file", file.display()),
                next: say!("name one photo, film, recording or document").to_string(),
            }));
        }
        // Asked first, so that a declined request leaves no file behind.
        self.ask(hangar, by, request(&target, String::new(), 0, &name))?;
        let taken = Evidence::new(hangar.disk.clone(), &self.view.dir)
            .add_file(file)
            .map_err(|error| HangarError::store(&error, say!("check the file's path, then add it again")))?;
        let sha256 = taken.hash.to_string();
        self.view.evidence_taken_in(&sha256);
        self.record(hangar, by, request(&target, sha256, taken.size, &name))
    }
}

impl Work {
    /// Told after evidence was added: the same content stands elsewhere, too. One film may show two things; the
    /// same picture taken in twice by mistake shows one.
    pub fn same_content(&self, entry: u64) -> Option<String> {
        let all = &self.view.state.evidence;
        let added = all.iter().find(|told| told.stamp.entry == entry)?;
        let other = all.iter().find(|told| {
            told.stamp.entry != entry && told.struck.is_none() && told.what.sha256 == added.what.sha256
        })?;
        let of = other.what.step.as_deref().or(other.what.defect.as_deref()).unwrap_or(say!("the session"));
        Some(say!(
            "the same content stands already for {of} (entry {}): see that it shows both",
            other.stamp.entry,
            of = of
        ))
    }
}

fn request(target: &EvidenceTarget, sha256: String, bytes: u64, name: &str) -> Request {
    let EvidenceTarget { step, demand, defect } = target.clone();
    Request::AddEvidence { step, demand, defect, sha256, bytes, name: name.to_string() }
}
