//! One file given as evidence for two demands.

use std::collections::BTreeMap;

use super::{About, Context, Seen};
use crate::event::EvidenceAdded;
use crate::state::Told;

pub const NAME: &str = "evidence-twice";
pub const TITLE: &str = mark!("One content as evidence for several demands");
pub const DOC: &str = mark!(
    "Tells evidence files with the same content (SHA-256) that answer different demands, of one \
step or of several. Worth a look because one picture may not show what each demand asks for. From: the hashes of the \
evidence that stands."
);
pub const MAY_BE: &[&str] =
    &[mark!("one picture or film shows both"), mark!("a document belongs to several steps")];

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let mut by_content: BTreeMap<&str, Vec<&Told<EvidenceAdded>>> = BTreeMap::new();
    let standing = context.session.state.evidence.iter().filter(|told| told.struck.is_none());
    for told in standing.filter(|told| told.what.demand.is_some()) {
        by_content.entry(&told.what.sha256).or_default().push(told);
    }
    by_content.into_values().filter_map(|same| seen(&same)).collect()
}

fn seen(same: &[&Told<EvidenceAdded>]) -> Option<Seen> {
    let mut demands: Vec<String> = same
        .iter()
        .map(|told| {
            let (step, demand) = (told.what.step.as_deref(), told.what.demand.as_deref());
            format!("{} ({})", step.unwrap_or(say!("no step")), demand.unwrap_or(say!("no demand")))
        })
        .collect();
    demands.sort();
    demands.dedup();
    if demands.len() < 2 {
        return None;
    }
    let name = same.first()?.what.name.clone();
    let steps = same.iter().filter_map(|told| told.what.step.as_deref()).map(About::step);
    let mut about: Vec<About> = steps.collect();
    about.dedup();
    about.push(About::Evidence { name: name.clone() });
    Some(Seen {
        about,
        entries: same.iter().map(|told| told.stamp.entry).collect(),
        words: say!("{name}: the same content answers {}", demands.join(", "), name),
    })
}
