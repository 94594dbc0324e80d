//! A plot with axes, numbers and a legend.

use super::clip::Field;
use super::{Anchor, Ink, Item, Picture, Point, about, line, triangle, words};
use crate::plot::{Geometry, Plot, Role, Shape, ticks};

const SIZE: f32 = 7.5;
const LEGEND_LINE: f32 = 11.0;

pub(super) fn draw(plot: &Plot, width: f32, height: f32) -> Picture {
    let y_ticks = ticks(&plot.y, 6);
    let left = y_ticks.iter().map(|(_, words)| about(words, SIZE)).fold(18.0, f32::max) + 8.0;
    let field = Field(left, 14.0, width - 6.0, height - 26.0);
    let scale = Scale { plot, field };
    let mut items = Vec::new();
    frame(&scale, &y_ticks, &mut items);
    for shape in &plot.shapes {
        draw_shape(&scale, plot, shape, &mut items);
    }
    let used = legend(plot, left, width, height, &mut items);
    Picture { width, height: height + used, items }
}

struct Scale<'p> {
    plot: &'p Plot,
    field: Field,
}

impl Scale<'_> {
    fn x(&self, value: f64) -> f32 {
        let axis = &self.plot.x;
        let share = ((value - axis.min) / (axis.max - axis.min)) as f32;
        self.field.0 + share * (self.field.2 - self.field.0)
    }

    fn y(&self, value: f64) -> f32 {
        let axis = &self.plot.y;
        let share = ((axis.max - value) / (axis.max - axis.min)) as f32;
        self.field.1 + share * (self.field.3 - self.field.1)
    }

    fn at(&self, (x, y): (f64, f64)) -> Point {
        (self.x(x), self.y(y))
    }
}

fn frame(scale: &Scale<'_>, y_ticks: &[(f64, String)], items: &mut Vec<Item>) {
    let Field(left, top, right, bottom) = scale.field;
    for (value, text) in y_ticks {
        let y = scale.y(*value);
        if (top..=bottom).contains(&y) {
            let (ink, wide) = if *value == 0.0 { (Ink::Grey, 0.8) } else { (Ink::Mist, 0.6) };
            items.push(line((left, y), (right, y), ink, wide));
            items.push(words((left - 4.0, y + 2.6), text, Anchor::End));
        }
    }
    let mut free_from = 0.0;
    for (value, text) in ticks(&scale.plot.x, 8) {
        let x = scale.x(value);
        if !(left..=right).contains(&x) {
            continue;
        }
        let (ink, wide) = if value == 0.0 { (Ink::Grey, 0.8) } else { (Ink::Mist, 0.6) };
        items.push(line((x, top), (x, bottom), ink, wide));
        let half = about(&text, SIZE) / 2.0;
        if x - half > free_from {
            items.push(words((x, bottom + 9.5), text, Anchor::Middle));
            free_from = x + half + 3.0;
        }
    }
    items.push(Item::Path {
        points: vec![(left, top), (right, top), (right, bottom), (left, bottom)],
        closed: true,
        fill: None,
        stroke: Some((Ink::Grey, 0.8)),
        dashed: false,
    });
    items.push(words((left, top - 5.0), format!("↑ {}", scale.plot.y.label), Anchor::Start));
    items.push(words((right, bottom + 20.0), format!("→ {}", scale.plot.x.label), Anchor::End));
}

fn draw_shape(scale: &Scale<'_>, plot: &Plot, shape: &Shape, items: &mut Vec<Item>) {
    match &shape.geometry {
        Geometry::Points(points) => {
            for point in points {
                let at = scale.at(*point);
                if scale.field.holds(at) {
                    items.extend(sign(shape.role, at));
                    if is_named_mark(plot, shape) {
                        let room_right = scale.field.2 - at.0 > about(&shape.name, SIZE) + 8.0;
                        let (x, anchor) =
                            if room_right { (at.0 + 6.0, Anchor::Start) } else { (at.0 - 6.0, Anchor::End) };
                        items.push(words((x, at.1 - 3.0), &shape.name, anchor));
                    }
                }
            }
        }
        Geometry::Line(points) => {
            for pair in points.windows(2) {
                if let Some((from, to)) = scale.field.line(scale.at(pair[0]), scale.at(pair[1])) {
                    items.push(Item::Path {
                        points: vec![from, to],
                        closed: false,
                        fill: None,
                        stroke: Some(pen(shape.role)),
                        dashed: shape.role == Role::Limit,
                    });
                }
            }
        }
        Geometry::Area(corners) => {
            let corners: Vec<Point> = corners.iter().map(|corner| scale.at(*corner)).collect();
            let points = scale.field.area(&corners);
            if points.len() > 2 {
                items.push(area(shape.role, points));
            }
        }
    }
}

/// Several single marks are told apart by their names beside them.
fn is_named_mark(plot: &Plot, shape: &Shape) -> bool {
    let is_mark = |shape: &&Shape| {
        shape.role == Role::Marked && matches!(&shape.geometry, Geometry::Points(points) if points.len() == 1)
    };
    is_mark(&shape) && plot.shapes.iter().filter(is_mark).count() > 1
}

fn area(role: Role, points: Vec<Point>) -> Item {
    let fill = if role == Role::Masked { Ink::Pale } else { Ink::GreenMist };
    let edge = if role == Role::Masked { Ink::Grey } else { Ink::Green };
    Item::Path { points, closed: true, fill: Some(fill), stroke: Some((edge, 0.5)), dashed: false }
}

fn pen(role: Role) -> (Ink, f32) {
    match role {
        Role::Fit => (Ink::Blue, 1.1),
        Role::Limit => (Ink::Red, 1.0),
        Role::Marked => (Ink::Red, 1.2),
        _ => (Ink::Grey, 1.0),
    }
}

fn sign(role: Role, at: Point) -> Vec<Item> {
    let (x, y) = at;
    match role {
        Role::Loading => {
            vec![Item::Circle { centre: at, radius: 2.3, fill: Some(Ink::Black), stroke: None }]
        }
        Role::Unloading => {
            vec![Item::Circle { centre: at, radius: 2.8, fill: None, stroke: Some((Ink::Black, 0.9)) }]
        }
        Role::Marked => vec![triangle(at, 3.6, true, Ink::Red)],
        Role::LeftOut => vec![
            line((x - 2.5, y - 2.5), (x + 2.5, y + 2.5), Ink::Amber, 1.1),
            line((x - 2.5, y + 2.5), (x + 2.5, y - 2.5), Ink::Amber, 1.1),
        ],
        _ => vec![Item::Circle { centre: at, radius: 1.4, fill: Some(Ink::Grey), stroke: None }],
    }
}

/// Sign and name of every shape below the plot; returns the height used.
fn legend(plot: &Plot, left: f32, width: f32, top: f32, items: &mut Vec<Item>) -> f32 {
    let (mut x, mut y) = (left, top + 4.0);
    for (role, name) in plot.legend() {
        let wide = 18.0 + about(name, SIZE) + 10.0;
        if x + wide > width && x > left {
            (x, y) = (left, y + LEGEND_LINE);
        }
        let shape = plot.shapes.iter().find(|shape| shape.role == role && shape.name == name);
        let middle = (x + 7.0, y);
        match shape.map(|shape| &shape.geometry) {
            Some(Geometry::Area(_)) => {
                let points = vec![(x, y - 4.0), (x + 14.0, y - 4.0), (x + 14.0, y + 3.0), (x, y + 3.0)];
                items.push(area(role, points));
            }
            Some(Geometry::Line(_)) => {
                let (ink, wide) = pen(role);
                items.push(line((x, y), (x + 14.0, y), ink, wide));
            }
            _ => items.extend(sign(role, middle)),
        }
        items.push(words((x + 18.0, y + 2.6), name, Anchor::Start));
        x += wide;
    }
    y - top + LEGEND_LINE
}
