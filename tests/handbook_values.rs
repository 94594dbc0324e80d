//! The computations against handbook tables, standards and worked examples; sources stand beside the values in
//! `tests/reference/*.toml`, with a mark where a printed number was recalled and not read.

#[path = "handbook/air.rs"]
mod air;
#[path = "handbook/arbitrary.rs"]
mod arbitrary;
#[path = "handbook/dates.rs"]
mod dates;
#[path = "handbook/mass.rs"]
mod mass;
#[path = "handbook/noise.rs"]
mod noise;
#[path = "handbook/rigging.rs"]
mod rigging;
#[path = "handbook/signal.rs"]
mod signal;
#[path = "handbook/units.rs"]
mod units;
#[path = "handbook/values.rs"]
mod values;
