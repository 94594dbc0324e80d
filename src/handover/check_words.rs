//! A check of an opening in plain words.

use super::check::{Check, Conflict, Outcome, concerns};
use super::layout::Page;
use super::opening::side_words;
use crate::checklist::{HiddenItem, TypeData};
use crate::quantity::Number;
use crate::words::{figure, of_checklist, said};

/// The check as text of 80 columns, caution first.
pub fn check_text(check: &Check) -> String {
    let mut page = Page::new();
    page.section(say!("Proposed opening"));
    write_check(&mut page, check);
    page.finish()
}

/// The check as text of `width` columns without the caution: whoever shows it shows that beside it.
pub fn check_words(check: &Check, width: usize) -> String {
    let mut page = Page::within(width);
    write_check(&mut page, check);
    page.finish()
}

/// The items of the opening's component and side that are not in its way, one paragraph each; empty where all are.
pub fn others_words(check: &Check, of_type: Option<&TypeData>, width: usize) -> String {
    let items = of_type.map_or(&[][..], |data| data.hidden_items.as_slice());
    let in_the_way = |id: &str| check.cuts.iter().chain(&check.near).any(|conflict| conflict.item.id == id);
    let mut page = Page::within(width);
    for item in items.iter().filter(|item| concerns(item, &check.opening) && !in_the_way(&item.id)) {
        page.para(0, &format!("{} ({}): {}", of_checklist(&item.title), item.id, item_words(item)));
    }
    page.finish()
}

pub(super) fn write_check(page: &mut Page, check: &Check) {
    page.para(0, &say!("Opening: {opening}", opening = check.opening));
    page.para(
        0,
        &say!(
            "Margin: {mm} mm ({source}), and each item's tolerance",
            mm = figure(check.margin.mm),
            source = check.margin.source
        ),
    );
    page.para(0, &headline(check));
    for conflict in &check.cuts {
        page.para(2, &cut_words(conflict));
        page.para(4, &item_words(&conflict.item));
    }
    for conflict in &check.near {
        page.para(2, &near_words(conflict, check.margin.mm));
        page.para(4, &item_words(&conflict.item));
    }
    for part in &check.unmapped {
        let what = if part.only_margin { say!("the margin") } else { say!("the opening itself") };
        page.para(
            2,
            &say!(
                "not mapped ({what}): {side}, stations {stations}, heights {heights}",
                what,
                side = side_words(part.side),
                stations = figure(part.rect.station),
                heights = figure(part.rect.height)
            ),
        );
    }
    if !check.known_components.is_empty() {
        page.para(
            2,
            &say!("the type's data know the components: {list}", list = check.known_components.join(", ")),
        );
    }
    if let Some(nearest) = &check.nearest {
        page.para(
            2,
            &say!(
                "nearest: {title} ({id}), {gap} mm away as entered; {left} mm are left over tolerance and margin",
                title = of_checklist(&nearest.item.title),
                id = nearest.item.id,
                gap = figure(nearest.gap_mm),
                left = figure(nearest.left_mm)
            ),
        );
        page.para(4, &item_words(&nearest.item));
    }
}

fn headline(check: &Check) -> String {
    let unmapped = if check.unmapped.is_empty() { "" } else { say!("; and part of it is not mapped") };
    match check.outcome {
        Outcome::Clear if check.nearest.is_none() => {
            say!("CLEAR by the type's data: the area is mapped and no hidden item of it is entered there").to_string()
        }
        Outcome::Clear => say!("CLEAR by the type's data of every hidden item entered").to_string(),
        Outcome::Cuts => {
            say!("CUTS, or may cut, 1 hidden item" | "CUTS, or may cut, {n} hidden items" % check.cuts.len()) + unmapped
        }
        Outcome::Near => {
            say!("TOO NEAR to 1 hidden item" | "TOO NEAR to {n} hidden items" % check.near.len()) + unmapped
        }
        Outcome::NotMapped => say!(
            "CANNOT TELL: the type's data are not complete there. No known item is met, and that says nothing \
             about unknown ones"
        )
        .to_string(),
    }
}

fn cut_words(conflict: &Conflict) -> String {
    let item = &conflict.item;
    let title = of_checklist(&item.title);
    let zero = Number::from(0);
    let deep = zero.decimal() - conflict.gap_mm.decimal();
    let how = if conflict.gap_mm < zero {
        let deep = figure(deep);
        say!("cuts {title} ({id}) by {deep} mm as entered", title, id = item.id, deep)
    } else if conflict.gap_mm == zero {
        say!("touches {title} ({id}) as entered", title, id = item.id)
    } else {
        say!(
            "may cut {title} ({id}): {gap} mm away as entered, within its tolerance",
            title,
            id = item.id,
            gap = figure(conflict.gap_mm)
        )
    };
    let worst = zero.decimal() - conflict.room_mm.decimal();
    say!(
        "{how}; tolerance {tolerance} mm, so up to {worst} mm; {short} mm are missing with the margin",
        how,
        tolerance = figure(item.tolerance_mm),
        worst = figure(worst),
        short = figure(conflict.short_mm)
    )
}

fn near_words(conflict: &Conflict, margin_mm: Number) -> String {
    let item = &conflict.item;
    say!(
        "too near: {title} ({id}), {gap} mm away as entered, {room} mm less its tolerance of {tolerance} mm; the margin is \
         {margin} mm, {short} mm are missing",
        title = of_checklist(&item.title),
        id = item.id,
        gap = figure(conflict.gap_mm),
        room = figure(conflict.room_mm),
        tolerance = figure(item.tolerance_mm),
        margin = figure(margin_mm),
        short = figure(conflict.short_mm)
    )
}

/// Kind, place, tolerance and source of an item.
pub(super) fn item_words(item: &HiddenItem) -> String {
    let note = item.note.as_ref().map(|note| format!("; {}", of_checklist(note))).unwrap_or_default();
    say!(
        "{kind}, {component}, {side}: stations {stations}, heights {heights}, place known to ± {tolerance} mm; source: \
         {source}{note}",
        kind = said(item.kind.word()),
        component = of_checklist(&item.component),
        side = side_words(item.side),
        stations = figure(item.station),
        heights = figure(item.height),
        tolerance = figure(item.tolerance_mm),
        source = of_checklist(&item.source),
        note
    )
}
