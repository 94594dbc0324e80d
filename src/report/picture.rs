//! A drawing as shapes in points, y downwards: what the PDF and the SVG writer draw alike.
//!
//! The geometry is that of [`crate::plot`]. Meaning is told by the form of a sign and by words; colour only repeats it.

mod airframe;
mod clip;
mod plot;
mod tap;

use super::model::{Drawing, Figure};

/// Colours by what they are for; told apart by lightness, too, for print in grey.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ink {
    Black,
    /// Words and lines of lesser weight.
    Grey,
    /// Rules and grids.
    Pale,
    /// Backgrounds.
    Mist,
    White,
    Blue,
    Amber,
    Red,
    RedMist,
    AmberMist,
    GreenMist,
    Green,
}

impl Ink {
    pub fn rgb(self) -> (u8, u8, u8) {
        match self {
            Ink::Black => (0x16, 0x18, 0x1d),
            Ink::Grey => (0x4b, 0x50, 0x59),
            Ink::Pale => (0xb4, 0xba, 0xc2),
            Ink::Mist => (0xea, 0xee, 0xf2),
            Ink::White => (0xff, 0xff, 0xff),
            Ink::Blue => (0x0a, 0x4d, 0x8c),
            Ink::Amber => (0x7a, 0x4a, 0x00),
            Ink::Red => (0x9c, 0x13, 0x28),
            Ink::RedMist => (0xfb, 0xe6, 0xe8),
            Ink::AmberMist => (0xfd, 0xf1, 0xd6),
            Ink::GreenMist => (0xe3, 0xf2, 0xe8),
            Ink::Green => (0x12, 0x5c, 0x34),
        }
    }

    /// `#16181d`.
    pub fn hex(self) -> String {
        let (r, g, b) = self.rgb();
        format!("#{r:02x}{g:02x}{b:02x}")
    }
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

pub type Point = (f32, f32);

#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    Path {
        points: Vec<Point>,
        closed: bool,
        fill: Option<Ink>,
        stroke: Option<(Ink, f32)>,
        dashed: bool,
    },
    Circle {
        centre: Point,
        radius: f32,
        fill: Option<Ink>,
        stroke: Option<(Ink, f32)>,
    },
    /// `at` is on the base line.
    Text {
        at: Point,
        size: f32,
        anchor: Anchor,
        text: String,
        ink: Ink,
        strong: bool,
    },
}

#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    pub width: f32,
    pub height: f32,
    pub items: Vec<Item>,
}

/// The drawing at this width; no higher than `most` points.
pub fn picture(figure: &Figure, width: f32, most: f32) -> Picture {
    match &figure.drawing {
        Drawing::Plot(plot) => plot::draw(plot, width, (figure.share * width).clamp(90.0, most)),
        Drawing::Tap(grid) => tap::draw(grid, width, most),
        Drawing::Airframe { views, legend, .. } => airframe::draw(views, legend, width, most),
    }
}

/// About how wide a text is: for leaving room where no font is at hand.
fn about(text: &str, size: f32) -> f32 {
    text.chars().count() as f32 * size * 0.56
}

fn line(from: Point, to: Point, ink: Ink, width: f32) -> Item {
    Item::Path {
        points: vec![from, to],
        closed: false,
        fill: None,
        stroke: Some((ink, width)),
        dashed: false,
    }
}

fn words(at: Point, text: impl Into<String>, anchor: Anchor) -> Item {
    Item::Text {
        at,
        size: 7.5,
        anchor,
        text: super::model::shown(&text.into()),
        ink: Ink::Black,
        strong: false,
    }
}

fn triangle(centre: Point, radius: f32, upward: bool, ink: Ink) -> Item {
    let (x, y) = centre;
    let up = if upward { -1.0 } else { 1.0 };
    Item::Path {
        points: vec![
            (x, y + up * radius),
            (x + radius, y - up * radius * 0.8),
            (x - radius, y - up * radius * 0.8),
        ],
        closed: true,
        fill: Some(ink),
        stroke: None,
        dashed: false,
    }
}
