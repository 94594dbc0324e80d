//! A value with its unit.

use super::error::QuantityError;
use super::number::Number;
use super::rational::Rational;
use super::unit_table::Unit;
use serde::{Deserialize, Deserializer, Serialize, Serializer, de};
use std::{cmp::Ordering, fmt, str::FromStr};

/// A value with its unit, both as entered. Written to files as one string, `"12.5 kgf"`.
///
/// Equality (`==`) means *entered alike* up to trailing zeros; use [`Quantity::compare`] across units.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub struct Quantity {
    pub value: Number,
    pub unit: Unit,
}

/// Splits `12.5 kgf` or `12.5kgf` into its two texts; either may be empty.
pub(super) fn split_unit(text: &str) -> (&str, &str) {
    let text = text.trim();
    let signs = ['+', '-', '\u{2212}'];
    let end = text
        .char_indices()
        .find(|(at, c)| !(c.is_ascii_digit() || matches!(c, '.' | ',') || (*at == 0 && signs.contains(c))))
        .map_or(text.len(), |(at, _)| at);
    let (number, unit) = (text[..end].trim(), text[end..].trim());
    // "1 000" and "1e3" are numbers written in a way that is refused, not a number with a unit.
    let grouped = unit.starts_with(|c: char| c.is_ascii_digit());
    let exponent = unit.strip_prefix(['e', 'E']).is_some_and(|rest| {
        let rest = rest.strip_prefix(signs).unwrap_or(rest);
        rest.starts_with(|c: char| c.is_ascii_digit())
    });
    if number.is_empty() || grouped || exponent { (text, "") } else { (number, unit) }
}

impl Quantity {
    pub fn new(value: Number, unit: Unit) -> Self {
        Self { value, unit }
    }

    /// Reads `12.5 kgf`; the unit is demanded.
    ///
    /// # Errors
    /// A text that is no number, a missing or unknown unit.
    pub fn parse(text: &str) -> Result<Self, QuantityError> {
        let (number, unit) = split_unit(text);
        let value: Number = number.parse()?;
        if unit.is_empty() {
            let example = format!("{value} mm");
            return Err(QuantityError::MissingUnit { text: number.to_owned(), example });
        }
        Ok(Self { value, unit: Unit::parse(unit)? })
    }

    /// The value in the base unit of its kind, offset included.
    fn in_base(&self) -> Option<Rational> {
        let value = Rational::from_decimal(self.value.decimal())?;
        value.plus(Rational::from_decimal(self.unit.offset())?)?.times(self.unit.rational()?)
    }

    fn in_unit(&self, unit: Unit) -> Option<Rational> {
        if unit == self.unit {
            return Rational::from_decimal(self.value.decimal());
        }
        let offset = Rational::from_decimal(unit.offset())?;
        self.in_base()?.over(unit.rational()?)?.plus(offset.negated())
    }

    pub(super) fn overflow(&self, unit: Unit) -> QuantityError {
        QuantityError::Overflow { text: self.to_string(), unit }
    }

    /// The same quantity in another unit: the exact decimal where one exists, else rounded to 18 significant digits.
    ///
    /// # Errors
    /// Units of different kinds; more digits than fit.
    pub fn to(&self, unit: Unit) -> Result<Self, QuantityError> {
        self.unit.same_kind_as(unit)?;
        if unit == self.unit {
            return Ok(*self);
        }
        let converted = self.in_unit(unit).ok_or_else(|| self.overflow(unit))?;
        let value = converted.to_exact_decimal().or_else(|| converted.to_rounded_decimal());
        value.map(|v| Self::new(v.into(), unit)).ok_or_else(|| self.overflow(unit))
    }

    /// Whether [`Quantity::to`] needs no rounding.
    pub fn converts_exactly(&self, unit: Unit) -> bool {
        self.unit.dimension() == unit.dimension()
            && self.in_unit(unit).is_some_and(|r| r.to_exact_decimal().is_some())
            && (unit == self.unit || (unit != Unit::Radian && self.unit != Unit::Radian))
    }

    /// The value in `unit` as floating point, for `measure`.
    ///
    /// # Errors
    /// Units of different kinds.
    pub fn in_unit_f64(&self, unit: Unit) -> Result<f64, QuantityError> {
        self.unit.same_kind_as(unit)?;
        if unit == self.unit {
            return Ok(self.value.to_f64());
        }
        Ok(self.in_unit(unit).map_or_else(|| self.in_unit_by_float(unit), Rational::to_f64))
    }

    /// For values with so many digits that the exact fraction does not fit; good to the last bits of a float.
    fn in_unit_by_float(&self, unit: Unit) -> f64 {
        let factor = |u: Unit| u.factor().0 as f64 / u.factor().1 as f64;
        let offset = |u: Unit| Number::from(u.offset()).to_f64();
        (self.value.to_f64() + offset(self.unit)) * factor(self.unit) / factor(unit) - offset(unit)
    }

    /// Which of two quantities is larger, exactly, across units.
    ///
    /// # Errors
    /// Units of different kinds; more digits than fit.
    pub fn compare(&self, other: &Self) -> Result<Ordering, QuantityError> {
        self.unit.same_kind_as(other.unit)?;
        if self.unit == other.unit {
            return Ok(self.value.cmp(&other.value));
        }
        let left = self.in_base().ok_or_else(|| self.overflow(other.unit))?;
        let right = other.in_base().ok_or_else(|| other.overflow(self.unit))?;
        Ok(left.compare(right))
    }

    /// `self + other` or `self - other` in the unit of `self`. Temperatures must share the unit.
    ///
    /// # Errors
    /// Units of different kinds; more digits than fit.
    pub(super) fn shifted(&self, other: &Self, negative: bool) -> Result<Self, QuantityError> {
        self.unit.same_kind_as(other.unit)?;
        if self.unit != other.unit && self.unit.offset() != other.unit.offset() {
            return Err(QuantityError::Mixed { left: self.unit, right: other.unit });
        }
        let by = other.to(self.unit)?.value.decimal();
        let (value, at) = (self.value.decimal(), || self.overflow(self.unit));
        let sum = if negative { value.checked_sub(by) } else { value.checked_add(by) };
        Ok(Self::new(sum.ok_or_else(at)?.into(), self.unit))
    }
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let gap = if matches!(self.unit, Unit::Degree) { "" } else { " " };
        f.pad(&format!("{}{gap}{}", self.value, self.unit))
    }
}

impl FromStr for Quantity {
    type Err = QuantityError;

    fn from_str(text: &str) -> Result<Self, QuantityError> {
        Self::parse(text)
    }
}

impl Serialize for Quantity {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_str(self)
    }
}

impl<'de> Deserialize<'de> for Quantity {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        Self::parse(&String::deserialize(deserializer)?).map_err(de::Error::custom)
    }
}
