//! Cable tension at hangar temperature, from the type's own table.
//!
//! A chart made for a metal airframe does not hold for a composite one: there the sign of the temperature effect is
//! reversed. Only the type's table is used, and never beyond its ends.

use super::input::{InputError, at_most, finite, not_negative, positive};
use crate::words::figure;
use std::fmt;

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "tension/1";

/// A rigging table: temperature against tension, rising temperatures. Units are the table's own.
#[derive(Clone, Debug, PartialEq)]
pub struct TensionTable {
    rows: Vec<(f64, f64)>,
}

#[derive(Clone, Debug, PartialEq)]
pub enum TensionError {
    Input(InputError),
    /// Two rows are not in rising order of temperature.
    NotRising {
        row: usize,
    },
    /// The temperature is not covered; nothing is extrapolated.
    OutsideTable {
        temperature: f64,
        low: f64,
        high: f64,
    },
}

impl fmt::Display for TensionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Input(error) => error.fmt(f),
            Self::NotRising { row } => f.write_str(&say!(
                "row {row} of the tension table is not warmer than the row before; sort the table",
                row
            )),
            Self::OutsideTable { temperature, low, high } => f.write_str(&say!(
                "temperature \"{temperature}\" lies outside the tension table ({low} to {high}); \
                 measure when the hangar is within it, or ask the type's maintenance support",
                temperature = figure(temperature),
                low = figure(low),
                high = figure(high)
            )),
        }
    }
}

impl std::error::Error for TensionError {}

impl From<InputError> for TensionError {
    fn from(error: InputError) -> Self {
        Self::Input(error)
    }
}

impl TensionTable {
    /// `rows`: (temperature, tension), at least two, temperatures strictly rising, tensions above zero.
    ///
    /// # Errors
    /// Fewer rows, another order, values that are not finite or not positive.
    pub fn new(rows: Vec<(f64, f64)>) -> Result<Self, TensionError> {
        if rows.len() < 2 {
            let (given, needed) = (rows.len(), 2);
            return Err(InputError::TooFew { what: mark!("rows of the tension table"), given, needed }.into());
        }
        for &(temperature, tension) in &rows {
            finite(mark!("temperature"), temperature)?;
            positive(mark!("tension"), tension, "")?;
        }
        match rows.windows(2).position(|pair| pair[0].0 >= pair[1].0) {
            Some(before) => Err(TensionError::NotRising { row: before + 2 }),
            None => Ok(Self { rows }),
        }
    }

    /// Tension at a temperature, by linear interpolation between the neighbouring rows.
    ///
    /// # Errors
    /// A temperature outside the table.
    pub fn at(&self, temperature: f64) -> Result<f64, TensionError> {
        finite(mark!("temperature"), temperature)?;
        let bracket = self.rows.windows(2).find(|pair| (pair[0].0..=pair[1].0).contains(&temperature));
        match (bracket, self.rows.first(), self.rows.last()) {
            (Some([(t0, f0), (t1, f1)]), ..) => Ok(f0 + (f1 - f0) * (temperature - t0) / (t1 - t0)),
            (_, Some(low), Some(high)) => {
                Err(TensionError::OutsideTable { temperature, low: low.0, high: high.0 })
            }
            _ => {
                Err(InputError::TooFew { what: mark!("rows of the tension table"), given: 0, needed: 2 }
                    .into())
            }
        }
    }

    /// Measured tension against the table, `tolerance` either way (ends allowed), all in the table's units.
    ///
    /// # Errors
    /// As [`TensionTable::at`]; a measured tension or tolerance that is negative.
    pub fn judge(
        &self,
        measured: f64,
        temperature: f64,
        tolerance: f64,
    ) -> Result<TensionResult, TensionError> {
        not_negative(mark!("measured tension"), measured, "")?;
        not_negative(mark!("tolerance"), tolerance, "")?;
        let wanted = self.at(temperature)?;
        let deviation = measured - wanted;
        Ok(TensionResult { wanted, deviation, within: at_most(deviation.abs(), tolerance, wanted) })
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TensionResult {
    /// What the table asks at the temperature.
    pub wanted: f64,
    /// Measured minus wanted.
    pub deviation: f64,
    pub within: bool,
}

/// Change of tension in N of a cable held by an airframe: `EA (alpha_airframe - alpha_cable) dT`.
///
/// `stiffness_n` is E times A of the cable in N, the coefficients are per kelvin. For judging which way a tension
/// should move, not for replacing the table. Elementary mechanics; no published example was found.
///
/// # Errors
/// A stiffness that is not positive; values that are not finite.
pub fn expansion_change_n(
    stiffness_n: f64,
    airframe_per_k: f64,
    cable_per_k: f64,
    warmer_by_k: f64,
) -> Result<f64, InputError> {
    positive(mark!("cable stiffness"), stiffness_n, "N")?;
    let difference =
        finite(mark!("airframe expansion"), airframe_per_k)? - finite(mark!("cable expansion"), cable_per_k)?;
    Ok(stiffness_n * difference * finite(mark!("temperature change"), warmer_by_k)?)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_table_is_met_at_its_rows_and_not_beyond() {
        let table = TensionTable::new(vec![(0.0, 100.0), (10.0, 110.0), (30.0, 150.0)]).unwrap();
        for (temperature, tension) in [(0.0, 100.0), (10.0, 110.0), (20.0, 130.0), (30.0, 150.0)] {
            assert_eq!(table.at(temperature), Ok(tension));
        }
        for temperature in [-0.1, 30.1] {
            assert!(matches!(table.at(temperature), Err(TensionError::OutsideTable { .. })));
        }
        let judged = table.judge(133.0, 20.0, 3.0).unwrap();
        assert_eq!((judged.wanted, judged.deviation, judged.within), (130.0, 3.0, true));
        assert!(!table.judge(133.1, 20.0, 3.0).unwrap().within);
    }

    #[test]
    fn a_table_out_of_order_or_too_short_is_refused() {
        assert_eq!(
            TensionTable::new(vec![(0.0, 1.0), (5.0, 2.0), (5.0, 3.0)]),
            Err(TensionError::NotRising { row: 3 })
        );
        assert!(TensionTable::new(vec![(0.0, 1.0)]).is_err());
        assert!(TensionTable::new(vec![(0.0, 1.0), (1.0, f64::NAN)]).is_err());
    }

    #[test]
    fn a_composite_airframe_slackens_a_steel_cable_when_warm() {
        assert!(expansion_change_n(2.0e5, 1.0e-6, 11.7e-6, 20.0).unwrap() < 0.0);
    }
}
