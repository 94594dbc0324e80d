//! The computations, one file each. Pure functions over `f64` in the stated units.
