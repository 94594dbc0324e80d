//! A range that a value has to lie in, ends included.

use super::error::QuantityError;
use super::unit_table::Unit;
use super::value::Quantity;
use serde::{Deserialize, Serialize};
use std::{cmp::Ordering, fmt};

/// `min <= value <= max`; at least one end is given.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(try_from = "Ends", into = "Ends")]
pub struct Limit {
    min: Option<Quantity>,
    max: Option<Quantity>,
}

/// What stands in a file.
#[derive(Clone, Serialize, Deserialize)]
#[serde(deny_unknown_fields)]
struct Ends {
    #[serde(default, skip_serializing_if = "Option::is_none")]
    min: Option<Quantity>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    max: Option<Quantity>,
}

/// Why two ends make no range.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum LimitError {
    NoEnd,
    Reversed { min: Quantity, max: Quantity },
    NegativeTolerance(Quantity),
    Quantity(QuantityError),
}

impl fmt::Display for LimitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoEnd => {
                f.write_str(say!("the limit has neither a smallest nor a largest value; give at least one"))
            }
            Self::Reversed { min, max } => f.write_str(&say!(
                "smallest value \"{min}\" is above largest value \"{max}\"; exchange them or correct one",
                min = min.shown(),
                max = max.shown()
            )),
            Self::NegativeTolerance(tolerance) => f.write_str(&say!(
                "tolerance \"{tolerance}\" is negative; give it without the sign",
                tolerance = tolerance.shown()
            )),
            Self::Quantity(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for LimitError {}

impl From<QuantityError> for LimitError {
    fn from(error: QuantityError) -> Self {
        Self::Quantity(error)
    }
}

impl Limit {
    /// # Errors
    /// No end at all; ends of different kinds; a smallest above the largest.
    pub fn new(min: Option<Quantity>, max: Option<Quantity>) -> Result<Self, LimitError> {
        match (min, max) {
            (None, None) => Err(LimitError::NoEnd),
            (Some(low), Some(high)) if low.compare(&high)? == Ordering::Greater => {
                Err(LimitError::Reversed { min: low, max: high })
            }
            _ => Ok(Self { min, max }),
        }
    }

    /// `nominal - minus` to `nominal + plus`, both in the unit of the nominal value.
    ///
    /// # Errors
    /// A negative tolerance; units of different kinds; more digits than fit.
    pub fn around(nominal: &Quantity, minus: &Quantity, plus: &Quantity) -> Result<Self, LimitError> {
        for tolerance in [minus, plus] {
            if tolerance.value.decimal().is_sign_negative() && !tolerance.value.decimal().is_zero() {
                return Err(LimitError::NegativeTolerance(*tolerance));
            }
        }
        Self::new(Some(nominal.shifted(minus, true)?), Some(nominal.shifted(plus, false)?))
    }

    pub fn min(&self) -> Option<&Quantity> {
        self.min.as_ref()
    }

    pub fn max(&self) -> Option<&Quantity> {
        self.max.as_ref()
    }

    /// The unit of the first given end.
    pub fn unit(&self) -> Option<Unit> {
        self.min.or(self.max).map(|end| end.unit)
    }

    /// Whether the value lies in the range, exactly; the ends belong to it. Measurement uncertainty is not considered.
    ///
    /// # Errors
    /// A value of another kind; more digits than fit.
    pub fn contains(&self, value: &Quantity) -> Result<bool, QuantityError> {
        let above =
            self.min.map_or(Ok(true), |low| value.compare(&low).map(|order| order != Ordering::Less))?;
        let below =
            self.max.map_or(Ok(true), |high| value.compare(&high).map(|order| order != Ordering::Greater))?;
        Ok(above && below)
    }
}

impl TryFrom<Ends> for Limit {
    type Error = LimitError;

    fn try_from(ends: Ends) -> Result<Self, LimitError> {
        Self::new(ends.min, ends.max)
    }
}

impl From<Limit> for Ends {
    fn from(limit: Limit) -> Self {
        Self { min: limit.min, max: limit.max }
    }
}

impl fmt::Display for Limit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match (&self.min, &self.max) {
            (Some(low), Some(high)) if low.unit == high.unit => write!(f, "{} to {high}", low.value),
            (Some(low), Some(high)) => write!(f, "{low} to {high}"),
            (Some(low), None) => write!(f, "at least {low}"),
            (None, Some(high)) => write!(f, "at most {high}"),
            (None, None) => write!(f, "no limit"),
        }
    }
}
