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
            Self::Empty => f.write_str(say!("a number is missing; type digits, for example \"12.5\"")),
            Self::AmbiguousComma(text) => f.write_str(&say!("value \"{text}\" can be read in two ways because of its comma; \
                 use a decimal point and no thousands separator", text)),
            Self::TwoWays(text) => f.write_str(&say!("value \"{text}\" can be read in two ways; type it with a decimal comma and nothing between the thousands", text)),
            Self::Exponent(text) => {
                f.write_str(&say!("value \"{text}\" is written with an exponent; write all its digits out", text))
            }
            Self::NotANumber(text) => {
                f.write_str(&say!("value \"{text}\" is not a number; type digits with at most one decimal point, like \"12.5\"", text))
            }
            Self::TooLong(text) => {
                f.write_str(&say!("value \"{text}\" has more than 28 digits; type it with fewer digits", text))
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
            Self::Empty => f.write_str(say!("a unit is missing; add one, for example \"mm\"")),
            Self::Unknown { text, suggestion: Some(unit) } => {
                f.write_str(&say!("unit \"{text}\" is not known; did you mean \"{unit}\"?", text, unit))
            }
            Self::Unknown { text, suggestion: None } => f.write_str(&say!(
                "unit \"{text}\" is not known; type a unit such as \"mm\", \"kgf\" or \"bar\"",
                text
            )),
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
                f.write_str(&say!("value \"{text}\" has no unit; type it with its unit, for example \"{example}\"", text, example))
            }
            Self::WrongDimension { text, given, wanted, example } => {
                let (is, wants) = (given.dimension().with_article(), wanted.dimension().with_article());
                f.write_str(&say!(
                    "unit \"{given}\" in \"{text}\" is {is}; this step wants {wants}, for example \"{example}\"",
                    given,
                    text,
                    is,
                    wants,
                    example
                ))?;
                f.write_str(&kgf_hint(*given, *wanted))
            }
            Self::Mixed { left, right } => f.write_str(&say!("unit \"{left}\" is {} and unit \"{right}\" is {}; give both in units of the same kind", left.dimension().with_article(), right.dimension().with_article(), left, right)),
            Self::Overflow { text, unit } => {
                f.write_str(&say!("value \"{text}\" has too many digits to be computed exactly in \"{unit}\"; type fewer digits", text, unit))
            }
        }
    }
}

impl std::error::Error for QuantityError {}

impl QuantityError {
    /// The words where no step of a session asks for the value.
    pub fn outside_session(&self) -> String {
        let Self::WrongDimension { text, given, wanted, example } = self else { return self.to_string() };
        let (is, wants) = (given.dimension().with_article(), wanted.dimension().with_article());
        let told = say!(
            "unit \"{given}\" in \"{text}\" is {is}; wanted here is {wants}, for example \"{example}\"",
            given,
            text,
            is,
            wants,
            example
        );
        told + &kgf_hint(*given, *wanted)
    }
}

/// What a spring balance shows, where a mass was typed for a force.
fn kgf_hint(given: Unit, wanted: Unit) -> String {
    if given.dimension() == Dimension::Mass && wanted.dimension() == Dimension::Force {
        format!(" {}", say!("(a spring balance marked kg shows kgf)"))
    } else {
        String::new()
    }
}

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
