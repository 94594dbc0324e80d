//! Whether a proposed opening stays clear of what lies behind the skin, as far as the type's data tell.
//!
//! The place of an item is its rectangle grown by its tolerance; the margin comes on top. Clear is said only where
//! the opening with its margin lies inside areas for which the type's data are complete.

use serde::Serialize;

use super::opening::Opening;
use super::rect::Rect;
use crate::checklist::{HiddenItem, MappedArea, Side, TypeData, same_component};
use crate::quantity::{LengthRangeError, Number, place_mm};
use crate::words::figure;

/// Room kept between an opening and an item where neither the type nor the person gives one, mm.
/// Common practice, no source.
pub const DEFAULT_MARGIN_MM: i64 = 20;

/// Room that is to be kept, and who says so.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Margin {
    pub mm: Number,
    pub source: String,
}

impl Margin {
    /// The margin that was typed, else the type's own, else [`DEFAULT_MARGIN_MM`].
    ///
    /// # Errors
    /// A negative margin is told as such by the text of the error; one that is out of reach, too.
    pub fn choose(typed_mm: Option<Number>, of_type: Option<&TypeData>) -> Result<Margin, String> {
        let of_type_mm = of_type.and_then(|data| data.opening_margin_mm);
        let Some(mm) = typed_mm else {
            return Ok(match of_type_mm {
                Some(mm) => Margin { mm, source: say!("of the type").to_string() },
                None => Margin {
                    mm: DEFAULT_MARGIN_MM.into(),
                    source: say!("default; common practice, no source").to_string(),
                },
            });
        };
        if mm < Number::from(0) {
            return Err(say!("margin {mm} mm is negative; give 0 or more, such as --margin 20", mm));
        }
        place_mm(mm).map_err(|error: LengthRangeError| error.to_string())?;
        let source = match of_type_mm.filter(|wanted| mm < *wanted) {
            Some(wanted) => {
                say!("as typed; LESS than the type's own {wanted} mm", wanted = figure(wanted))
            }
            None => say!("as typed").to_string(),
        };
        Ok(Margin { mm, source })
    }
}

/// An item that the opening meets, or comes nearer than the margin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Conflict {
    pub item: HiddenItem,
    /// From the item's rectangle as entered, mm; 0 or less: they touch or overlap.
    pub gap_mm: Number,
    /// `gap_mm` less the item's tolerance: what is left at the worst. 0 or less: the opening may cut the item.
    pub room_mm: Number,
    /// What is missing to keep tolerance and margin, mm.
    pub short_mm: Number,
}

/// The item that comes nearest to an opening that is clear.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Nearest {
    pub item: HiddenItem,
    pub gap_mm: Number,
    /// What is left once tolerance and margin are kept, mm.
    pub left_mm: Number,
}

/// A part of the opening, or of the margin around it, outside of every mapped area.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Unmapped {
    /// Without a side on both.
    pub side: Option<Side>,
    #[serde(flatten)]
    pub rect: Rect,
    /// It lies in the margin; the opening itself is mapped there.
    pub only_margin: bool,
}

/// What the check comes to; the gravest holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Outcome {
    Clear,
    Cuts,
    Near,
    /// Cannot tell: data are missing.
    NotMapped,
}

impl Outcome {
    pub fn words(self) -> &'static str {
        match self {
            Outcome::Clear => say!("clear by the type's data"),
            Outcome::Cuts => say!("cuts, or may cut"),
            Outcome::Near => say!("too near"),
            Outcome::NotMapped => say!("of an opening" => "cannot tell"),
        }
    }
}

/// One opening checked against the type's data.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Check {
    pub outcome: Outcome,
    pub opening: Opening,
    pub margin: Margin,
    /// Items that it cuts or may cut within their tolerance, worst first.
    pub cuts: Vec<Conflict>,
    /// Items nearer than tolerance and margin, worst first.
    pub near: Vec<Conflict>,
    pub unmapped: Vec<Unmapped>,
    /// Where it is clear and any item of the component is known.
    pub nearest: Option<Nearest>,
    /// Where the component is not known to the type's data: those that are.
    pub known_components: Vec<String>,
}

/// Checks `opening`. Without the type's data nothing is mapped.
pub fn check_opening(opening: &Opening, margin: &Margin, of_type: Option<&TypeData>) -> Check {
    let (items, areas) = of_type
        .map_or((&[][..], &[][..]), |data| (data.hidden_items.as_slice(), data.mapped_areas.as_slice()));
    let zero = Number::from(0);
    let mut conflicts: Vec<Conflict> = items
        .iter()
        .filter(|item| concerns(item, opening))
        .map(|item| conflict(item, opening, margin))
        .collect();
    conflicts.sort_by(|a, b| b.short_mm.cmp(&a.short_mm).then_with(|| a.item.id.cmp(&b.item.id)));
    let closest = conflicts.first().cloned();
    let (mut cuts, near): (Vec<Conflict>, Vec<Conflict>) = conflicts
        .into_iter()
        .filter(|conflict| conflict.room_mm <= zero || conflict.short_mm > zero)
        .partition(|conflict| conflict.room_mm <= zero);
    cuts.sort_by(|a, b| a.room_mm.cmp(&b.room_mm).then_with(|| a.item.id.cmp(&b.item.id)));
    let unmapped = unmapped(opening, margin, areas);
    let outcome = match (cuts.is_empty(), near.is_empty(), unmapped.is_empty()) {
        (false, _, _) => Outcome::Cuts,
        (true, false, _) => Outcome::Near,
        (true, true, false) => Outcome::NotMapped,
        (true, true, true) => Outcome::Clear,
    };
    let nearest = closest.filter(|_| outcome == Outcome::Clear).map(|closest| Nearest {
        item: closest.item,
        gap_mm: closest.gap_mm,
        left_mm: minus(zero, closest.short_mm),
    });
    let known_components = unknown_component(opening, items, areas);
    Check {
        outcome,
        opening: opening.clone(),
        margin: margin.clone(),
        cuts,
        near,
        unmapped,
        nearest,
        known_components,
    }
}

/// An item or an opening without a side concerns both.
pub(super) fn concerns(item: &HiddenItem, opening: &Opening) -> bool {
    same_component(&item.component, &opening.component)
        && (item.side.is_none() || opening.side.is_none() || item.side == opening.side)
}

fn conflict(item: &HiddenItem, opening: &Opening, margin: &Margin) -> Conflict {
    let gap_mm = opening.rect.gap_mm(&Rect { station: item.station, height: item.height });
    let room_mm = minus(gap_mm, item.tolerance_mm);
    Conflict { item: item.clone(), gap_mm, room_mm, short_mm: minus(margin.mm, room_mm) }
}

fn minus(a: Number, b: Number) -> Number {
    (a.decimal() - b.decimal()).normalize().into()
}

fn unmapped(opening: &Opening, margin: &Margin, areas: &[MappedArea]) -> Vec<Unmapped> {
    if let Some(side) = opening.side {
        return unmapped_on(side, Some(side), opening, margin, areas);
    }
    let both = unmapped_on(Side::Left, None, opening, margin, areas);
    if both == unmapped_on(Side::Right, None, opening, margin, areas) {
        return both;
    }
    let of_side = |side| unmapped_on(side, Some(side), opening, margin, areas);
    of_side(Side::Left).into_iter().chain(of_side(Side::Right)).collect()
}

/// The margin has to be mapped, too: an unknown item just outside could be nearer than it.
fn unmapped_on(
    side: Side,
    shown: Option<Side>,
    opening: &Opening,
    margin: &Margin,
    areas: &[MappedArea],
) -> Vec<Unmapped> {
    let mapped: Vec<Rect> = areas
        .iter()
        .filter(|area| {
            same_component(&area.component, &opening.component) && area.side.is_none_or(|only| only == side)
        })
        .map(|area| Rect { station: area.station, height: area.height })
        .collect();
    let part = |rect, only_margin| Unmapped { side: shown, rect, only_margin };
    let itself = opening.rect.outside(&mapped).into_iter().map(|rect| part(rect, false));
    let around = opening.rect.grown(margin.mm).outside(&mapped).into_iter();
    let beyond = around.flat_map(|piece| piece.outside(&[opening.rect])).map(|rect| part(rect, true));
    itself.chain(beyond).collect()
}

fn unknown_component(opening: &Opening, items: &[HiddenItem], areas: &[MappedArea]) -> Vec<String> {
    let named = items.iter().map(|item| &item.component).chain(areas.iter().map(|area| &area.component));
    let mut known: Vec<String> = Vec::new();
    for name in named {
        if same_component(name, &opening.component) {
            return Vec::new();
        }
        if !known.iter().any(|one| same_component(one, name)) {
            known.push(name.clone());
        }
    }
    known
}
