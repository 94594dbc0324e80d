//! What can be wrong with a typed number, unit or quantity, in words that say what to do next.

use super::{Dimension, Unit};
use std::fmt;

/// Why a text is not a [`super::Number`]. Each variant carries the text as entered.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NumberError {
    Empty,
    /// Digits grouped so that a comma could mean thousands or decimals.
    AmbiguousComma(String),
    /// Typed where the language has the decimal comma, with a point that could part thousands.
    TwoWays(String),
    Exponent(String),
    NotANumber(String),
    /// More digits than the 28 that are stored exactly.
    TooLong(String),
}

impl fmt::Display for NumberError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(f, "a number is missing; type digits, for example \"12.5\""),
            Self::AmbiguousComma(text) => write!(
                f,
                "value \"{text}\" can be read in two ways because of its comma; \
                 use a decimal point and no thousands separator"
            ),
            Self::TwoWays(text) => write!(
                f,
                "value \"{text}\" can be read in two ways; type it with a decimal comma and nothing between the thousands"
            ),
            Self::Exponent(text) => {
                write!(f, "value \"{text}\" is written with an exponent; write all its digits out")
            }
            Self::NotANumber(text) => {
                write!(
                    f,
                    "value \"{text}\" is not a number; type digits with at most one decimal point, like \"12.5\""
                )
            }
            Self::TooLong(text) => {
                write!(f, "value \"{text}\" has more than 28 digits; type it with fewer digits")
            }
        }
    }
}

impl std::error::Error for NumberError {}

/// Why a text is not a [`Unit`].
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum UnitError {
    Empty,
    Unknown { text: String, suggestion: Option<Unit> },
}

impl fmt::Display for UnitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Empty => write!(f, "a unit is missing; add one, for example \"mm\""),
            Self::Unknown { text, suggestion: Some(unit) } => {
                write!(f, "unit \"{text}\" is not known; did you mean \"{unit}\"?")
            }
            Self::Unknown { text, suggestion: None } => {
                write!(f, "unit \"{text}\" is not known; type a unit such as \"mm\", \"kgf\" or \"bar\"")
            }
        }
    }
}

impl std::error::Error for UnitError {}

/// Why a quantity cannot be read, converted or compared.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum QuantityError {
    Number(NumberError),
    Unit(UnitError),
    /// A bare number where a unit is demanded; `example` is what could have been typed.
    MissingUnit {
        text: String,
        example: String,
    },
    /// Another kind of quantity than the step wants.
    WrongDimension {
        text: String,
        given: Unit,
        wanted: Unit,
        example: String,
    },
    /// Two quantities that cannot be converted into, added to or compared with each other.
    Mixed {
        left: Unit,
        right: Unit,
    },
    /// The exact result needs more digits than can be kept.
    Overflow {
        text: String,
        unit: Unit,
    },
}

impl fmt::Display for QuantityError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Number(error) => error.fmt(f),
            Self::Unit(error) => error.fmt(f),
            Self::MissingUnit { text, example } => {
                write!(f, "value \"{text}\" has no unit; type it with its unit, for example \"{example}\"")
            }
            Self::WrongDimension { text, given, wanted, example } => {
                let (is, wants) = (given.dimension().with_article(), wanted.dimension().with_article());
                write!(
                    f,
                    "unit \"{given}\" in \"{text}\" is {is}; this step wants {wants}, for example \"{example}\""
                )?;
                if given.dimension() == Dimension::Mass && wanted.dimension() == Dimension::Force {
                    write!(f, " (a spring balance marked kg shows kgf)")?;
                }
                Ok(())
            }
            Self::Mixed { left, right } => write!(
                f,
                "unit \"{left}\" is {} and unit \"{right}\" is {}; give both in units of the same kind",
                left.dimension().with_article(),
                right.dimension().with_article()
            ),
            Self::Overflow { text, unit } => {
                write!(
                    f,
                    "value \"{text}\" has too many digits to be computed exactly in \"{unit}\"; type fewer digits"
                )
            }
        }
    }
}

impl std::error::Error for QuantityError {}

impl From<NumberError> for QuantityError {
    fn from(error: NumberError) -> Self {
        Self::Number(error)
    }
}

impl From<UnitError> for QuantityError {
    fn from(error: UnitError) -> Self {
        Self::Unit(error)
    }
}
