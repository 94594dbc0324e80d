//! The computations, one file each. Pure functions over `f64` in the stated units.

pub mod compare;
pub mod distribution;
pub mod estimate;
pub mod least_squares;
pub mod limits;
pub mod load_deflection;
pub mod multiplicity;
pub mod noncentral_t;
pub mod repeats;
pub mod tolerance;
