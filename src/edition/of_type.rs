//! The type's own facts then and now, and what is known to lie behind its skin.

use super::compare::{EditionDifference, Part};
use super::head::text;
use super::measures::{end_change, figure_change};
use super::nature::{Nature, VersionStep};
use super::steps::FieldChange;
use super::written::same;
use crate::checklist::{HiddenItem, MappedArea, StatedVariation, TypeData};
use crate::quantity::LengthRange;
use crate::words::{Language, figure, said, with_language};

pub(super) fn of_type(found: &mut EditionDifference, was: &TypeData, is: &TypeData) {
    found.add(Part::Type, say!("type {}", is.name), facts(was, is));
    hidden_items(found, &was.hidden_items, &is.hidden_items);
    mapped_areas(found, &was.mapped_areas, &is.mapped_areas);
}

/// Another value, where neither is stricter.
fn other(field: &'static str, was: &str, is: &str) -> Option<FieldChange> {
    let words = match (was.is_empty(), is.is_empty()) {
        (true, true) => return None,
        (true, false) => (Nature::Added, say!("{field}: {is}; it was not given", field, is)),
        (false, true) => (Nature::Withdrawn, say!("{field}: no longer given; it was {was}", field, was)),
        (false, false) => (Nature::Changed, say!("{field}: {was}, now {is}", field, was, is)),
    };
    (was != is).then(|| FieldChange::new(field, true, words.0, words.1))
}

fn facts(was: &TypeData, is: &TypeData) -> Vec<FieldChange> {
    let mut found = Vec::new();
    found.extend(other("id", &was.id, &is.id));
    found.extend(text("name", &was.name, &is.name));
    found.extend(other("seats", &was.seats.to_string(), &is.seats.to_string()));
    found.extend(other("datum", &was.datum, &is.datum));
    let given = |text: &Option<String>| text.clone().unwrap_or_default();
    found.extend(other("height_datum", &given(&was.height_datum), &given(&is.height_datum)));
    let ceiling = (was.fin_side_load_ceiling, is.fin_side_load_ceiling);
    found.extend(
        end_change(say!("hand load on the fin top at most"), ceiling.0, ceiling.1, false)
            .map(|(nature, words)| FieldChange::new("fin_side_load_ceiling", true, nature, words)),
    );
    if was.fin_side_load_ceiling != is.fin_side_load_ceiling && !has(&found, "fin_side_load_ceiling") {
        let words = say!("the same ceiling of the fin's load, written otherwise");
        found.push(FieldChange::new("fin_side_load_ceiling", false, Nature::Reworded, words));
    }
    let margin = (was.opening_margin_mm, is.opening_margin_mm);
    found.extend(
        figure_change(say!("opening clear by at least"), "mm", margin.0, margin.1, true)
            .map(|(nature, words)| FieldChange::new("opening_margin", false, nature, words)),
    );
    found.extend(build_standards(was, is));
    if was.outline != is.outline {
        let (nature, words) = match (&was.outline, &is.outline) {
            (None, Some(_)) => (Nature::Added, say!("outline: now given; defects are marked on it")),
            (Some(_), None) => (Nature::Withdrawn, say!("outline: no longer given")),
            _ => (Nature::Changed, say!("outline: other measures of the airframe")),
        };
        // No answer rests on a picture.
        found.push(FieldChange::new("outline", false, nature, words).demanding(VersionStep::Minor));
    }
    let variation = |of: &Option<StatedVariation>| of.as_ref().map(variation_words).unwrap_or_default();
    found.extend(other(
        "stated_variation",
        &variation(&was.stated_variation),
        &variation(&is.stated_variation),
    ));
    found
}

fn has(found: &[FieldChange], field: &str) -> bool {
    found.iter().any(|change| change.field == field)
}

fn variation_words(stated: &StatedVariation) -> String {
    say!(
        "{} % between airframes (in doubt by {} % of it), {} % of one measurement, stated by {}",
        figure(stated.percent),
        figure(stated.doubt_percent),
        figure(stated.measurement_percent),
        stated.by
    )
}

fn build_standards(was: &TypeData, is: &TypeData) -> Vec<FieldChange> {
    let title = |of: &TypeData, id: &str| {
        of.build_standards.iter().find(|known| known.id == id).map(|known| known.title.clone())
    };
    let field = "build_standards";
    let mut found = Vec::new();
    for standard in &is.build_standards {
        match title(was, &standard.id) {
            None => {
                let words = say!("build standard {}: new, \"{}\"", standard.id, standard.title);
                found.push(FieldChange::new(field, false, Nature::Added, words));
            }
            Some(before) if before != standard.title => {
                let words = say!(
                    "build standard {}: \"{}\" instead of \"{before}\"",
                    standard.id,
                    standard.title,
                    before
                );
                found.push(FieldChange::new(field, false, Nature::Reworded, words));
            }
            Some(_) => {}
        }
    }
    for gone in was.build_standards.iter().filter(|known| title(is, &known.id).is_none()) {
        let words = say!("build standard {} is gone", gone.id);
        found.push(FieldChange::new(field, false, Nature::Withdrawn, words));
    }
    if found.is_empty() && !same(&was.build_standards, &is.build_standards) {
        let change =
            FieldChange::new(field, false, Nature::Reordered, say!("build standards in another order"));
        found.push(change.demanding(VersionStep::Patch));
    }
    found
}

fn hidden_items(found: &mut EditionDifference, was: &[HiddenItem], is: &[HiddenItem]) {
    let find = |among: &[HiddenItem], id: &str| among.iter().find(|item| item.id == id).cloned();
    for item in is {
        let changes = match find(was, &item.id) {
            Some(before) => hidden_changes(&before, item),
            None => {
                vec![FieldChange::new("hidden_item", false, Nature::Added, say!("now known to be there"))]
            }
        };
        found.add(
            Part::HiddenItem(item.id.clone()),
            say!("hidden item {}: {}", item.id, item.title),
            changes,
        );
    }
    for gone in was.iter().filter(|item| find(is, &item.id).is_none()) {
        let change =
            FieldChange::new("hidden_item", false, Nature::Withdrawn, say!("no longer said to be there"));
        found.add(
            Part::HiddenItem(gone.id.clone()),
            say!("hidden item {}: {}", gone.id, gone.title),
            vec![change],
        );
    }
    let ids = |these: &[HiddenItem], others: &[HiddenItem]| -> Vec<String> {
        these.iter().filter(|item| find(others, &item.id).is_some()).map(|item| item.id.clone()).collect()
    };
    if ids(was, is) != ids(is, was) {
        let change = FieldChange::new("hidden_item", false, Nature::Reordered, say!("in another order"));
        found.add(
            Part::Head,
            say!("the hidden items").to_string(),
            vec![change.demanding(VersionStep::Patch)],
        );
    }
}

fn hidden_changes(was: &HiddenItem, is: &HiddenItem) -> Vec<FieldChange> {
    let mut found = Vec::new();
    found.extend(text("title", &was.title, &is.title));
    found.extend(other("kind", was.kind.word(), is.kind.word()));
    found.extend(other("component", &was.component, &is.component));
    if was.side != is.side {
        let side = |of: &HiddenItem| of.side.map_or(mark!("both sides"), |side| side.word());
        let nature = match (was.side, is.side) {
            (Some(_), None) => Nature::Tightened,
            (None, Some(_)) => Nature::Loosened,
            _ => Nature::Changed,
        };
        let words = say!("side: {}, now {}", said(side(was)), said(side(is)));
        found.push(FieldChange::new("side", false, nature, words));
    }
    found.extend(range("station", &was.station, &is.station, true));
    found.extend(range("height", &was.height, &is.height, true));
    found.extend(
        figure_change(say!("place known within"), "mm", Some(was.tolerance_mm), Some(is.tolerance_mm), true)
            .map(|(nature, words)| FieldChange::new("tolerance", false, nature, words)),
    );
    found.extend(text("source", &was.source, &is.source));
    found.extend(text(
        "note",
        was.note.as_deref().unwrap_or_default(),
        is.note.as_deref().unwrap_or_default(),
    ));
    found
}

/// A hidden item that takes more room leaves less for an opening; a mapped area that is larger leaves more.
fn range(
    field: &'static str,
    was: &LengthRange,
    is: &LengthRange,
    larger_is_stricter: bool,
) -> Option<FieldChange> {
    if was == is {
        return None;
    }
    let within = |one: &LengthRange, other: &LengthRange| {
        one.from_mm() >= other.from_mm() && one.to_mm() <= other.to_mm()
    };
    let nature = match (within(was, is), within(is, was)) {
        (true, true) => Nature::Reworded,
        (true, false) => Nature::of_switch(larger_is_stricter),
        (false, true) => Nature::of_switch(!larger_is_stricter),
        (false, false) => Nature::Changed,
    };
    let words = say!(
        "{field}: {} to {} mm, now {} to {} mm",
        was.from_mm(),
        was.to_mm(),
        is.from_mm(),
        is.to_mm(),
        field
    );
    Some(FieldChange::new(field, false, nature, words))
}

/// Component, side, and the how manieth of these it is.
fn area_keys(list: &[MappedArea]) -> Vec<String> {
    let name = |area: &MappedArea| {
        let side = said(area.side.map_or(mark!("both sides"), |side| side.word()));
        format!("{}, {side}", area.component)
    };
    let mut seen: Vec<String> = Vec::new();
    for area in list {
        let nth = seen.iter().filter(|known| known.starts_with(&name(area))).count();
        seen.push(if nth == 0 { name(area) } else { say!("{}, area {}", name(area), nth + 1) });
    }
    seen
}

fn mapped_areas(found: &mut EditionDifference, was: &[MappedArea], is: &[MappedArea]) {
    let names = (area_keys(was), area_keys(is));
    // Areas are paired by names that no language changes.
    let (old, new) = with_language(Language::English, || (area_keys(was), area_keys(is)));
    for ((key, name), area) in new.iter().zip(&names.1).zip(is) {
        let changes = match old.iter().position(|known| known == key).and_then(|at| was.get(at)) {
            None => vec![FieldChange::new("mapped_area", false, Nature::Added, say!("now mapped"))],
            Some(before) => {
                let mut changes = Vec::new();
                changes.extend(range("station", &before.station, &area.station, false));
                changes.extend(range("height", &before.height, &area.height, false));
                changes.extend(text("source", &before.source, &area.source));
                changes.extend(text(
                    "note",
                    before.note.as_deref().unwrap_or_default(),
                    area.note.as_deref().unwrap_or_default(),
                ));
                changes
            }
        };
        found.add(Part::MappedArea(key.clone()), say!("mapped area, {key}", key = name), changes);
    }
    for (key, name) in old.iter().zip(&names.0).filter(|(key, _)| !new.contains(key)) {
        let change = FieldChange::new("mapped_area", false, Nature::Withdrawn, say!("no longer mapped"));
        found.add(Part::MappedArea(key.clone()), say!("mapped area, {key}", key = name), vec![change]);
    }
    let both = |these: &[String], others: &[String]| {
        these.iter().filter(|key| others.contains(key)).cloned().collect::<Vec<_>>()
    };
    if both(&old, &new) != both(&new, &old) {
        let change = FieldChange::new("mapped_area", false, Nature::Reordered, say!("in another order"));
        found.add(
            Part::Head,
            say!("the mapped areas").to_string(),
            vec![change.demanding(VersionStep::Patch)],
        );
    }
}
