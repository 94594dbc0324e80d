//! The computations against published values; the sources stand beside the copied values in `reference/*.toml`, rows from
//! memory are flagged there.

mod comparison;
mod detection;
mod distributions;
mod load_deflection;
mod regression;
mod robustness;
mod series;
mod uncertainty;
#[path = "../reference/values.rs"]
mod values;
