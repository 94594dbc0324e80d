//! Two editions of a checklist beside each other, part by part.

use serde::Serialize;

use super::head::head;
use super::nature::{Nature, VersionStep};
use super::steps::{FieldChange, compare_steps};
use super::supplement::supplements;
use super::written::written_otherwise;
use crate::checklist::{Checklist, Kind, Selection, Step};
use crate::source::Located;
use crate::words::said;

/// What belongs to one part of the file: the head, one step, one tightening.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Group {
    pub part: Part,
    /// In an inspector's words, such as `step wing.pins-play: Play of the pins`.
    pub title: String,
    pub changes: Vec<FieldChange>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case", tag = "part", content = "id")]
pub enum Part {
    Head,
    Type,
    Step(String),
    /// The step that it tightens.
    Tightening(String),
    /// The step that it withdraws.
    Withdrawal(String),
    HiddenItem(String),
    MappedArea(String),
    /// The order of the steps that both have.
    Order,
}

/// What the new edition has otherwise than the old one. Version and date of issue name an edition and are no difference.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize)]
pub struct EditionDifference {
    pub groups: Vec<Group>,
}

impl EditionDifference {
    pub fn is_empty(&self) -> bool {
        self.groups.is_empty()
    }

    pub fn changes(&self) -> impl Iterator<Item = &FieldChange> {
        self.groups.iter().flat_map(|group| &group.changes)
    }

    /// The least step of the version; nothing where the two say the same.
    pub fn demands(&self) -> Option<VersionStep> {
        self.changes().map(|change| change.demands).max()
    }

    pub fn count(&self, nature: Nature) -> usize {
        self.changes().filter(|change| change.nature == nature).count()
    }

    pub(super) fn add(&mut self, part: Part, title: String, changes: Vec<FieldChange>) {
        if !changes.is_empty() {
            self.groups.push(Group { part, title, changes });
        }
    }
}

/// Compares two editions in the order in which a checklist is written.
pub fn compare_editions(before: &Checklist, after: &Checklist) -> EditionDifference {
    let mut found = EditionDifference::default();
    found.add(Part::Head, say!("the edition").to_string(), head(before, after));
    match (&before.kind, &after.kind) {
        (Kind::Supplement(was), Kind::Supplement(is)) => supplements(&mut found, was, is),
        (Kind::Module(was), Kind::Module(is)) => {
            found.add(Part::Head, say!("what selects the module").to_string(), selection(was, is));
        }
        _ => {}
    }
    steps(&mut found, &before.steps, &after.steps);
    found
}

/// What selects a module, and what is said where only the order of it changed.
const REPORT_WORDS: [&str; 2] = [mark!("report"), mark!("the same reports in another order")];
const OCCURRENCE_WORDS: [&str; 2] = [mark!("occurrence"), mark!("the same occurrences in another order")];

fn selection(was: &Selection, is: &Selection) -> Vec<FieldChange> {
    let kinds = |was: &[Located<String>],
                 is: &[Located<String>],
                 field: &'static str,
                 [one, reordered]: [&str; 2]| {
        let mut found = Vec::new();
        let has = |list: &[Located<String>], kind: &str| list.iter().any(|known| known.value == kind);
        for kind in is.iter().filter(|kind| !has(was, &kind.value)) {
            let words = say!("the {one} {} now selects it", kind.value, one = said(one));
            found.push(FieldChange::new(field, false, Nature::Added, words));
        }
        for kind in was.iter().filter(|kind| !has(is, &kind.value)) {
            let words = say!("the {one} {} no longer selects it", kind.value, one = said(one));
            found.push(FieldChange::new(field, false, Nature::Withdrawn, words));
        }
        if found.is_empty() && was.iter().map(|kind| &kind.value).ne(is.iter().map(|kind| &kind.value)) {
            let words = said(reordered).to_string();
            found.push(FieldChange::new(field, false, Nature::Reworded, words));
        }
        found
    };
    let mut found = kinds(&was.reports, &is.reports, "reports", REPORT_WORDS);
    found.extend(kinds(&was.occurrences, &is.occurrences, "occurrences", OCCURRENCE_WORDS));
    found
}

fn steps(found: &mut EditionDifference, before: &[Located<Step>], after: &[Located<Step>]) {
    let find = |among: &[Located<Step>], id: &str| among.iter().position(|step| step.value.id == id);
    for step in after.iter().map(|step| &step.value) {
        let change = match find(before, &step.id) {
            Some(at) => changed(&without_covered(&before[at].value, step, after), step),
            None => vec![new_step(step, before, after)],
        };
        found.add(Part::Step(step.id.clone()), say!("step {}: {}", step.id, step.title), change);
    }
    for step in before.iter().map(|step| &step.value) {
        if find(after, &step.id).is_none() {
            let words = say!("the step is withdrawn").to_string();
            let change = FieldChange::new("step", true, Nature::Withdrawn, words);
            found.add(Part::Step(step.id.clone()), say!("step {}: {}", step.id, step.title), vec![change]);
        }
    }
    found.add(Part::Order, say!("the order of the steps").to_string(), order(before, after));
}

/// The step as it was, without what it need not name any more because it comes after every step that is not last itself.
fn without_covered(was: &Step, is: &Step, after: &[Located<Step>]) -> Step {
    let mut was = was.clone();
    let is_covered = |id: &str| after.iter().any(|step| step.value.id == id && !step.value.last);
    let is_named = |id: &str| is.after.iter().any(|named| named.value == id);
    if is.last {
        was.after.retain(|named| is_named(&named.value) || !is_covered(&named.value));
    }
    was
}

fn changed(was: &Step, is: &Step) -> Vec<FieldChange> {
    let mut found = compare_steps(was, is);
    found.extend(written_otherwise(was, is, &found));
    found
}

/// A new step; where one that is gone had the same instruction, its id was changed.
fn new_step(step: &Step, before: &[Located<Step>], after: &[Located<Step>]) -> FieldChange {
    let is_gone = |was: &Step| !after.iter().any(|now| now.value.id == was.id);
    let twin =
        before.iter().map(|was| &was.value).find(|was| was.instruction == step.instruction && is_gone(was));
    let words = match twin {
        Some(was) => say!(
            "new step with the instruction of {}, which is gone: answers under that id are no longer found",
            was.id
        ),
        None => say!("new step in section {}", step.section.value),
    };
    FieldChange::new("step", false, Nature::Added, words)
}

/// Steps of both editions that no longer follow the same step; told for the fewest that would have to be moved.
fn order(before: &[Located<Step>], after: &[Located<Step>]) -> Vec<FieldChange> {
    let place = |id: &str| before.iter().position(|step| step.value.id == id);
    let common: Vec<(usize, &str)> = after
        .iter()
        .filter_map(|step| place(&step.value.id).map(|at| (at, step.value.id.as_str())))
        .collect();
    let stays = longest_rising(&common.iter().map(|(at, _)| *at).collect::<Vec<_>>());
    let moved = common.iter().enumerate().filter(|(at, _)| !stays.contains(at));
    moved
        .map(|(at, (_, id))| {
            let words = match at.checked_sub(1).and_then(|earlier| common.get(earlier)) {
                Some((_, earlier)) => say!("{id} now follows {earlier}", id, earlier),
                None => say!("{id} now comes first", id),
            };
            FieldChange::new("step", false, Nature::Reordered, words).of(id)
        })
        .collect()
}

/// Positions of a longest rising run of places, not necessarily side by side.
fn longest_rising(places: &[usize]) -> Vec<usize> {
    let mut best: Vec<(usize, Option<usize>)> = Vec::with_capacity(places.len());
    for (at, place) in places.iter().enumerate() {
        let before =
            (0..at).filter(|earlier| places[*earlier] < *place).max_by_key(|earlier| best[*earlier].0);
        best.push((before.map_or(1, |earlier| best[earlier].0 + 1), before));
    }
    let mut next = (0..best.len()).max_by_key(|at| best[*at].0);
    let mut found = Vec::new();
    while let Some(at) = next {
        found.push(at);
        next = best[at].1;
    }
    found
}
