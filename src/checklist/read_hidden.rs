//! `[[hidden_item]]` and `[[mapped_area]]` of a supplement.

use std::collections::BTreeMap;

use super::hidden::{HiddenItem, HiddenKind, MappedArea, Side};
use super::supplement::TypeData;
use crate::diagnostic::Diagnostic;
use crate::quantity::{LengthRange, LengthRangeError, Number, Quantity, Unit, place_mm};
use crate::source::{Located, Table};
use crate::vocabulary::is_id;
use crate::words::said;

const RANGE_HINT: &str = mark!("write it like \"4250..4310 mm\"");

/// Both lists of the file.
pub(super) struct Hidden {
    pub items: Vec<HiddenItem>,
    pub areas: Vec<MappedArea>,
}

pub(super) fn read_hidden(root: &Table<'_>) -> Hidden {
    let items: Vec<Located<HiddenItem>> =
        root.tables("hidden_item", mark!("a hidden item")).into_iter().filter_map(read_item).collect();
    let areas =
        root.tables("mapped_area", mark!("a mapped area")).into_iter().filter_map(read_area).collect();
    report_duplicates(root, &items);
    Hidden { items: items.into_iter().map(|item| item.value).collect(), areas }
}

/// Puts the lists into the type, which has to say from where heights are counted.
pub(super) fn into_type(root: &Table<'_>, hidden: Hidden, of_type: &mut TypeData) {
    let is_any = !hidden.items.is_empty() || !hidden.areas.is_empty();
    if is_any && of_type.height_datum.is_none() {
        root.reject::<()>(
            "height-datum-missing",
            root.span_of("type").unwrap_or(0..0),
            say!("hidden items have heights, and the type does not say from where heights are counted"),
            say!("add height_datum = \"…\" to [type]"),
        );
    }
    of_type.hidden_items = hidden.items;
    of_type.mapped_areas = hidden.areas;
}

fn read_item(table: Table<'_>) -> Option<Located<HiddenItem>> {
    let id = table.required_text("id");
    if let Some(id) = id.as_ref().filter(|id| !is_id(&id.value, &['-', '.'])) {
        table.reject::<()>(
            "id-form",
            id.span.clone(),
            say!("\"{}\" cannot be an id", id.value),
            say!("use lower-case words joined by \"-\" or \".\", such as fin-rib-2"),
        );
    }
    let title = table.required_text("title");
    let kind = table.required_choice("kind", &HiddenKind::WORDS);
    let component = table.required_text("component");
    let side = table.choice("side", &Side::WORDS);
    let (station, height) = (read_range(&table, "station"), read_range(&table, "height"));
    let tolerance = read_length(&table, "tolerance", true);
    let source = table.required_text("source");
    let note = table.text("note").map(|text| text.value);
    table.finish();
    let id = id?;
    let span = id.span.clone();
    let item = HiddenItem {
        id: id.value,
        title: title?.value,
        kind: kind?.value,
        component: component?.value,
        side: side.map(|side| side.value),
        station: station?,
        height: height?,
        tolerance_mm: tolerance?,
        source: source?.value,
        note,
    };
    Some(Located::new(item, span))
}

fn read_area(table: Table<'_>) -> Option<MappedArea> {
    let component = table.required_text("component");
    let side = table.choice("side", &Side::WORDS);
    let (station, height) = (read_range(&table, "station"), read_range(&table, "height"));
    let source = table.required_text("source");
    let note = table.text("note").map(|text| text.value);
    table.finish();
    Some(MappedArea {
        component: component?.value,
        side: side.map(|side| side.value),
        station: station?,
        height: height?,
        source: source?.value,
        note,
    })
}

#[cfg_attr(test, track_caller)]
pub(super) fn read_range(table: &Table<'_>, key: &'static str) -> Option<LengthRange> {
    let text = table.required_text(key)?;
    match LengthRange::parse(&text.value, true) {
        Ok(range) => Some(range),
        Err(error) => {
            let code = match &error {
                LengthRangeError::MissingUnit(_) => "unit-missing",
                LengthRangeError::UpsideDown { .. } => "range-upside-down",
                _ => "not-a-range",
            };
            table.reject(code, text.span, format!("\"{key}\": {error}"), said(RANGE_HINT))
        }
    }
}

/// A length of 0 or more with its unit, in mm.
#[cfg_attr(test, track_caller)]
pub(super) fn read_length(table: &Table<'_>, key: &'static str, is_required: bool) -> Option<Number> {
    let text = if is_required { table.required_text(key) } else { table.text(key) }?;
    let in_mm = Quantity::parse(&text.value).and_then(|quantity| quantity.to(Unit::Millimetre));
    match in_mm {
        Ok(length) if length.value < Number::from(0) => table.reject(
            "negative-length",
            text.span,
            say!("\"{key}\" is negative", key = key),
            say!("give it without the sign"),
        ),
        Ok(length) => match place_mm(length.value) {
            Ok(number) => Some(number),
            Err(error) => {
                table.reject("not-a-quantity", text.span, error.to_string(), say!("write it like \"5 mm\""))
            }
        },
        Err(error) => table.reject(
            "not-a-quantity",
            text.span,
            format!("\"{key}\": {error}"),
            say!("write it with a unit of length, like \"5 mm\""),
        ),
    }
}

fn report_duplicates(root: &Table<'_>, items: &[Located<HiddenItem>]) {
    let mut seen: BTreeMap<&str, &Located<HiddenItem>> = BTreeMap::new();
    for item in items {
        match seen.get(item.value.id.as_str()) {
            Some(first) => root.fault(
                Diagnostic::new(
                    "duplicate-hidden-item",
                    root.place(item.span.clone()),
                    say!("the hidden item \"{}\" stands here a second time", item.value.id),
                )
                .related(root.place(first.span.clone()), say!("first here"))
                .hint(say!("give one of them another id")),
            ),
            None => {
                seen.insert(&item.value.id, item);
            }
        }
    }
}
