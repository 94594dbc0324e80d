//! Reading what was typed into a step that wants a certain unit.

use super::error::{QuantityError, UnitError};
use super::number::Number;
use super::unit::nearest;
use super::unit_table::Unit;
use super::value::{Quantity, split_unit};

/// Reads an answer to a step that wants `wanted`.
///
/// A bare number takes the wanted unit unless `require_unit`. Another unit of the same kind is accepted and kept as
/// entered; a unit of another kind is refused.
///
/// # Errors
/// No number; an unknown unit (with a suggestion of the wanted kind first); a unit of another kind; a missing unit.
pub fn read_entry(text: &str, wanted: Unit, require_unit: bool) -> Result<Quantity, QuantityError> {
    let (number, unit_text) = split_unit(text);
    let value: Number = number.parse()?;
    let example = Quantity::new(value, wanted).to_string();
    if unit_text.is_empty() {
        return if require_unit {
            Err(QuantityError::MissingUnit { text: number.to_owned(), example })
        } else {
            Ok(Quantity::new(value, wanted))
        };
    }
    let unit = Unit::parse(unit_text).map_err(|error| match error {
        UnitError::Unknown { text, suggestion } => {
            let of_wanted_kind = nearest(&text, |u| u.dimension() == wanted.dimension());
            UnitError::Unknown { text, suggestion: of_wanted_kind.or(suggestion) }
        }
        UnitError::Empty => UnitError::Empty,
    })?;
    if unit.dimension() != wanted.dimension() {
        return Err(QuantityError::WrongDimension {
            text: text.trim().to_owned(),
            given: unit,
            wanted,
            example,
        });
    }
    Ok(Quantity::new(value, unit))
}
