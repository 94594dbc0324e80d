//! One geometry for every picture of a measurement; writers for terminal and paper draw the same shapes.
//!
//! Coordinates are in the units of the axes. Meaning is told by sign and word; colour may only repeat it.

mod airframe;
mod flex;
mod loading;
mod noise;
mod opening;
mod raster;
mod tap;
mod text;
mod ticks;
mod trend;

pub use airframe::{
    AirframePicture, AirframeShape, Mark, Placed, Prefer, Region, Sides, View, airframe_picture,
    airframe_plot, place_mark, recognise, sign_of_id, station_words,
};
pub use flex::flex_plot;
pub use loading::{LoadingPoint, loading_plot};
pub use noise::noise_plot;
pub use opening::{Box2, HiddenBox, OpeningScene, opening_plot};
pub use raster::{Cell, raster};
pub use tap::{TapCell, tap_grid};
pub use text::{plot_text, tap_text};
pub(crate) use ticks::ticks;
pub use trend::{TrendPoint, trend_plot};

/// One axis with what it measures.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    pub label: String,
    pub min: f64,
    pub max: f64,
}

/// What a shape stands for. A writer chooses sign and colour by it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// Where sound airframes of the same build standard would lie, or what is permitted.
    Reference,
    Fit,
    /// A limit or an envelope's edge.
    Limit,
    Loading,
    Unloading,
    /// A reading that was left out of the fit.
    LeftOut,
    /// What is asked about: the present loading, a flagged point, a burst.
    Marked,
    /// Where nothing could be told.
    Masked,
}

impl Role {
    /// Sign in a terminal, and its plain-ASCII form.
    pub fn signs(self) -> (char, char) {
        match self {
            Role::Reference => ('░', ':'),
            Role::Fit => ('·', '.'),
            Role::Limit => ('─', '-'),
            Role::Loading => ('●', 'o'),
            Role::Unloading => ('○', 'u'),
            Role::LeftOut => ('×', 'x'),
            Role::Marked => ('▲', '^'),
            Role::Masked => ('▒', '#'),
        }
    }
}

/// One shape with its name in the legend.
#[derive(Debug, Clone, PartialEq)]
pub struct Shape {
    pub role: Role,
    pub name: String,
    pub geometry: Geometry,
}

#[derive(Debug, Clone, PartialEq)]
pub enum Geometry {
    Points(Vec<(f64, f64)>),
    Line(Vec<(f64, f64)>),
    /// A closed area; corners in order.
    Area(Vec<(f64, f64)>),
}

/// A picture: axes, and shapes from back to front.
#[derive(Debug, Clone, PartialEq)]
pub struct Plot {
    pub title: String,
    pub x: Axis,
    pub y: Axis,
    pub shapes: Vec<Shape>,
}

impl Plot {
    /// The legend: role and name of every shape, each name once.
    pub fn legend(&self) -> Vec<(Role, &str)> {
        let mut legend: Vec<(Role, &str)> = Vec::new();
        for shape in self.shapes.iter().filter(|shape| !shape.name.is_empty()) {
            if !legend.iter().any(|(role, name)| *role == shape.role && *name == shape.name) {
                legend.push((shape.role, &shape.name));
            }
        }
        legend
    }
}

/// An axis around values, zero included where wanted, with a little room at the ends.
pub(crate) fn axis_around(label: &str, values: impl IntoIterator<Item = f64>, with_zero: bool) -> Axis {
    let finite = values.into_iter().filter(|value| value.is_finite());
    let start = if with_zero { Some((0.0, 0.0)) } else { None };
    let range = finite.fold(start, |range: Option<(f64, f64)>, value| match range {
        None => Some((value, value)),
        Some((min, max)) => Some((min.min(value), max.max(value))),
    });
    let (min, max) = range.unwrap_or((0.0, 1.0));
    let room = if max > min { 0.05 * (max - min) } else { 0.5 * max.abs().max(1.0) };
    Axis { label: label.to_string(), min: min - room, max: max + room }
}
