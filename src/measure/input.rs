//! What can be wrong with the numbers given to a computation.

use crate::words::{figure, said};
use std::fmt;

/// An input that a computation cannot use. Names the input, its value and unit, and what would do.
#[derive(Clone, Debug, PartialEq)]
pub enum InputError {
    NotFinite { what: &'static str },
    NotPositive { what: &'static str, value: f64, unit: &'static str },
    Negative { what: &'static str, value: f64, unit: &'static str },
    Outside { what: &'static str, value: f64, unit: &'static str, low: f64, high: f64 },
    TooFew { what: &'static str, given: usize, needed: usize },
    Unusable { what: &'static str, reason: &'static str },
}

/// Value and unit; some inputs have whatever unit their table has.
fn shown(value: f64, unit: &str) -> String {
    figure(format_args!("{value} {unit}")).trim_end().to_owned()
}

impl fmt::Display for InputError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { what } => {
                f.write_str(&say!("{what} is not a finite number; enter it again", what = said(what)))
            }
            Self::NotPositive { what, value, unit } => f.write_str(&say!(
                "{what} \"{}\" has to be above zero; enter it again",
                shown(*value, unit),
                what = said(what)
            )),
            Self::Negative { what, value, unit } => f.write_str(&say!(
                "{what} \"{}\" is negative; enter it without the sign",
                shown(*value, unit),
                what = said(what)
            )),
            Self::Outside { what, value, unit, low, high } => {
                let (value, low, high) = (shown(*value, unit), figure(low), shown(*high, unit));
                f.write_str(&say!(
                    "{what} \"{value}\" lies outside {low} to {high}; check it and its unit",
                    what = said(what),
                    value,
                    low,
                    high
                ))
            }
            Self::TooFew { what, given, needed } => f.write_str(&say!(
                "{what}: {given} given, at least {needed} needed; add more",
                what = said(what),
                given,
                needed
            )),
            Self::Unusable { what, reason } => f.write_str(&say!(
                "{what} cannot be used: {reason}",
                what = said(what),
                reason = said(reason)
            )),
        }
    }
}

impl std::error::Error for InputError {}

/// The value, if finite.
pub fn finite(what: &'static str, value: f64) -> Result<f64, InputError> {
    if value.is_finite() { Ok(value) } else { Err(InputError::NotFinite { what }) }
}

/// The value, if finite and above zero.
pub fn positive(what: &'static str, value: f64, unit: &'static str) -> Result<f64, InputError> {
    if finite(what, value)? > 0.0 { Ok(value) } else { Err(InputError::NotPositive { what, value, unit }) }
}

/// The value, if finite and not below zero.
pub fn not_negative(what: &'static str, value: f64, unit: &'static str) -> Result<f64, InputError> {
    if finite(what, value)? >= 0.0 { Ok(value) } else { Err(InputError::Negative { what, value, unit }) }
}

/// The value, if finite and from `low` to `high`.
pub fn within(
    what: &'static str,
    value: f64,
    unit: &'static str,
    low: f64,
    high: f64,
) -> Result<f64, InputError> {
    if (low..=high).contains(&finite(what, value)?) {
        Ok(value)
    } else {
        Err(InputError::Outside { what, value, unit, low, high })
    }
}

/// `value <= limit` for values computed from readings of about the size `scale`.
///
/// A value that stands on its limit in decimals must not fall off it by the last bit of a float: 1.0 - 0.7 is not 0.3.
pub fn at_most(value: f64, limit: f64, scale: f64) -> bool {
    value <= limit + 1e-12 * scale.abs().max(limit.abs())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_value_on_its_limit_is_not_beyond_it() {
        assert!(at_most(0.1 + 0.2, 0.3, 0.2));
        assert!(!at_most(0.300001, 0.3, 0.2));
        assert!(!at_most(f64::NAN, 0.3, 0.2));
    }

    #[test]
    fn messages_name_value_and_unit_and_say_what_to_do() {
        let error = positive("radius", -3.5, "mm").unwrap_err();
        assert_eq!(error.to_string(), "radius \"-3.5 mm\" has to be above zero; enter it again");
        let bare = not_negative("largest loss", -2.0, "").unwrap_err();
        assert_eq!(bare.to_string(), "largest loss \"-2\" is negative; enter it without the sign");
        assert!(finite("load", f64::NAN).is_err());
        assert!(not_negative("play", 0.0, "mm").is_ok());
        assert!(within("angle", 91.0, "°", -90.0, 90.0).is_err());
    }
}
