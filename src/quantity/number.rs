//! An exact decimal number that keeps its trailing zeros.

use super::error::NumberError;
use rust_decimal::Decimal;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::{fmt, str::FromStr};

/// A decimal as typed: `12.50` stays `12.50`, and is equal to `12.5`.
///
/// At most 28 digits. Written to files as a string, so that no reader turns it into a binary fraction.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Number(Decimal);

impl Number {
    /// The exact value.
    pub fn decimal(&self) -> Decimal {
        self.0
    }

    /// The nearest binary floating-point value.
    pub fn to_f64(&self) -> f64 {
        // The decimal text is always a valid float literal; mantissa division would round twice.
        self.0.to_string().parse().unwrap_or(f64::NAN)
    }
}

impl From<Decimal> for Number {
    fn from(value: Decimal) -> Self {
        Self(value)
    }
}

impl From<i64> for Number {
    fn from(value: i64) -> Self {
        Self(Decimal::from(value))
    }
}

impl fmt::Display for Number {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        // `pad` lets callers align columns with the usual width flags.
        f.pad(&self.0.to_string())
    }
}

/// A comma is a decimal comma unless it could as well separate thousands: `1,500` could be either.
pub(super) fn comma_is_ambiguous(whole: &str, fraction: &str) -> bool {
    fraction.len() == 3 && (1..=3).contains(&whole.len()) && whole != "0"
}

/// Optional sign, digits, at most one separator. Returns sign, whole part, fraction.
fn split_digits(text: &str) -> Result<(bool, &str, &str), NumberError> {
    let not_a_number = || NumberError::NotANumber(text.to_owned());
    let (negative, unsigned) = match text.chars().next() {
        Some(sign @ ('+' | '-' | '\u{2212}')) => (sign != '+', &text[sign.len_utf8()..]),
        Some(_) => (false, text),
        None => return Err(NumberError::Empty),
    };
    if unsigned.chars().any(|c| !c.is_ascii_digit() && c != '.' && c != ',') {
        let mut halves = unsigned.splitn(2, ['e', 'E']);
        let number_like = |half: Option<&str>| {
            half.is_some_and(|h| {
                h.contains(|c: char| c.is_ascii_digit())
                    && !h.contains(|c: char| c.is_alphabetic() || c == ' ')
            })
        };
        let exponent = number_like(halves.next()) && number_like(halves.next());
        return Err(if exponent { NumberError::Exponent(text.to_owned()) } else { not_a_number() });
    }
    let mut separators = unsigned.char_indices().filter(|(_, c)| !c.is_ascii_digit());
    let (whole, fraction) = match (separators.next(), separators.next()) {
        (None, _) => (unsigned, ""),
        (Some((at, separator)), None) => {
            let (whole, fraction) = (&unsigned[..at], &unsigned[at + 1..]);
            if separator == ','
                && (comma_is_ambiguous(whole, fraction) || whole.is_empty() || fraction.is_empty())
            {
                return Err(NumberError::AmbiguousComma(text.to_owned()));
            }
            (whole, fraction)
        }
        _ if unsigned.contains(',') => return Err(NumberError::AmbiguousComma(text.to_owned())),
        _ => return Err(not_a_number()),
    };
    if whole.is_empty() && fraction.is_empty() {
        return Err(not_a_number());
    }
    Ok((negative, whole, fraction))
}

impl FromStr for Number {
    type Err = NumberError;

    /// Sign, digits and one decimal point; or one decimal comma where it cannot be a thousands separator.
    fn from_str(text: &str) -> Result<Self, NumberError> {
        let text = text.trim();
        let (negative, whole, fraction) = split_digits(text)?;
        let sign = if negative { "-" } else { "" };
        let whole = if whole.is_empty() { "0" } else { whole };
        let plain =
            if fraction.is_empty() { format!("{sign}{whole}") } else { format!("{sign}{whole}.{fraction}") };
        Decimal::from_str_exact(&plain).map(Self).map_err(|_| NumberError::TooLong(text.to_owned()))
    }
}

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

struct NumberVisitor;

impl de::Visitor<'_> for NumberVisitor {
    type Value = Number;

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(say!("a decimal number in quotes, such as \"12.5\""))
    }

    fn visit_str<E: de::Error>(self, text: &str) -> Result<Number, E> {
        text.parse().map_err(E::custom)
    }

    fn visit_i64<E: de::Error>(self, value: i64) -> Result<Number, E> {
        Ok(Number(Decimal::from(value)))
    }

    fn visit_u64<E: de::Error>(self, value: u64) -> Result<Number, E> {
        Ok(Number(Decimal::from(value)))
    }

    fn visit_f64<E: de::Error>(self, value: f64) -> Result<Number, E> {
        Err(E::custom(say!(
            "value {value} is not kept exactly without quotes; write it in quotes, as \"{value}\"",
            value
        )))
    }
}

impl<'de> Deserialize<'de> for Number {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        deserializer.deserialize_any(NumberVisitor)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn parse(text: &str) -> Result<Number, NumberError> {
        text.parse()
    }

    #[test]
    fn a_number_is_shown_with_the_digits_that_were_typed() {
        for (typed, shown) in [
            ("12.50", "12.50"),
            (" +7 ", "7"),
            ("-0.5", "-0.5"),
            (".5", "0.5"),
            ("5.", "5"),
            ("\u{2212}3", "-3"),
        ] {
            assert_eq!(parse(typed).unwrap().to_string(), shown);
        }
        assert_eq!(parse("12.50").unwrap(), parse("12.5").unwrap());
    }

    #[test]
    fn a_comma_is_a_decimal_comma_only_where_it_cannot_separate_thousands() {
        for (typed, shown) in
            [("12,5", "12.5"), ("1,50", "1.50"), ("0,500", "0.500"), ("1234,500", "1234.500")]
        {
            assert_eq!(parse(typed).unwrap().to_string(), shown);
        }
        for typed in ["1,500", "12,500", "1,500.5", "1,2,3", ",5", "5,"] {
            assert_eq!(parse(typed), Err(NumberError::AmbiguousComma(typed.into())));
        }
    }

    #[test]
    fn what_is_no_plain_decimal_is_refused() {
        assert_eq!(parse("  "), Err(NumberError::Empty));
        assert_eq!(parse("1e3"), Err(NumberError::Exponent("1e3".into())));
        assert_eq!(parse("1.5E-3"), Err(NumberError::Exponent("1.5E-3".into())));
        for typed in [".", "-", "+-1", "1_000", "abc", "1.2.3", "0x10", "NaN", "1 000"] {
            assert_eq!(parse(typed), Err(NumberError::NotANumber(typed.into())), "{typed}");
        }
        let long = "1".repeat(40);
        assert_eq!(parse(&long), Err(NumberError::TooLong(long.clone())));
        let fine = format!("0.{}", "1".repeat(40));
        assert_eq!(parse(&fine), Err(NumberError::TooLong(fine.clone())));
    }

    #[test]
    fn files_hold_strings_and_a_binary_fraction_is_refused() {
        let number = parse("12.50").unwrap();
        assert_eq!(serde_json::to_string(&number).unwrap(), "\"12.50\"");
        assert_eq!(serde_json::from_str::<Number>("\"12.50\"").unwrap().to_string(), "12.50");
        #[derive(Debug, Deserialize)]
        struct File {
            limit: Number,
        }
        assert_eq!(toml::from_str::<File>("limit = 3").unwrap().limit, Number::from(3));
        let error = toml::from_str::<File>("limit = 2.5").unwrap_err().to_string();
        assert!(error.contains("write it in quotes, as \"2.5\""), "{error}");
    }

    proptest! {
        #[test]
        fn no_text_panics(text in "\\PC{0,40}") {
            let _ = parse(&text);
        }

        #[test]
        fn display_and_parse_are_inverse(mantissa in -(1i64 << 60)..(1i64 << 60), scale in 0u32..20) {
            let number = Number(Decimal::new(mantissa, scale));
            prop_assert_eq!(parse(&number.to_string()).unwrap().to_string(), number.to_string());
        }

        #[test]
        fn the_float_is_the_nearest_one(value in -1e9f64..1e9) {
            let number = parse(&format!("{value}")).unwrap();
            prop_assert_eq!(number.to_f64(), value);
        }
    }
}
