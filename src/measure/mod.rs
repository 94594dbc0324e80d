//! The computations, one file each. Pure functions over `f64` in the stated units.

pub mod airspeed;
pub mod burst_comparison;
pub mod compare;
pub mod deflection;
pub mod detection;
pub mod distribution;
pub mod estimate;
pub mod filter;
pub mod frequency;
pub mod input;
pub mod leak;
pub mod least_squares;
pub mod life;
pub mod limits;
pub mod load_deflection;
pub mod loading;
pub mod multiplicity;
pub mod noise;
pub mod noncentral_t;
pub mod rates;
pub mod repeats;
pub mod robust;
mod sentence;
pub mod spectrum;
pub mod symmetry;
pub mod tap;
pub mod tap_map;
pub mod tension;
pub mod tolerance;
pub mod trend;
pub mod wav;
pub mod weighing;

pub(crate) use sentence::sentence;
