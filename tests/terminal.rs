//! The built program in a terminal of 24 lines and 80 columns, on the invented hangar.
#![cfg(unix)]

mod binary;
mod terminal {
    pub mod hand;
    mod modes;
    mod survives;
    mod whole_annual;
}
