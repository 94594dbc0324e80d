//! What a series cannot give, and in which words it is said.

use super::readings::Direction;
use crate::words::{figure, said};
use std::fmt;

/// The quantities of a push test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Quantity {
    Slope,
    SlopeDifference,
    LostMotion,
    Hysteresis,
    LoopArea,
    ResidualSet,
}

impl fmt::Display for Quantity {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Slope => say!("slope"),
            Self::SlopeDifference => say!("difference of the two directions' slopes"),
            Self::LostMotion => say!("lost motion"),
            Self::Hysteresis => say!("hysteresis"),
            Self::LoopArea => say!("loop area"),
            Self::ResidualSet => say!("residual set"),
        })
    }
}

/// What is missing for a quantity.
#[derive(Debug, Clone, PartialEq)]
pub enum Missing {
    NothingAboveTakeUp {
        take_up_n: f64,
    },
    /// Fewer than 2 distinct loads used in a direction.
    LoadLevels {
        direction: Direction,
        found: usize,
    },
    DegreesOfFreedom {
        points: usize,
        parameters: usize,
    },
    OneDirectionOnly,
    NoUnloading,
    /// The readings do not separate the unknowns.
    NotSeparable,
    /// The interval of the compliance includes zero.
    SlopeNotResolved,
    LoopNotClosed {
        first_n: f64,
        last_n: f64,
    },
    /// The loop gains energy: tags or signs are wrong.
    EnergyGained {
        area_n_mm: f64,
    },
    NoRepeatedReading,
    DirectionsDiffer,
}

/// A quantity that is not given, and why.
#[derive(Debug, Clone, PartialEq)]
pub struct NotGiven {
    pub quantity: Quantity,
    pub missing: Missing,
}

impl fmt::Display for NotGiven {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let quantity = self.quantity;
        match &self.missing {
            Missing::DirectionsDiffer => {
                return f.write_str(&say!(
                    "no common {quantity}: the two directions differ; use the two values",
                    quantity
                ));
            }
            Missing::EnergyGained { area_n_mm } => {
                return f.write_str(&say!(
                    "refused: {quantity} {area_n_mm} N mm would mean energy gained; \
                     check the branch tags and the sign of the deflections",
                    quantity,
                    area_n_mm = figure(format_args!("{:.1}", area_n_mm))
                ));
            }
            _ => f.write_str(&say!("insufficient data: {quantity}: ", quantity))?,
        }
        match &self.missing {
            Missing::NothingAboveTakeUp { take_up_n } => {
                f.write_str(&say!("no reading at or above the take-up load of {take_up_n} N", take_up_n = figure(format_args!("{:.1}", take_up_n))))
            }
            Missing::LoadLevels { direction, found } => {
                f.write_str(&say!("{found} load level(s) {direction}; at least 2 different loads are needed", found, direction))
            }
            Missing::DegreesOfFreedom { points, parameters } => {
                f.write_str(&say!("{points} readings for {parameters} unknowns; at least {} are needed", parameters + 1, points, parameters))
            }
            Missing::OneDirectionOnly => f.write_str(say!("only one direction was loaded; load the other way too")),
            Missing::NoUnloading => f.write_str(say!("no unloading reading; read on the way down as well")),
            Missing::NotSeparable => {
                f.write_str(say!("the loads do not separate the unknowns; spread the load levels"))
            }
            Missing::SlopeNotResolved => {
                f.write_str(say!("the movement is lost in the scatter; a finer gauge or more load levels are needed"))
            }
            Missing::LoopNotClosed { first_n, last_n } => {
                f.write_str(&say!("the loop is open: first load {first_n} N, last load {last_n} N; end where it began", first_n = figure(format_args!("{:.1}", first_n)), last_n = figure(format_args!("{:.1}", last_n))))
            }
            Missing::NoRepeatedReading => f.write_str(say!("no two readings at the same small load in the same direction and branch; repeat the first reading")),
            Missing::EnergyGained { .. } | Missing::DirectionsDiffer => Ok(()),
        }
    }
}

impl std::error::Error for NotGiven {}

/// Why a series gives nothing at all.
#[derive(Debug, Clone, PartialEq)]
pub enum LoadDeflectionError {
    /// Not even a slope.
    Insufficient(NotGiven),
    /// Reading `index` (from 0) has a value that is not finite.
    NotFinite { index: usize },
    /// Reading `index` (from 0): the stated direction is not that of the load's sign.
    DirectionAgainstSign { index: usize, load_n: f64 },
    /// Some readings carry the support's movement and reading `index` (from 0) does not.
    SupportMissing { index: usize },
    /// A setting is outside its range.
    Setting { name: &'static str, value: f64, wanted: &'static str },
    /// The deflection goes against the load: signs are swapped.
    AgainstLoad { compliance_mm_per_n: f64 },
}

impl fmt::Display for LoadDeflectionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Insufficient(what) => write!(f, "{what}"),
            Self::NotFinite { index } => f.write_str(&say!(
                "reading {}: load or deflection is not a finite number; correct the reading",
                index + 1
            )),
            Self::DirectionAgainstSign { index, load_n } => f.write_str(&say!(
                "reading {}: load {load_n} N has the sign of the other direction; correct one of them",
                index + 1,
                load_n = figure(format_args!("{:.1}", load_n))
            )),
            Self::SupportMissing { index } => f.write_str(&say!(
                "reading {}: the support's movement is missing though other readings have it; \
                 add it or leave it out everywhere",
                index + 1
            )),
            Self::Setting { name, value, wanted } => f.write_str(&say!(
                "setting {name} is {value}; it must be {wanted}",
                name = said(name),
                value = figure(value),
                wanted = said(wanted)
            )),
            Self::AgainstLoad { compliance_mm_per_n } => f.write_str(&say!(
                "refused: the deflection goes against the load ({compliance_mm_per_n} mm/N); \
                 check the sign of loads and deflections",
                compliance_mm_per_n = figure(format_args!("{:.5}", compliance_mm_per_n))
            )),
        }
    }
}

impl std::error::Error for LoadDeflectionError {}

impl LoadDeflectionError {
    pub(super) fn slope(missing: Missing) -> Self {
        Self::Insufficient(NotGiven { quantity: Quantity::Slope, missing })
    }
}
