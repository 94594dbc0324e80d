//! The airframe from the left and from above with its marks, both views at one scale.

use super::{Anchor, Ink, Item, Picture, Point, words};
use crate::plot::{Geometry, Plot, Role, ticks};

const MARK: f32 = 5.6;
const LINE: f32 = 10.5;

pub(super) fn draw(views: &[Plot], legend: &[String], width: f32, most: f32) -> Picture {
    let across = views.iter().map(|view| view.x.max - view.x.min).fold(1.0, f64::max);
    let up: f64 = views.iter().map(|view| view.y.max - view.y.min).sum();
    let words_room = 16.0 * views.len() as f32 + 16.0 + LINE * legend.len() as f32;
    let scale = (width / across as f32).min((most - words_room).max(80.0) / up.max(1.0) as f32);
    let mut items = Vec::new();
    let mut top = 0.0;
    for view in views {
        let title = Item::Text {
            at: (0.0, top + 9.0),
            size: 7.5,
            anchor: Anchor::Start,
            text: view.title.clone(),
            ink: Ink::Grey,
            strong: false,
        };
        items.push(title);
        let frame = Frame { view, scale, top: top + 14.0 };
        frame.draw(&mut items);
        top = frame.bottom() + 2.0;
    }
    if let Some(view) = views.first() {
        let frame = Frame { view, scale, top };
        for (value, text) in ticks(&view.x, 9) {
            let x = frame.at((value, view.y.max)).0;
            // Room for the unit at the end.
            if x + super::about(&text, 7.5) / 2.0 > frame.at((view.x.max, 0.0)).0 - 14.0 {
                continue;
            }
            items.push(super::line((x, top), (x, top + 3.0), Ink::Grey, 0.6));
            items.push(words((x, top + 11.0), text, Anchor::Middle));
        }
        items.push(words((frame.at((view.x.max, 0.0)).0, top + 11.0), "mm", Anchor::End));
        top += 16.0;
    }
    for text in legend {
        top += LINE;
        items.push(words((0.0, top), text, Anchor::Start));
    }
    Picture { width, height: top + 4.0, items }
}

struct Frame<'p> {
    view: &'p Plot,
    scale: f32,
    top: f32,
}

impl Frame<'_> {
    fn at(&self, (x, y): (f64, f64)) -> Point {
        ((x - self.view.x.min) as f32 * self.scale, self.top + (self.view.y.max - y) as f32 * self.scale)
    }

    fn bottom(&self) -> f32 {
        self.at((0.0, self.view.y.min)).1
    }

    fn points(&self, points: &[(f64, f64)]) -> Vec<Point> {
        points.iter().map(|point| self.at(*point)).collect()
    }

    /// Hatched components first, then the outline, then the marks on top.
    fn draw(&self, items: &mut Vec<Item>) {
        for shape in self.view.shapes.iter().filter(|shape| shape.role == Role::Masked) {
            if let Geometry::Area(corners) = &shape.geometry {
                items.push(Item::Path {
                    points: self.points(corners),
                    closed: true,
                    fill: Some(Ink::AmberMist),
                    stroke: Some((Ink::Amber, 0.7)),
                    dashed: true,
                });
            }
        }
        for shape in self.view.shapes.iter().filter(|shape| shape.role == Role::Fit) {
            match &shape.geometry {
                Geometry::Line(points) => items.push(Item::Path {
                    points: self.points(points),
                    closed: false,
                    fill: None,
                    stroke: Some((Ink::Black, 0.8)),
                    dashed: false,
                }),
                Geometry::Points(points) => {
                    items.extend(points.iter().map(|point| Item::Circle {
                        centre: self.at(*point),
                        radius: 3.0,
                        fill: Some(Ink::White),
                        stroke: Some((Ink::Black, 0.8)),
                    }));
                }
                Geometry::Area(_) => {}
            }
        }
        let mut taken: Vec<Point> = Vec::new();
        for shape in self.view.shapes.iter().filter(|shape| shape.role == Role::Marked) {
            if let Geometry::Points(points) = &shape.geometry {
                points.iter().for_each(|point| self.mark(*point, &shape.name, &mut taken, items));
            }
        }
    }

    /// A ring with the sign at its place; where another one stands already, beside it with a line to the place.
    fn mark(&self, place: (f64, f64), name: &str, taken: &mut Vec<Point>, items: &mut Vec<Item>) {
        let at = self.at(place);
        let mut ring = at;
        while taken.iter().any(|other| (other.0 - ring.0).hypot(other.1 - ring.1) < 2.3 * MARK) {
            ring.0 += 2.4 * MARK;
        }
        taken.push(ring);
        if ring != at {
            items.push(super::line(at, ring, Ink::Red, 0.8));
        }
        let mut parts = name.chars();
        let sign = parts.next().unwrap_or('*');
        let letter = parts.next().filter(|letter| letter.is_alphabetic());
        items.push(Item::Circle {
            centre: ring,
            radius: MARK,
            fill: Some(Ink::White),
            stroke: Some((Ink::Red, 1.2)),
        });
        items.push(Item::Text {
            at: (ring.0, ring.1 + 2.8),
            size: 8.0,
            anchor: Anchor::Middle,
            text: sign.to_string(),
            ink: Ink::Red,
            strong: true,
        });
        if let Some(letter) = letter {
            items.push(Item::Text {
                at: (ring.0, ring.1 - MARK - 2.0),
                size: 7.5,
                anchor: Anchor::Middle,
                text: letter.to_string(),
                ink: Ink::Red,
                strong: true,
            });
        }
    }
}
