//! Both views as plots: outline, hatched components, marks.

use super::place::{At, Placed};
use super::region::Region;
use super::shape::AirframeShape;
use crate::plot::{Axis, Geometry, Plot, Role, Shape};

/// From where one looks.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// From the left.
    Side,
    /// From above.
    Top,
}

impl View {
    pub fn title(self) -> &'static str {
        match self {
            View::Side => say!("from the left, nose to the left"),
            View::Top => say!("from above, nose to the left"),
        }
    }
}

type Points = Vec<(f64, f64)>;

/// One view in mm: x the station, y the height above the boom's centre line or the distance to the right of the
/// plane of symmetry. Outline `Fit`, hatched components `Masked`, marks `Marked`, each named by its sign and id.
///
/// `wing_share` draws the wings shorter along the span (1 is true); everything else is to scale.
pub fn airframe_plot(shape: &AirframeShape, placed: &[Placed], view: View, wing_share: f64) -> Plot {
    let mut shapes: Vec<Shape> = match view {
        View::Side => side_outline(shape),
        View::Top => top_outline(shape, wing_share),
    };
    for mark in placed {
        // Left and right lie upon each other from the side: a letter tells them apart.
        let letter = mark.sides.letter().filter(|_| view == View::Side).map(String::from).unwrap_or_default();
        let name = format!("{}{letter} {}", mark.sign, mark.id);
        if let (At::Whole, Some(region)) = (mark.at, mark.region) {
            for corners in area(shape, region, mark, view, wing_share) {
                shapes.push(Shape {
                    role: Role::Masked,
                    name: name.clone(),
                    geometry: Geometry::Area(corners),
                });
            }
        }
        let points = mark_points(shape, mark, view, wing_share);
        if !points.is_empty() {
            shapes.push(Shape { role: Role::Marked, name, geometry: Geometry::Points(points) });
        }
    }
    let (low, high) = bounds(&shapes);
    let room = 0.01 * shape.length();
    let label = match view {
        View::Side => say!("height, mm"),
        View::Top => say!("to the right, mm"),
    };
    Plot {
        title: view.title().to_string(),
        x: Axis {
            label: say!("station, mm").to_string(),
            min: low.0.min(shape.nose) - room,
            max: high.0.max(shape.tail_end) + room,
        },
        y: Axis { label: label.to_string(), min: low.1 - room, max: high.1 + room },
        shapes,
    }
}

fn bounds(shapes: &[Shape]) -> ((f64, f64), (f64, f64)) {
    let points = shapes.iter().flat_map(|shape| match &shape.geometry {
        Geometry::Points(points) | Geometry::Line(points) | Geometry::Area(points) => points,
    });
    let start = ((f64::INFINITY, f64::INFINITY), (f64::NEG_INFINITY, f64::NEG_INFINITY));
    points
        .fold(start, |(low, high), (x, y)| ((low.0.min(*x), low.1.min(*y)), (high.0.max(*x), high.1.max(*y))))
}

fn line(points: Points) -> Shape {
    Shape { role: Role::Fit, name: String::new(), geometry: Geometry::Line(points) }
}

fn closed(mut points: Points) -> Shape {
    points.extend(points.first().copied());
    line(points)
}

fn wheel(station: f64, height: f64) -> Shape {
    Shape { role: Role::Fit, name: String::new(), geometry: Geometry::Points(vec![(station, height)]) }
}

fn side_outline(shape: &AirframeShape) -> Vec<Shape> {
    let mut lines = vec![closed(side_fuselage(shape, shape.nose, shape.tail_end))];
    let (front, rear) = shape.cockpit;
    let sill = 0.12 * shape.fuselage_height;
    lines.push(line(vec![
        (front, shape.top_at(front)),
        (front + 0.12 * (rear - front), sill),
        (rear, sill),
        (rear, shape.top_at(rear)),
    ]));
    let wing = shape.wing_height();
    lines.push(line(vec![(shape.wing_root.0, wing), (shape.wing_root.1, wing)]));
    lines.push(closed(fin(shape)));
    lines.push(closed(rudder(shape)));
    let tail = shape.tailplane_height();
    lines.push(line(vec![(shape.tailplane.0, tail), (shape.tailplane.1, tail)]));
    lines.extend(wheels(shape).into_iter().map(|station| wheel(station, shape.bottom_at(station))));
    lines
}

fn wheels(shape: &AirframeShape) -> Vec<f64> {
    shape.nose_wheel.into_iter().chain([shape.main_wheel, shape.tail_wheel]).collect()
}

/// Upper edge aft, lower edge back, between two stations.
fn side_fuselage(shape: &AirframeShape, from: f64, to: f64) -> Points {
    let knots: Vec<f64> = inner_knots(shape, from, to);
    let upper = knots.iter().map(|x| (*x, shape.top_at(*x)));
    let lower = knots.iter().rev().map(|x| (*x, shape.bottom_at(*x)));
    upper.chain(lower).collect()
}

fn top_fuselage(shape: &AirframeShape, from: f64, to: f64) -> Points {
    let knots = inner_knots(shape, from, to);
    let right = knots.iter().map(|x| (*x, shape.half_width_at(*x)));
    let left = knots.iter().rev().map(|x| (*x, -shape.half_width_at(*x)));
    right.chain(left).collect()
}

fn inner_knots(shape: &AirframeShape, from: f64, to: f64) -> Vec<f64> {
    let mut knots: Vec<f64> = shape.knots().into_iter().filter(|x| *x > from && *x < to).collect();
    knots.insert(0, from);
    knots.push(to);
    knots
}

fn fin(shape: &AirframeShape) -> Points {
    fin_part(shape, 0.0, 1.0)
}

/// The fin between two shares of its height.
fn fin_part(shape: &AirframeShape, from: f64, to: f64) -> Points {
    let height = |share: f64, station: f64| {
        let base = shape.top_at(station);
        base + share * (shape.fin_height - base)
    };
    let edge = |share: f64| (shape.fin_edge_at(share), height(share, shape.fin_edge_at(share)));
    let hinge = |share: f64| (shape.rudder_hinge, height(share, shape.rudder_hinge));
    vec![edge(from), edge(to), hinge(to), hinge(from)]
}

fn rudder(shape: &AirframeShape) -> Points {
    vec![
        (shape.rudder_hinge, shape.fin_height),
        (shape.rudder_hinge + 0.75 * (shape.tail_end - shape.rudder_hinge), shape.fin_height),
        (shape.tail_end, shape.bottom_at(shape.tail_end)),
        (shape.rudder_hinge, shape.bottom_at(shape.rudder_hinge)),
    ]
}

fn top_outline(shape: &AirframeShape, wing_share: f64) -> Vec<Shape> {
    let mut lines = vec![closed(top_fuselage(shape, shape.nose, shape.tail_end))];
    let (front, rear) = shape.cockpit;
    lines.push(closed(canopy_from_above(shape, front, rear)));
    for direction in [1.0, -1.0] {
        lines.push(line(wing_part(shape, direction, wing_share, (0.0, 1.0), (0.0, 1.0))));
        lines.push(line(tailplane_part(shape, direction, 0.0)));
        lines.push(line(hinge_line(shape, direction)));
    }
    lines.push(line(vec![(shape.fin_root, 0.0), (shape.tail_end, 0.0)]));
    lines
}

fn canopy_from_above(shape: &AirframeShape, front: f64, rear: f64) -> Points {
    let middle = front + 0.4 * (rear - front);
    let half = 0.6 * shape.half_width_at(middle);
    vec![(front, 0.0), (middle, half), (rear, half), (rear, -half), (middle, -half)]
}

/// A piece of one wing: shares of the half span, and shares of the chord. It begins and ends at the fuselage.
fn wing_part(
    shape: &AirframeShape,
    direction: f64,
    wing_share: f64,
    span: (f64, f64),
    chord: (f64, f64),
) -> Points {
    let aside = |share: f64, station: f64| {
        let root = shape.half_width_at(station);
        direction * (root + share * (shape.semi_span * wing_share - root))
    };
    let corner = |share: f64, of_chord: f64| {
        let (front, rear) = shape.wing_at(share);
        let station = front + of_chord * (rear - front);
        (station, aside(share, station))
    };
    vec![corner(span.0, chord.0), corner(span.1, chord.0), corner(span.1, chord.1), corner(span.0, chord.1)]
}

/// One half of the tailplane from `chord` of its depth aft.
fn tailplane_part(shape: &AirframeShape, direction: f64, chord: f64) -> Points {
    let corner = |share: f64, of_chord: f64| {
        let (front, rear) = shape.tailplane_at(share);
        (front + of_chord * (rear - front), direction * share * shape.tailplane_semi_span)
    };
    vec![corner(0.0, chord), corner(1.0, chord), corner(1.0, 1.0), corner(0.0, 1.0)]
}

const ELEVATOR_FROM: f64 = 0.7;

fn hinge_line(shape: &AirframeShape, direction: f64) -> Points {
    tailplane_part(shape, direction, ELEVATOR_FROM).into_iter().take(2).collect()
}

/// The corners of a component, for hatching.
fn area(shape: &AirframeShape, region: Region, mark: &Placed, view: View, wing_share: f64) -> Vec<Points> {
    match view {
        View::Side => vec![side_area(shape, region)],
        View::Top => {
            let directions = mark.sides.directions(region.is_paired()).iter();
            directions.map(|direction| top_area(shape, region, *direction, wing_share)).collect()
        }
    }
}

fn side_area(shape: &AirframeShape, region: Region) -> Points {
    let (first, last) = region.stations(shape);
    let (first, last) = (first.max(shape.nose), last.min(shape.tail_end).max(first.max(shape.nose)));
    let at_height = |height: f64| vec![(first, height), (last, height)];
    match region {
        Region::Fin => fin(shape),
        Region::FinRoot => fin_part(shape, 0.0, 0.25),
        Region::FinTop => fin_part(shape, 0.8, 1.0),
        Region::Rudder => rudder(shape),
        Region::Canopy => {
            let sill = 0.12 * shape.fuselage_height;
            let knots = inner_knots(shape, first, last);
            let upper = knots.iter().map(|x| (*x, shape.top_at(*x)));
            upper.chain([(last, sill), (first, sill)]).collect()
        }
        Region::Tailplane | Region::Elevator => at_height(shape.tailplane_height()),
        Region::MainWheel | Region::NoseWheel | Region::TailWheel => {
            at_height(shape.bottom_at(0.5 * (first + last)))
        }
        region if region.is_paired() => at_height(shape.wing_height()),
        _ => side_fuselage(shape, first, last),
    }
}

fn top_area(shape: &AirframeShape, region: Region, direction: f64, wing_share: f64) -> Points {
    let wing = |span, chord| wing_part(shape, direction, wing_share, span, chord);
    let (first, last) = region.stations(shape);
    let (first, last) = (first.max(shape.nose), last.min(shape.tail_end).max(first.max(shape.nose)));
    match region {
        Region::Wing => wing((0.0, 1.0), (0.0, 1.0)),
        Region::WingRoot => wing((0.0, 0.12), (0.0, 1.0)),
        Region::WingTip => wing((0.9, 1.0), (0.0, 1.0)),
        Region::Aileron => wing((0.55, 0.95), (0.75, 1.0)),
        Region::Flap => wing((0.08, 0.55), (0.78, 1.0)),
        Region::Airbrake => wing((0.35, 0.5), (0.4, 0.6)),
        Region::Tailplane => tailplane_part(shape, direction, 0.0),
        Region::Elevator => tailplane_part(shape, direction, ELEVATOR_FROM),
        Region::Fin | Region::FinRoot | Region::FinTop | Region::Rudder => {
            vec![(first, 0.0), (last, 0.0)]
        }
        // One side of the fuselage where the side is told, else all of it.
        _ if direction == 0.0 => top_fuselage(shape, first, last),
        _ => {
            let knots = inner_knots(shape, first, last);
            let edge = knots.iter().map(|x| (*x, direction * shape.half_width_at(*x)));
            edge.chain([(last, 0.0), (first, 0.0)]).collect()
        }
    }
}

/// Where the sign of a mark stands.
fn mark_points(shape: &AirframeShape, mark: &Placed, view: View, wing_share: f64) -> Points {
    let region = mark.region.unwrap_or(Region::Fuselage);
    let station = match mark.at {
        At::Nowhere => return Vec::new(),
        At::Station(station) => station,
        At::Whole => {
            let (first, last) = region.stations(shape);
            let shares = match region {
                Region::Aileron | Region::Flap | Region::Elevator => 0.75,
                _ => 0.5,
            };
            first + shares * (last - first)
        }
    };
    match view {
        View::Side => vec![(station, region.height(shape, station))],
        View::Top => {
            let aside = region.aside(shape, station, wing_share);
            let directions = mark.sides.directions(region.is_paired()).iter();
            directions.map(|direction| (station, direction * aside)).collect()
        }
    }
}
