//! The head of a checklist: what it is, what it builds on, its sections.

use super::nature::{Nature, VersionStep};
use super::steps::FieldChange;
use super::wording::reworded;
use crate::checklist::Checklist;
use crate::words::said;

pub(super) fn head(was: &Checklist, is: &Checklist) -> Vec<FieldChange> {
    let mut found = Vec::new();
    if was.id.value != is.id.value {
        let words = say!("another checklist: {} instead of {}", is.id.value, was.id.value);
        found.push(FieldChange::new("id", true, Nature::Changed, words));
    }
    if was.kind.word() != is.kind.word() {
        let words = say!("a {} instead of a {}", said(is.kind.word()), said(was.kind.word()));
        found.push(FieldChange::new("kind", true, Nature::Changed, words));
    }
    for (field, old, new) in [
        ("title", &was.title, &is.title),
        ("author", &was.author, &is.author),
        ("about", &was.about, &is.about),
    ] {
        found.extend(text(field, old, new));
    }
    found.extend(requires(was, is));
    found.extend(sections(was, is));
    found
}

/// A text that says what the edition is and demands nothing.
pub(super) fn text(field: &'static str, was: &str, is: &str) -> Option<FieldChange> {
    if was == is {
        return None;
    }
    let words = match (was.is_empty(), is.is_empty()) {
        (true, _) => say!("{field}: new: \"{is}\"", field, is),
        (_, true) => say!("{field}: gone: \"{was}\"", field, was),
        _ => reworded(was, is).map_or_else(
            || say!("{field}: spaced or broken into lines otherwise", field),
            |words| say!("{field} reworded: {words}", field, words),
        ),
    };
    Some(FieldChange::new(field, false, Nature::Reworded, words))
}

fn requires(was: &Checklist, is: &Checklist) -> Vec<FieldChange> {
    let range = |of: &Checklist, id: &str| {
        of.requires.iter().find(|known| known.id.value == id).map(|known| known.range.to_string())
    };
    let mut found = Vec::new();
    let mut told = |nature: Nature, words: String| {
        found.push(FieldChange::new("requires", false, nature, words).demanding(VersionStep::Minor));
    };
    for id in is.requires.iter().map(|known| known.id.value.as_str()) {
        let now = range(is, id).unwrap_or_default();
        match range(was, id) {
            None => told(Nature::Added, say!("now builds on {id} {now}", id, now)),
            Some(before) if before != now => {
                told(Nature::Changed, say!("builds on {id} {now} instead of {before}", id, now, before));
            }
            Some(_) => {}
        }
    }
    for gone in was.requires.iter().filter(|known| range(is, &known.id.value).is_none()) {
        told(Nature::Withdrawn, say!("no longer builds on {}", gone.id.value));
    }
    found
}

/// Headings: they change where a step stands on the worksheet and nothing that it asks.
fn sections(was: &Checklist, is: &Checklist) -> Vec<FieldChange> {
    let title = |of: &Checklist, id: &str| {
        of.sections.iter().find(|known| known.value.id == id).map(|known| known.value.title.clone())
    };
    let mut found = Vec::new();
    let mut told = |nature: Nature, id: &str, words: String| {
        let demands = nature.version_step().min(VersionStep::Minor);
        found.push(FieldChange::new("section", false, nature, words).of(id).demanding(demands));
    };
    for section in is.sections.iter().map(|section| &section.value) {
        match title(was, &section.id) {
            None => {
                told(Nature::Added, &section.id, say!("new section {}: \"{}\"", section.id, section.title))
            }
            Some(before) if before != section.title => told(
                Nature::Reworded,
                &section.id,
                say!("section {}: \"{}\" instead of \"{before}\"", section.id, section.title, before),
            ),
            Some(_) => {}
        }
    }
    for gone in was.sections.iter().filter(|section| title(is, &section.value.id).is_none()) {
        told(Nature::Withdrawn, &gone.value.id, say!("the section {} is gone", gone.value.id));
    }
    let ids = |of: &Checklist, other: &Checklist| -> Vec<String> {
        let both = of.sections.iter().filter(|section| title(other, &section.value.id).is_some());
        both.map(|section| section.value.id.clone()).collect()
    };
    if ids(was, is) != ids(is, was) {
        told(Nature::Reordered, "", say!("the sections stand in another order: {}", ids(is, was).join(", ")));
    }
    found
}
