//! A checked opening as a picture in station and height.

use super::check::Check;
use super::opening::Opening;
use super::rect::Rect;
use crate::checklist::{Side, TypeData, same_component};
use crate::plot::{Box2, HiddenBox, OpeningScene, Plot, opening_plot};

/// The opening with the items and mapped areas of its component and side.
pub fn check_plot(check: &Check, of_type: Option<&TypeData>) -> Plot {
    let opening = &check.opening;
    let (items, areas) = of_type
        .map_or((&[][..], &[][..]), |data| (data.hidden_items.as_slice(), data.mapped_areas.as_slice()));
    let in_the_way = |id: &str| check.cuts.iter().chain(&check.near).any(|conflict| conflict.item.id == id);
    let items = items.iter().filter(|item| concerns(&item.component, item.side, opening));
    let areas = areas.iter().filter(|area| concerns(&area.component, area.side, opening));
    opening_plot(&OpeningScene {
        title: opening.to_string(),
        opening: box_of(&opening.rect),
        margin_mm: check.margin.mm.to_f64(),
        items: items
            .map(|item| HiddenBox {
                place: box_of(&Rect { station: item.station, height: item.height }),
                tolerance_mm: item.tolerance_mm.to_f64(),
                in_the_way: in_the_way(&item.id),
            })
            .collect(),
        mapped: areas.map(|area| box_of(&Rect { station: area.station, height: area.height })).collect(),
    })
}

/// What has no side lies on both.
fn concerns(component: &str, side: Option<Side>, opening: &Opening) -> bool {
    same_component(component, &opening.component)
        && (side.is_none() || opening.side.is_none() || side == opening.side)
}

fn box_of(rect: &Rect) -> Box2 {
    let ends = |range: &crate::quantity::LengthRange| (range.from_mm().to_f64(), range.to_mm().to_f64());
    Box2 { station: ends(&rect.station), height: ends(&rect.height) }
}
