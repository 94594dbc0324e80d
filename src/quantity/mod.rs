//! A value with its unit, kept exactly as it was entered.
//!
//! What a person typed stays an exact decimal in the unit that they typed; conversion and comparison are exact
//! rational arithmetic. Floating point starts only inside `measure` ([`Quantity::in_unit_f64`]).

mod entry;
mod error;
mod length_range;
mod limit;
mod number;
mod rational;
mod rounding;
mod shown;
mod typed;
mod unit;
mod unit_table;
mod value;

pub use entry::read_entry;
pub use error::{NumberError, QuantityError, UnitError};
pub use length_range::{LengthRange, LengthRangeError, place_mm};
pub use limit::{Limit, LimitError};
pub use number::Number;
pub use rounding::{rounded, rounded_with_uncertainty};
pub use shown::{shown_rounded, shown_with_uncertainty};
pub use typed::{neutral_number, read_typed};
pub use unit::Dimension;
pub use unit_table::Unit;
pub use value::Quantity;

#[cfg(test)]
mod tests;
