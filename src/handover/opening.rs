//! A proposed opening as a person types it: `fin left 4250..4310 x 120..180`.

use std::fmt;

use serde::Serialize;

use super::rect::Rect;
use crate::checklist::Side;
use crate::quantity::{LengthRange, LengthRangeError};
use crate::words::{figure, said};

/// How an opening is typed; shown with every refusal of one.
pub const OPENING_FORM: &str = mark!(
    "COMPONENT [left|right|both] STATIONS x HEIGHTS, such as \"fin left 4250..4310 x 120..180\"; bare numbers are mm"
);

/// What a fault of the heights names.
pub const HEIGHT_RANGE: &str = mark!("height range");

/// A rectangle that somebody thinks of cutting out of a skin.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Opening {
    pub component: String,
    /// Without a side it goes through both skins.
    pub side: Option<Side>,
    #[serde(flatten)]
    pub rect: Rect,
}

/// Why a text is no opening.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum OpeningError {
    /// A part is missing; what.
    Missing(&'static str),
    Range {
        what: &'static str,
        error: LengthRangeError,
    },
}

impl fmt::Display for OpeningError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing(what) => f.write_str(&say!(
                "{what} is missing; an opening is typed as {form}",
                what = said(what),
                form = said(OPENING_FORM)
            )),
            Self::Range { what, error } => f.write_str(&say!(
                "the {what}: {error}; an opening is typed as {form}",
                what = said(what),
                error,
                form = said(OPENING_FORM)
            )),
        }
    }
}

impl std::error::Error for OpeningError {}

impl Opening {
    /// Reads [`OPENING_FORM`]. Everything before the first number is component and side.
    ///
    /// # Errors
    /// A missing part; a range that is none.
    pub fn parse(text: &str) -> Result<Opening, OpeningError> {
        let words: Vec<&str> = text.split_whitespace().collect();
        let starts_number =
            |word: &&str| word.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '-' | '+' | '.'));
        let numbers =
            words.iter().position(starts_number).ok_or(OpeningError::Missing(mark!("the station range")))?;
        let (named, ranges) = words.split_at(numbers);
        let cross = ranges
            .iter()
            .position(|word| matches!(*word, "x" | "X" | "×"))
            .ok_or(OpeningError::Missing(mark!("the \"x\" between station and height range")))?;
        let height = ranges.get(cross + 1..).unwrap_or_default().join(" ");
        if height.is_empty() {
            return Err(OpeningError::Missing(mark!("the height range")));
        }
        let (component, side) = component_and_side(named);
        Opening::new(&component, side, &ranges[..cross].join(" "), &height)
    }

    /// From the four parts as typed; ranges without a unit are mm.
    ///
    /// # Errors
    /// An empty component; a range that is none.
    pub fn new(
        component: &str,
        side: Option<Side>,
        station: &str,
        height: &str,
    ) -> Result<Opening, OpeningError> {
        if component.trim().is_empty() {
            return Err(OpeningError::Missing(mark!("the component")));
        }
        let range =
            |what, text| LengthRange::typed(text, false).map_err(|error| OpeningError::Range { what, error });
        let rect =
            Rect { station: range(mark!("station range"), station)?, height: range(HEIGHT_RANGE, height)? };
        Ok(Opening { component: component.trim().to_string(), side, rect })
    }
}

/// The last word may tell the side; "left wing" is a component.
fn component_and_side(words: &[&str]) -> (String, Option<Side>) {
    let Some((last, rest)) = words.split_last().filter(|(_, rest)| !rest.is_empty()) else {
        return (words.join(" "), None);
    };
    let side = Side::WORDS.iter().find(|(word, _)| word.eq_ignore_ascii_case(last)).map(|(_, side)| *side);
    if side.is_some() || last.eq_ignore_ascii_case("both") {
        (rest.join(" "), side)
    } else {
        (words.join(" "), None)
    }
}

/// A side; without one both.
pub(super) fn side_words(side: Option<Side>) -> &'static str {
    match side {
        None => say!("both sides"),
        Some(Side::Left) => say!("left"),
        Some(Side::Right) => say!("right"),
    }
}

impl fmt::Display for Opening {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&say!(
            "{component}, {side}, stations {stations}, heights {heights}",
            component = self.component,
            side = side_words(self.side),
            stations = figure(self.rect.station),
            heights = figure(self.rect.height)
        ))
    }
}
