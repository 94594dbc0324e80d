//! Pressure for an indicated airspeed and back, water columns, and the errors of an indicator.

use super::input::{InputError, at_most, finite, not_negative, positive, within};

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "airspeed/1";

/// Standard sea-level pressure, Pa (US Standard Atmosphere 1976).
pub const SEA_LEVEL_PRESSURE_PA: f64 = 101_325.0;
/// Speed of sound at standard sea level, m/s.
pub const SEA_LEVEL_SOUND_MPS: f64 = 340.294;

/// Impact pressure in Pa for an indicated speed in m/s: `p0 ((1 + 0.2 (V/a0)^2)^3.5 - 1)`.
///
/// Source: compressible subsonic relation as tabulated in NASA RP-1046.
///
/// # Errors
/// A negative speed, or one above the speed of sound.
pub fn impact_pressure_pa(speed_mps: f64) -> Result<f64, InputError> {
    within(mark!("airspeed"), speed_mps, "m/s", 0.0, SEA_LEVEL_SOUND_MPS)?;
    let mach_squared = (speed_mps / SEA_LEVEL_SOUND_MPS).powi(2);
    // ln_1p and exp_m1 keep the digits that 1 + small loses at gliding speeds.
    Ok(SEA_LEVEL_PRESSURE_PA * (3.5 * (0.2 * mach_squared).ln_1p()).exp_m1())
}

/// Indicated speed in m/s for an impact pressure in Pa; inverse of [`impact_pressure_pa`].
///
/// # Errors
/// A negative pressure, or one above that of the speed of sound.
pub fn speed_mps(impact_pressure: f64) -> Result<f64, InputError> {
    within(mark!("impact pressure"), impact_pressure, "Pa", 0.0, impact_pressure_pa(SEA_LEVEL_SOUND_MPS)?)?;
    let ratio = (2.0 / 7.0 * (impact_pressure / SEA_LEVEL_PRESSURE_PA).ln_1p()).exp_m1();
    Ok(SEA_LEVEL_SOUND_MPS * (5.0 * ratio).sqrt())
}

/// Which water a manometer's millimetre stands for. The two differ by 0.18 %, more than the last digit of a table
/// above some 40 kt, so a table in mmH2O must say which it uses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum WaterColumn {
    /// 1000 kg/m3 at standard gravity: 9.80665 Pa per mm (NIST SP 811).
    Conventional,
    /// Water at 20 °C: 10350.8 mm per standard atmosphere (constants of NASA RP-1046).
    At20Celsius,
}

impl WaterColumn {
    /// Pa per mm of column.
    pub fn pascal_per_mm(self) -> f64 {
        match self {
            Self::Conventional => 9.806_65,
            Self::At20Celsius => SEA_LEVEL_PRESSURE_PA / 10_350.8,
        }
    }

    /// Height of the column in mm for a pressure in Pa.
    ///
    /// # Errors
    /// A pressure that is not finite.
    pub fn height_mm(self, pressure_pa: f64) -> Result<f64, InputError> {
        Ok(finite(mark!("pressure"), pressure_pa)? / self.pascal_per_mm())
    }

    /// Pressure in Pa for a height of the column in mm.
    ///
    /// # Errors
    /// A height that is not finite.
    pub fn pressure_pa(self, height_mm: f64) -> Result<f64, InputError> {
        Ok(finite(mark!("water column"), height_mm)? * self.pascal_per_mm())
    }
}

/// One point of an indicator check: the pressure applied in Pa and the speed shown in m/s.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IndicatorReading {
    pub applied_pa: f64,
    pub indicated_mps: f64,
}

/// One point judged: all speeds in m/s; `error` is indicated minus true, as on an instrument's card.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct IndicatorPoint {
    pub applied_mps: f64,
    pub indicated_mps: f64,
    pub error_mps: f64,
    /// Whether the error is within the limit, ends included.
    pub within: bool,
}

/// Errors of an airspeed indicator at the points checked, each against one limit in m/s.
///
/// The limit is the type's or the programme's; none is built in.
///
/// # Errors
/// No point; a pressure or speed out of range; a limit that is not positive.
pub fn indicator_errors(
    readings: &[IndicatorReading],
    limit_mps: f64,
) -> Result<Vec<IndicatorPoint>, InputError> {
    positive(mark!("limit of the indicator error"), limit_mps, "m/s")?;
    if readings.is_empty() {
        return Err(InputError::TooFew { what: mark!("points of the indicator check"), given: 0, needed: 1 });
    }
    readings
        .iter()
        .map(|reading| {
            let applied_mps = speed_mps(reading.applied_pa)?;
            let indicated_mps = not_negative(mark!("indicated speed"), reading.indicated_mps, "m/s")?;
            let error_mps = indicated_mps - applied_mps;
            Ok(IndicatorPoint {
                applied_mps,
                indicated_mps,
                error_mps,
                within: at_most(error_mps.abs(), limit_mps, applied_mps),
            })
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    #[test]
    fn an_indicator_is_judged_point_by_point() {
        let at = |speed: f64, shown: f64| IndicatorReading {
            applied_pa: impact_pressure_pa(speed).unwrap(),
            indicated_mps: shown,
        };
        let points = indicator_errors(&[at(30.0, 30.5), at(40.0, 38.0)], 1.0).unwrap();
        assert!((points[0].error_mps - 0.5).abs() < 1e-9 && points[0].within);
        assert!((points[1].error_mps + 2.0).abs() < 1e-9 && !points[1].within);
        assert!(indicator_errors(&[], 1.0).is_err());
        assert!(indicator_errors(&[at(30.0, 30.0)], 0.0).is_err());
    }

    #[test]
    fn speeds_that_no_glider_indicates_are_refused() {
        assert!(impact_pressure_pa(-1.0).is_err());
        assert!(impact_pressure_pa(400.0).is_err());
        assert!(speed_mps(f64::INFINITY).is_err());
    }

    proptest! {
        #[test]
        fn pressure_and_speed_are_inverse(speed in 0.5f64..120.0) {
            let back = speed_mps(impact_pressure_pa(speed).unwrap()).unwrap();
            prop_assert!((back / speed - 1.0).abs() < 1e-12);
        }
    }
}
