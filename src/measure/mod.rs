//! The computations, one file each. Pure functions over `f64` in the stated units.

pub mod burst_comparison;
pub mod compare;
pub mod detection;
pub mod distribution;
pub mod estimate;
pub mod least_squares;
pub mod limits;
pub mod load_deflection;
pub mod multiplicity;
pub mod noncentral_t;
pub mod rates;
pub mod repeats;
pub mod tolerance;
pub mod trend;
