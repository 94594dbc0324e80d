//! Values for people, in the language that is spoken. `Display` is what is recorded, compared and read again.

use super::Unit;
use super::length_range::LengthRange;
use super::limit::Limit;
use super::number::Number;
use super::rounding::{rounded, rounded_with_uncertainty};
use super::value::Quantity;
use crate::words::figure;

impl Number {
    /// The digits as typed, with the sign of the language between whole and fraction.
    pub fn shown(&self) -> String {
        figure(self)
    }
}

impl Quantity {
    /// Value and unit as entered, for people.
    pub fn shown(&self) -> String {
        figure(self)
    }
}

impl Unit {
    /// The symbol, for people: what is counted has a word of the language. Never for files, or for what is typed back.
    pub fn shown(self) -> &'static str {
        match self.symbol() {
            "count" => say!("of a unit" => "count"),
            "launches" => say!("launches"),
            symbol => symbol,
        }
    }
}

impl LengthRange {
    /// `4250..4310 mm`, for people.
    pub fn shown(&self) -> String {
        figure(self)
    }
}

impl Limit {
    /// `0.5 to 1.2 mm`, `at least 3 mm`: for people.
    pub fn shown(&self) -> String {
        match (self.min(), self.max()) {
            (Some(low), Some(high)) if low.unit == high.unit => {
                say!("{} to {}", low.value.shown(), high.shown())
            }
            (Some(low), Some(high)) => say!("{} to {}", low.shown(), high.shown()),
            (Some(low), None) => say!("at least {}", low.shown()),
            (None, Some(high)) => say!("at most {}", high.shown()),
            (None, None) => say!("no limit").to_string(),
        }
    }
}

/// As [`rounded`], for people.
pub fn shown_rounded(value: f64, uncertainty: f64) -> String {
    figure(rounded(value, uncertainty))
}

/// As [`rounded_with_uncertainty`], for people.
pub fn shown_with_uncertainty(value: f64, uncertainty: f64) -> String {
    figure(rounded_with_uncertainty(value, uncertainty))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{Language, with_language};

    #[test]
    fn what_is_shown_has_the_sign_of_the_language_and_what_is_recorded_the_point() {
        let quantity = |text: &str| Quantity::parse(text).unwrap();
        let (low, high) = (quantity("0.50 mm"), quantity("1.20 mm"));
        let both = Limit::new(Some(low), Some(high)).unwrap();
        with_language(Language::German, || {
            assert_eq!((low.shown(), low.to_string()), ("0,50 mm".into(), "0.50 mm".into()));
            assert_eq!(both.shown(), "0,50 bis 1,20 mm");
            assert_eq!(both.to_string(), "0.50 to 1.20 mm");
            assert_eq!(serde_json::to_string(&low).unwrap(), "\"0.50 mm\"");
            assert_eq!(Limit::new(None, Some(high)).unwrap().shown(), "höchstens 1,20 mm");
            assert_eq!(shown_with_uncertainty(10.05762, 0.027), "10,058 ± 0,027");
        });
        with_language(Language::English, || {
            for limit in [both.clone(), Limit::new(Some(low), None).unwrap()] {
                assert_eq!(limit.shown(), limit.to_string());
            }
        });
    }
}
