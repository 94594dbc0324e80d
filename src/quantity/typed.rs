//! Numbers as a person types them, in the language that is spoken. Files, records and imports never come through here.

use super::entry::read_entry;
use super::error::{NumberError, QuantityError};
use super::number::{Number, comma_is_ambiguous};
use super::unit_table::Unit;
use super::value::{Quantity, split_unit};
use crate::words::{has_decimal_comma, neutral, number};
use std::borrow::Cow;

/// What was typed, with the decimal point of the record. Where the language has the decimal comma, a point that could as
/// well part thousands is refused, as a comma is where the language has the point.
///
/// # Errors
/// The text can be read in two ways.
pub fn neutral_number(typed: &str) -> Result<Cow<'_, str>, NumberError> {
    if !has_decimal_comma() {
        return Ok(Cow::Borrowed(typed));
    }
    let digits = split_unit(typed).0.trim_start_matches(['+', '-', '\u{2212}']);
    let (points, commas) = (digits.matches('.').count(), digits.matches(',').count());
    let parts_thousands =
        digits.split_once('.').is_some_and(|(whole, fraction)| comma_is_ambiguous(whole, fraction));
    if points + commas > 1 || parts_thousands {
        return Err(NumberError::TwoWays(typed.trim().to_owned()));
    }
    Ok(neutral(typed))
}

impl Number {
    /// Reads a bare number as it is typed in the language that is spoken.
    ///
    /// # Errors
    /// As for [`Number::from_str`](std::str::FromStr::from_str); a text that can be read in two ways.
    pub fn typed(text: &str) -> Result<Self, NumberError> {
        neutral_number(text)?.parse()
    }
}

/// As [`read_entry`], for what was typed in the language that is spoken.
///
/// # Errors
/// As for [`read_entry`], told with the text as it was typed.
pub fn read_typed(text: &str, wanted: Unit, require_unit: bool) -> Result<Quantity, QuantityError> {
    let neutral = neutral_number(text)?;
    read_entry(&neutral, wanted, require_unit).map_err(as_typed)
}

/// The fault with its numbers as the language writes them: they were typed so.
fn as_typed(error: QuantityError) -> QuantityError {
    let back = |text: String| number(&text).into_owned();
    match error {
        QuantityError::MissingUnit { text, example } => {
            QuantityError::MissingUnit { text: back(text), example: back(example) }
        }
        QuantityError::WrongDimension { text, given, wanted, example } => {
            QuantityError::WrongDimension { text: back(text), given, wanted, example: back(example) }
        }
        other => other,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{Language, with_language};

    fn read(text: &str) -> Result<String, QuantityError> {
        read_typed(text, Unit::Millimetre, false).map(|quantity| quantity.to_string())
    }

    #[test]
    fn a_decimal_comma_is_recorded_as_the_point_is() {
        let in_english = |text: &str| with_language(Language::English, || read(text)).unwrap();
        with_language(Language::German, || {
            for (typed, english) in [
                ("12,50", "12.50"),
                ("-0,5 mm", "-0.5 mm"),
                ("1,500 mm", "1.500 mm"),
                ("12.5", "12.5"),
                ("0.125", "0.125"),
                ("1234", "1234"),
            ] {
                assert_eq!(read(typed).unwrap(), in_english(english), "{typed}");
            }
        });
    }

    #[test]
    fn what_can_be_read_in_two_ways_is_refused_in_the_words_of_the_one_who_typed_it() {
        with_language(Language::German, || {
            for typed in ["1.234,5", "1,234.5", "1.234", "12.500 mm", "1.234.567", "1,2,3"] {
                let error = read(typed).unwrap_err();
                assert_eq!(error, QuantityError::Number(NumberError::TwoWays(typed.into())), "{typed}");
                assert!(error.to_string().contains("zwei Arten"), "{error}");
            }
            let error = read("12,5 N").unwrap_err().to_string();
            assert!(error.contains("12,5 N") && error.contains("12,5 mm"), "{error}");
        });
        with_language(Language::English, || {
            assert!(read("1,234.5").is_err() && read("1.234,5").is_err());
            assert_eq!(read("1.234").unwrap(), "1.234 mm");
        });
        with_language(Language::SwissGerman, || assert_eq!(read("1.234").unwrap(), "1.234 mm"));
    }
}
