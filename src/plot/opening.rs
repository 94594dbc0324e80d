//! A proposed opening among what lies behind the skin: the side view of a component, stations along, heights up.

use super::{Axis, Geometry, Plot, Role, Shape};

/// A rectangle in mm from the type's datums: stations, then heights.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Box2 {
    pub station: (f64, f64),
    pub height: (f64, f64),
}

/// An item behind the skin.
#[derive(Debug, Clone, PartialEq)]
pub struct HiddenBox {
    pub place: Box2,
    /// How well the place is known, mm; the item is drawn grown by it.
    pub tolerance_mm: f64,
    /// The opening cuts it, may cut it, or comes too near.
    pub in_the_way: bool,
}

/// What is drawn of one opening. All lengths in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct OpeningScene {
    pub title: String,
    pub opening: Box2,
    pub margin_mm: f64,
    pub items: Vec<HiddenBox>,
    /// Where the type's data are complete.
    pub mapped: Vec<Box2>,
}

impl Box2 {
    fn grown(self, by: f64) -> Box2 {
        Box2 {
            station: (self.station.0 - by, self.station.1 + by),
            height: (self.height.0 - by, self.height.1 + by),
        }
    }

    fn corners(self) -> Vec<(f64, f64)> {
        let ((left, right), (low, high)) = (self.station, self.height);
        vec![(left, low), (right, low), (right, high), (left, high)]
    }

    /// The edge as a closed line.
    fn edge(self) -> Vec<(f64, f64)> {
        let mut edge = self.corners();
        edge.push((self.station.0, self.height.0));
        edge
    }

    /// What of it lies within the window; nothing where it lies outside, or is no rectangle.
    fn within(self, window: Box2) -> Option<Box2> {
        let clip = |(from, to): (f64, f64), (least, most): (f64, f64)| {
            let clipped = (from.max(least), to.min(most));
            (clipped.0 <= clipped.1 && from.is_finite() && to.is_finite()).then_some(clipped)
        };
        Some(Box2 { station: clip(self.station, window.station)?, height: clip(self.height, window.height)? })
    }
}

/// The opening with its margin, the items around it grown by their tolerance, and where the data are complete.
/// The window is the opening with as much around it as it is large, and at least four margins.
pub fn opening_plot(scene: &OpeningScene) -> Plot {
    let margin = scene.margin_mm.max(0.0);
    let opening = scene.opening;
    let around = |(from, to): (f64, f64)| {
        let room = (to - from).abs().max(4.0 * margin).max(50.0);
        (from - room, to + room)
    };
    let window = Box2 { station: around(opening.station), height: around(opening.height) };
    let mut shapes = Vec::new();
    let mut add = |role, name: &str, geometry| {
        shapes.push(Shape { role, name: name.to_string(), geometry });
    };
    for area in scene.mapped.iter().filter_map(|area| area.within(window)) {
        add(Role::Reference, say!("data complete"), Geometry::Area(area.corners()));
    }
    // What is in the way lies on top of what is not.
    for in_the_way in [false, true] {
        for item in scene.items.iter().filter(|item| item.in_the_way == in_the_way) {
            if let Some(place) = item.place.grown(item.tolerance_mm.max(0.0)).within(window) {
                let (role, name) = if in_the_way {
                    (Role::LeftOut, say!("in the way"))
                } else {
                    (Role::Masked, say!("hidden item with tolerance"))
                };
                add(role, name, Geometry::Area(place.corners()));
            }
        }
    }
    if let Some(edge) = opening.grown(margin).within(window) {
        add(Role::Limit, say!("margin"), Geometry::Line(edge.edge()));
    }
    if let Some(edge) = opening.within(window) {
        add(Role::Marked, say!("opening"), Geometry::Line(edge.edge()));
    }
    let axis = |label: &str, (min, max)| Axis { label: label.to_string(), min, max };
    Plot {
        title: scene.title.clone(),
        x: axis(say!("station, mm"), window.station),
        y: axis(say!("height, mm"), window.height),
        shapes,
    }
}

#[cfg(test)]
mod tests {
    use proptest::prelude::*;

    use super::super::raster;
    use super::*;

    fn scene(items: Vec<HiddenBox>) -> OpeningScene {
        OpeningScene {
            title: "t".into(),
            opening: Box2 { station: (100.0, 200.0), height: (0.0, 50.0) },
            margin_mm: 20.0,
            items,
            mapped: vec![Box2 { station: (0.0, 1000.0), height: (-500.0, 500.0) }],
        }
    }

    fn text(plot: &Plot, ascii: bool) -> String {
        let rows = raster(plot, 70, 24, ascii);
        rows.iter().map(|row| row.iter().map(|cell| cell.sign).collect::<String>() + "\n").collect()
    }

    #[test]
    fn a_rib_thinner_than_a_cell_is_still_seen_and_told_apart_when_it_is_in_the_way() {
        let rib = |station: f64, in_the_way| HiddenBox {
            place: Box2 { station: (station, station + 1.0), height: (-500.0, 500.0) },
            tolerance_mm: 0.5,
            in_the_way,
        };
        let clear = text(&opening_plot(&scene(vec![rib(260.0, false)])), true);
        assert!(clear.contains("# hidden item") && clear.matches('#').count() > 10, "{clear}");
        assert!(!clear.contains("in the way"), "{clear}");
        let cut = text(&opening_plot(&scene(vec![rib(150.0, true)])), true);
        assert!(cut.contains("x in the way") && cut.matches('x').count() > 10, "{cut}");
    }

    #[test]
    fn what_lies_outside_the_window_is_left_out() {
        let far = HiddenBox {
            place: Box2 { station: (9000.0, 9010.0), height: (0.0, 10.0) },
            tolerance_mm: 1.0,
            in_the_way: false,
        };
        let plot = opening_plot(&scene(vec![far]));
        assert!(plot.shapes.iter().all(|shape| shape.role != Role::Masked));
        assert!(!text(&plot, false).is_ascii() && text(&plot, true).is_ascii());
    }

    proptest! {
        /// Any figures, any size of the window: no panic, and the grid has that size.
        #[test]
        fn no_size_and_no_figure_panics(
            at in prop::array::uniform4(any::<f64>()),
            item in prop::array::uniform4(-1e6f64..1e6),
            margin in any::<f64>(),
            width in 0usize..200,
            height in 0usize..60,
            ascii in any::<bool>(),
        ) {
            let place = Box2 { station: (item[0], item[1]), height: (item[2], item[3]) };
            let scene = OpeningScene {
                title: String::new(),
                opening: Box2 { station: (at[0], at[1]), height: (at[2], at[3]) },
                margin_mm: margin,
                items: vec![HiddenBox { place, tolerance_mm: margin, in_the_way: ascii }],
                mapped: vec![place],
            };
            let grid = raster(&opening_plot(&scene), width, height, ascii);
            prop_assert_eq!(grid.len(), height);
            prop_assert!(grid.iter().all(|row| row.len() == width));
        }

        /// Figures as they occur: the opening is always in the picture where there is room for one.
        #[test]
        fn the_opening_is_always_seen(
            station in -1000f64..6000.0, wide in 0f64..800.0, low in -500f64..1500.0, high in 0f64..500.0,
            margin in 0f64..100.0, width in 30usize..150, height in 12usize..50,
        ) {
            let opening = Box2 { station: (station, station + wide), height: (low, low + high) };
            let scene = OpeningScene { opening, margin_mm: margin, ..scene(Vec::new()) };
            let grid = raster(&opening_plot(&scene), width, height, false);
            prop_assert!(grid.iter().flatten().any(|cell| cell.role == Some(Role::Marked)));
        }
    }
}
