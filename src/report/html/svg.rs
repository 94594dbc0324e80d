//! A figure as inline SVG with a title and a description.

use std::fmt::Write as _;

use super::escape;
use crate::report::model::Figure;
use crate::report::picture::{Anchor, Ink, Item, picture};

/// Width in units of the picture, and its greatest height.
const SIZE: (f32, f32) = (560.0, 470.0);

/// `name` begins the ids of this figure.
pub(super) fn svg(figure: &Figure, name: &str) -> String {
    let drawn = picture(figure, SIZE.0, SIZE.1);
    let mut out = String::new();
    let _ = writeln!(
        out,
        "<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"-2 0 {} {}\" role=\"img\" aria-labelledby=\"{name}-title {name}-words\">",
        n(drawn.width + 4.0),
        n(drawn.height + 2.0)
    );
    let _ = writeln!(out, "<title id=\"{name}-title\">{}</title>", escape(&figure.caption));
    let _ = writeln!(out, "<desc id=\"{name}-words\">{}</desc>", escape(&figure.description));
    for item in &drawn.items {
        shape(&mut out, item);
    }
    out.push_str("</svg>\n");
    out
}

/// Two decimals, without a tail of zeros.
fn n(value: f32) -> String {
    if !value.is_finite() {
        return "0".to_string();
    }
    let text = format!("{value:.2}");
    let text = text.trim_end_matches('0').trim_end_matches('.');
    if text == "-0" { "0".to_string() } else { text.to_string() }
}

fn paint(fill: Option<Ink>, stroke: Option<(Ink, f32)>) -> String {
    let fill = fill.map_or_else(|| "none".to_string(), Ink::hex);
    let stroke = stroke
        .map(|(ink, width)| format!(" stroke=\"{}\" stroke-width=\"{}\"", ink.hex(), n(width)))
        .unwrap_or_default();
    format!("fill=\"{fill}\"{stroke}")
}

fn shape(out: &mut String, item: &Item) {
    let _ = match item {
        Item::Path { points, closed, fill, stroke, dashed } => {
            let places: Vec<String> = points.iter().map(|(x, y)| format!("{},{}", n(*x), n(*y))).collect();
            let dash = if *dashed { " stroke-dasharray=\"3 2\"" } else { "" };
            let kind = if *closed { "polygon" } else { "polyline" };
            writeln!(out, "<{kind} points=\"{}\" {}{dash}/>", places.join(" "), paint(*fill, *stroke))
        }
        Item::Circle { centre, radius, fill, stroke } => writeln!(
            out,
            "<circle cx=\"{}\" cy=\"{}\" r=\"{}\" {}/>",
            n(centre.0),
            n(centre.1),
            n(*radius),
            paint(*fill, *stroke)
        ),
        Item::Text { at, size, anchor, text, ink, strong } => {
            let anchor = match anchor {
                Anchor::Start => "start",
                Anchor::Middle => "middle",
                Anchor::End => "end",
            };
            let weight = if *strong { " font-weight=\"bold\"" } else { "" };
            writeln!(
                out,
                "<text x=\"{}\" y=\"{}\" font-size=\"{}\" text-anchor=\"{anchor}\"{weight} fill=\"{}\">{}</text>",
                n(at.0),
                n(at.1),
                n(*size),
                ink.hex(),
                escape(text)
            )
        }
    };
}
