//! Evidence with the content of a file of the annual before.

use super::{About, Context, Seen};

pub const NAME: &str = "evidence-of-last-annual";
pub const TITLE: &str = mark!("Evidence with the content of the annual before");
pub const DOC: &str = mark!(
    "Tells evidence whose content (SHA-256) is that of a file of the last signed annual of the same \
airframe. Worth a look because a picture of today is never byte for byte that of a year ago. Entries carried over are \
left out. From: the hashes of the evidence that stands in both sessions."
);
pub const MAY_BE: &[&str] = &[
    mark!("a document that is still valid"),
    mark!("taken in as the picture to compare with, beside a new one"),
];

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let Some(earlier) = &context.earlier else { return Vec::new() };
    let mut found = Vec::new();
    let standing = context.session.state.evidence.iter().filter(|told| told.struck.is_none());
    for told in standing.filter(|told| told.stamp.carried_from.is_none()) {
        let same = earlier
            .state
            .evidence
            .iter()
            .find(|before| before.struck.is_none() && before.what.sha256 == told.what.sha256);
        let Some(before) = same else { continue };
        let mut about: Vec<About> = told.what.step.as_deref().map(About::step).into_iter().collect();
        about.push(About::Evidence { name: told.what.name.clone() });
        let words = say!(
            "{} has the content of {}, taken in on {} at the annual before",
            told.what.name,
            before.what.name,
            before.stamp.short()
        );
        found.push(Seen { about, entries: vec![told.stamp.entry], words });
    }
    found
}
