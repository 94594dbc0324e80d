//! The computations through `compute`: the command itself, its faults, and published values.

mod command;
mod common;
mod errors;
mod handbook;
#[path = "../handbook/values.rs"]
#[allow(dead_code, reason = "shared with the handbook tests")]
mod handbook_values;
mod noise;
mod published;
mod robust;
#[path = "../reference/values.rs"]
mod values;
mod verdicts;
