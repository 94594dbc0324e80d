//! A stretch between two places on an airframe, such as `4250..4310 mm`.

use super::error::QuantityError;
use super::number::Number;
use super::typed::neutral_number;
use super::unit_table::Unit;
use super::value::{Quantity, split_unit};
use rust_decimal::Decimal;
use serde::{Deserialize, Serialize};
use std::fmt;

/// Farther from any datum than this lies no place of a glider, mm. Keeps exact sums within their digits.
const FARTHEST_MM: i64 = 1_000_000;
/// Most decimals of a place in mm; for the same reason.
const MOST_DECIMALS: u32 = 9;

/// `from < to`, both in mm from a datum, exact. The ends belong to it.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Ends", into = "Ends")]
pub struct LengthRange {
    from_mm: Number,
    to_mm: Number,
}

/// What stands in a file.
#[derive(Clone, Copy, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Ends {
    from_mm: Number,
    to_mm: Number,
}

/// Why a text or two numbers make no range.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LengthRangeError {
    /// Not two values with `..` between them.
    NoTwoEnds(String),
    /// No unit where one is demanded.
    MissingUnit(String),
    /// The first end is not below the second one.
    UpsideDown {
        from_mm: Number,
        to_mm: Number,
    },
    /// Farther than 1000 m away, or more than nine decimals of a millimetre.
    OutOfReach(String),
    Quantity(QuantityError),
}

impl fmt::Display for LengthRangeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoTwoEnds(text) => {
                f.write_str(&say!("\"{text}\" is no range; write two places with two dots, like \"4250..4310 mm\"", text))
            }
            Self::MissingUnit(text) => {
                f.write_str(&say!("range \"{text}\" has no unit; write it with its unit, like \"4250..4310 mm\"", text))
            }
            Self::UpsideDown { from_mm, to_mm } => f.write_str(&say!("the range begins at {from_mm} mm and ends at {to_mm} mm; the smaller value comes first, and they differ", from_mm = from_mm.shown(), to_mm = to_mm.shown())),
            Self::OutOfReach(text) => f.write_str(&say!("\"{text}\" is no place of a glider; give it within 1000 m and with at most nine decimals of a mm", text)),
            Self::Quantity(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for LengthRangeError {}

impl LengthRange {
    /// # Errors
    /// The ends are not in order, or out of reach.
    pub fn new(from_mm: Number, to_mm: Number) -> Result<Self, LengthRangeError> {
        for end in [from_mm, to_mm] {
            place_mm(end)?;
        }
        if from_mm >= to_mm {
            return Err(LengthRangeError::UpsideDown { from_mm, to_mm });
        }
        Ok(Self { from_mm, to_mm })
    }

    /// Reads `4250..4310 mm` or `4.25 m .. 4.31 m`. A unit at the second end holds for both; without any the values
    /// are mm, unless `require_unit`.
    ///
    /// # Errors
    /// No two ends, no number, a unit that is missing or none of length, ends out of order.
    pub fn parse(text: &str, require_unit: bool) -> Result<Self, LengthRangeError> {
        let no_two = || LengthRangeError::NoTwoEnds(text.trim().to_string());
        let (first, last) = text.split_once("..").ok_or_else(no_two)?;
        if first.trim().is_empty() || last.trim().is_empty() || last.starts_with('.') || last.contains("..") {
            return Err(no_two());
        }
        let unit_text = split_unit(last).1;
        let first = if split_unit(first).1.is_empty() && !unit_text.is_empty() {
            format!("{} {unit_text}", first.trim())
        } else {
            first.trim().to_string()
        };
        if require_unit && unit_text.is_empty() {
            return Err(LengthRangeError::MissingUnit(text.trim().to_string()));
        }
        Self::new(length_mm(&first)?, length_mm(last.trim())?)
    }

    /// As [`LengthRange::parse`], for what was typed in the language that is spoken.
    ///
    /// # Errors
    /// As for [`LengthRange::parse`]; an end that can be read in two ways.
    pub fn typed(text: &str, require_unit: bool) -> Result<Self, LengthRangeError> {
        let Some((first, last)) = text.split_once("..") else { return Self::parse(text, require_unit) };
        let end = |text| neutral_number(text).map_err(|error| LengthRangeError::Quantity(error.into()));
        Self::parse(&format!("{}..{}", end(first)?, end(last)?), require_unit)
    }

    pub fn from_mm(&self) -> Number {
        self.from_mm
    }

    pub fn to_mm(&self) -> Number {
        self.to_mm
    }

    /// Longer by `by_mm` at both ends; `by_mm` is not negative.
    pub fn grown(&self, by_mm: Number) -> Self {
        Self {
            from_mm: (self.from_mm.decimal() - by_mm.decimal()).into(),
            to_mm: (self.to_mm.decimal() + by_mm.decimal()).into(),
        }
    }

    /// Room between two ranges, mm: 0 where they touch, negative by the least shift that would part them where they
    /// overlap.
    pub fn gap_mm(&self, other: &Self) -> Number {
        let before = other.from_mm.decimal() - self.to_mm.decimal();
        let after = self.from_mm.decimal() - other.to_mm.decimal();
        before.max(after).into()
    }
}

fn length_mm(text: &str) -> Result<Number, LengthRangeError> {
    let quantity =
        super::entry::read_entry(text, Unit::Millimetre, false).map_err(LengthRangeError::Quantity)?;
    let in_mm: Quantity = quantity.to(Unit::Millimetre).map_err(LengthRangeError::Quantity)?;
    place_mm(in_mm.value)
}

/// The number, if it can be a place or a length on an airframe, mm.
///
/// # Errors
/// Farther than 1000 m, or more than nine decimals.
pub fn place_mm(number: Number) -> Result<Number, LengthRangeError> {
    let value = number.decimal();
    if value.abs() > Decimal::from(FARTHEST_MM) || value.normalize().scale() > MOST_DECIMALS {
        return Err(LengthRangeError::OutOfReach(number.to_string()));
    }
    Ok(number)
}

impl TryFrom<Ends> for LengthRange {
    type Error = LengthRangeError;

    fn try_from(ends: Ends) -> Result<Self, LengthRangeError> {
        Self::new(ends.from_mm, ends.to_mm)
    }
}

impl From<LengthRange> for Ends {
    fn from(range: LengthRange) -> Self {
        Self { from_mm: range.from_mm, to_mm: range.to_mm }
    }
}

impl fmt::Display for LengthRange {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}..{} mm", self.from_mm, self.to_mm)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn read(text: &str) -> String {
        LengthRange::parse(text, false).map_or_else(|error| error.to_string(), |range| range.to_string())
    }

    /// The inch is 25.4 mm exactly: NIST SP 811 (2008), appendix B.8.
    #[test]
    fn a_unit_at_the_end_holds_for_both_ends_and_bare_numbers_are_millimetres() {
        for (typed, shown) in [
            ("4250..4310", "4250..4310 mm"),
            (" 4250 .. 4310.5 mm ", "4250..4310.5 mm"),
            ("4.25 m..4.31 m", "4250..4310 mm"),
            ("10..20 in", "254.0..508.0 mm"),
            ("-120..80", "-120..80 mm"),
        ] {
            let range = LengthRange::parse(typed, false).unwrap();
            let wanted = LengthRange::parse(shown, true).unwrap();
            assert_eq!(range, wanted, "{typed}");
        }
    }

    #[test]
    fn what_is_no_range_is_told_with_an_example() {
        assert!(read("4250").contains("like \"4250..4310 mm\""));
        assert!(read("1...2").contains("is no range") && read("1..2..3").contains("is no range"));
        assert!(read("4310..4250").contains("the smaller value comes first"));
        assert!(read("4250..4250").contains("they differ"));
        assert!(read("a..b").contains("not a number"));
        assert!(read("1..2 N").contains("is a force"));
        assert!(read("1..9999999").contains("within 1000 m"));
        assert!(read("1..2.0000000001").contains("nine decimals"));
        let missing = LengthRange::parse("1..2", true).unwrap_err();
        assert_eq!(missing, LengthRangeError::MissingUnit("1..2".into()));
    }

    #[test]
    fn a_range_is_typed_with_the_sign_of_the_language() {
        use crate::words::{Language, with_language};
        with_language(Language::German, || {
            let typed = LengthRange::typed("4250,5..4310,25 mm", true);
            assert_eq!(typed, LengthRange::parse("4250.5..4310.25 mm", true));
            assert!(LengthRange::typed("1.234,5..2000", false).is_err());
        });
    }

    #[test]
    fn a_file_with_ends_out_of_order_is_refused() {
        assert!(serde_json::from_str::<LengthRange>(r#"{"from_mm":"2","to_mm":"1"}"#).is_err());
        let range: LengthRange = serde_json::from_str(r#"{"from_mm":"1.50","to_mm":"2"}"#).unwrap();
        assert_eq!(serde_json::to_string(&range).unwrap(), r#"{"from_mm":"1.50","to_mm":"2"}"#);
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "[-0-9. ,minft]{0,24}|\\PC{0,24}") {
            let _ = LengthRange::parse(&text, false);
            let _ = LengthRange::parse(&text, true);
        }
    }
}
