//! 9: an evidence file is missing or its content has changed.

use super::super::EvidenceFile;
use super::{Context, Refusal, Subject};

pub const NAME: &str = mark!("evidence file missing or changed");
pub const DOC: &str = mark!(
    "Evidence is kept by the hash of its content. A file that is gone, or whose content no longer \
has the recorded hash, proves nothing."
);

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    for told in context.state.evidence.iter().filter(|told| told.struck.is_none()) {
        let why = match context.evidence.get(&told.what.sha256) {
            Some(EvidenceFile::Present) => continue,
            Some(EvidenceFile::Changed) => say!("its content has changed"),
            Some(EvidenceFile::Missing) | None => say!("the file is missing"),
        };
        let subject = match (&told.what.step, &told.what.defect) {
            (Some(step), _) => Subject::Step(step.clone()),
            (None, Some(defect)) => Subject::Defect(defect.clone()),
            (None, None) => Subject::Record,
        };
        found.push(Refusal {
            number: 9,
            name: NAME,
            subject,
            why: say!("\"{}\": {why}", told.what.name, why = why),
            clears: say!(
                "put the original file back, or take the evidence back with a reason and add it anew"
            )
            .to_string(),
            release_only: false,
        });
    }
}
