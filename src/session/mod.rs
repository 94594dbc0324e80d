//! What a person asks for → an event, or a plain refusal. No file, no clock: the day is handed in.

mod authority;
mod decide;
mod defects;
mod papers;
mod readings;
mod request;
mod series;
mod value;

pub use decide::{Declined, Facts, decide};
pub use papers::countersignature;
pub use readings::as_used;
pub use request::{NewDefect, Request};
pub use series::LOAD_CAUTION;
pub use value::{parse_series, parse_typed, parse_value, taken_as, value_words};
