//! The computations, one file each. Pure functions over `f64` in the stated units.

pub mod airspeed;
pub mod deflection;
pub mod filter;
pub mod frequency;
pub mod input;
pub mod leak;
pub mod life;
pub mod loading;
pub mod noise;
pub mod robust;
pub mod spectrum;
pub mod symmetry;
pub mod tap;
pub mod tap_map;
pub mod tension;
pub mod wav;
pub mod weighing;
