//! Measurements outside any session: a file of readings in, a judged result out.
//!
//! Pure: the bytes of the file, the settings typed beside it and a way to fetch recordings are handed in. Every number
//! comes from `measure`; this module reads, converts units and says the result in words and figures.

mod airspeed;
mod compare;
mod deflection;
mod flex;
mod frequency;
pub mod input;
mod judged;
mod leak;
mod life;
mod limit;
mod loads;
mod noise;
mod rates;
mod repeats;
pub mod report;
mod symmetry;
mod tap;
mod tension;
mod trend;
mod weighing;

use crate::diagnostic::Diagnostic;
use input::{Failed, Input, Schema};
pub use report::{Outcome, Picture, Report};

/// One kind of computation.
pub struct Kind {
    /// The word on the command line.
    pub name: &'static str,
    pub about: &'static str,
    /// What its file may hold.
    pub schema: Schema,
    /// A commented file that itself computes. Every figure in it is invented or taken from the source that it names.
    pub example: &'static str,
    /// A WAV file may stand in place of the readings.
    pub takes_recording: bool,
    run: fn(&Input) -> Result<Report, Failed>,
}

/// All kinds, in the order of the help.
pub const KINDS: &[Kind] = &[
    flex::KIND,
    limit::KIND,
    repeats::KIND,
    compare::KIND,
    trend::KIND,
    rates::KIND,
    frequency::KIND,
    deflection::KIND,
    tension::KIND,
    weighing::KIND,
    airspeed::KIND,
    leak::KIND,
    symmetry::KIND,
    tap::KIND,
    noise::KIND,
    life::KIND,
];

/// The kind of that name.
pub fn kind(name: &str) -> Option<&'static Kind> {
    KINDS.iter().find(|kind| kind.name == name)
}

/// What is computed from.
pub struct Request<'a> {
    /// The name under which a person knows the file; its ending may tell the format.
    pub file: &'a str,
    pub bytes: &'a [u8],
    /// Settings typed beside the file, each `key=value`; they go before those of the file.
    pub set: &'a [String],
    /// Fetches a recording that the file names; the error says why that is not possible.
    pub fetch: &'a dyn Fn(&str) -> Result<Vec<u8>, String>,
}

impl Kind {
    /// Computes the result, or tells every fault of the input in file order.
    ///
    /// # Errors
    /// Faults of form, unknown keys, wrong units, values that the computation refuses; each with its place.
    pub fn compute(&self, request: &Request) -> Result<Report, Vec<Diagnostic>> {
        let input = input::read(self, request)?;
        let made = (self.run)(&input);
        let faults = input.into_faults();
        match made {
            Ok(report) if faults.is_empty() => Ok(report),
            _ => Err(faults),
        }
    }
}
