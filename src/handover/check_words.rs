//! A check of an opening in plain words.

use super::check::{Check, Conflict, Outcome, concerns};
use super::layout::Page;
use crate::checklist::{HiddenItem, Side, TypeData};
use crate::quantity::Number;

/// The check as text of 80 columns, caution first.
pub fn check_text(check: &Check) -> String {
    let mut page = Page::new();
    page.section("Proposed opening");
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
        page.para(0, &format!("{} ({}): {}", item.title, item.id, item_words(item)));
    }
    page.finish()
}

pub(super) fn write_check(page: &mut Page, check: &Check) {
    page.para(0, &format!("Opening: {}", check.opening));
    page.para(
        0,
        &format!("Margin: {} mm ({}), and each item's tolerance", check.margin.mm, check.margin.source),
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
        let what = if part.only_margin { "the margin" } else { "the opening itself" };
        page.para(
            2,
            &format!(
                "not mapped ({what}): {}, stations {}, heights {}",
                part.side.map_or("both sides", Side::word),
                part.rect.station,
                part.rect.height
            ),
        );
    }
    if !check.known_components.is_empty() {
        page.para(2, &format!("the type's data know the components: {}", check.known_components.join(", ")));
    }
    if let Some(nearest) = &check.nearest {
        page.para(
            2,
            &format!(
                "nearest: {} ({}), {} mm away as entered; {} mm are left over tolerance and margin",
                nearest.item.title, nearest.item.id, nearest.gap_mm, nearest.left_mm
            ),
        );
        page.para(4, &item_words(&nearest.item));
    }
}

fn headline(check: &Check) -> String {
    let unmapped = if check.unmapped.is_empty() { "" } else { "; and part of it is not mapped" };
    match check.outcome {
        Outcome::Clear if check.nearest.is_none() => {
            "CLEAR by the type's data: the area is mapped and no hidden item of it is entered there".to_string()
        }
        Outcome::Clear => "CLEAR by the type's data of every hidden item entered".to_string(),
        Outcome::Cuts => format!("CUTS, or may cut, {}{unmapped}", counted(check.cuts.len())),
        Outcome::Near => format!("TOO NEAR to {}{unmapped}", counted(check.near.len())),
        Outcome::NotMapped => {
            "CANNOT TELL: the type's data are not complete there. No known item is met, and that says nothing \
             about unknown ones"
                .to_string()
        }
    }
}

fn counted(items: usize) -> String {
    if items == 1 { "1 hidden item".to_string() } else { format!("{items} hidden items") }
}

fn cut_words(conflict: &Conflict) -> String {
    let item = &conflict.item;
    let zero = Number::from(0);
    let deep = zero.decimal() - conflict.gap_mm.decimal();
    let how = if conflict.gap_mm < zero {
        format!("cuts {} ({}) by {deep} mm as entered", item.title, item.id)
    } else if conflict.gap_mm == zero {
        format!("touches {} ({}) as entered", item.title, item.id)
    } else {
        format!(
            "may cut {} ({}): {} mm away as entered, within its tolerance",
            item.title, item.id, conflict.gap_mm
        )
    };
    let worst = zero.decimal() - conflict.room_mm.decimal();
    format!(
        "{how}; tolerance {} mm, so up to {worst} mm; {} mm are missing with the margin",
        item.tolerance_mm, conflict.short_mm
    )
}

fn near_words(conflict: &Conflict, margin_mm: Number) -> String {
    let item = &conflict.item;
    format!(
        "too near: {} ({}), {} mm away as entered, {} mm less its tolerance of {} mm; the margin is {margin_mm} mm, \
         {} mm are missing",
        item.title, item.id, conflict.gap_mm, conflict.room_mm, item.tolerance_mm, conflict.short_mm
    )
}

/// Kind, place, tolerance and source of an item.
pub(super) fn item_words(item: &HiddenItem) -> String {
    let note = item.note.as_ref().map(|note| format!("; {note}")).unwrap_or_default();
    format!(
        "{}, {}, {}: stations {}, heights {}, place known to ± {} mm; source: {}{note}",
        item.kind.word(),
        item.component,
        item.side.map_or("both sides", Side::word),
        item.station,
        item.height,
        item.tolerance_mm,
        item.source
    )
}
