//! Static-system leak: pressure altitude, loss and rate, and the verdict of a timed hold.

use super::airspeed::SEA_LEVEL_PRESSURE_PA;
use super::input::{InputError, at_most, finite, not_negative, positive, within};

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "leak/1";

/// Height at which the tropospheric formula would reach zero temperature, ft: 288.15 K / 6.5 K per km.
const SCALE_HEIGHT_FT: f64 = 288.15 / 0.0065 / 0.3048;
/// g0 / (R L) with R = 287.05287 J/(kg K).
const EXPONENT: f64 = 9.806_65 / (287.052_87 * 0.0065);
/// The formula holds in the troposphere only.
const TROPOPAUSE_FT: f64 = 36_089.0;

/// Pressure in Pa at a pressure altitude in ft: `p0 (1 - h/H)^5.25588`.
///
/// Source: US Standard Atmosphere 1976, troposphere.
///
/// # Errors
/// An altitude outside -5000 ft to the tropopause.
pub fn pressure_pa(altitude_ft: f64) -> Result<f64, InputError> {
    within(mark!("pressure altitude"), altitude_ft, "ft", -5_000.0, TROPOPAUSE_FT)?;
    Ok(SEA_LEVEL_PRESSURE_PA * (1.0 - altitude_ft / SCALE_HEIGHT_FT).powf(EXPONENT))
}

/// Pressure altitude in ft for a pressure in Pa; inverse of [`pressure_pa`].
///
/// # Errors
/// A pressure that the formula does not cover.
pub fn pressure_altitude_ft(pressure: f64) -> Result<f64, InputError> {
    within(mark!("static pressure"), pressure, "Pa", pressure_pa(TROPOPAUSE_FT)?, pressure_pa(-5_000.0)?)?;
    Ok(SCALE_HEIGHT_FT * (1.0 - (pressure / SEA_LEVEL_PRESSURE_PA).powf(1.0 / EXPONENT)))
}

/// A hold without pumping: instrument reading at start and end, in one unit, and its duration.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Hold {
    pub start: f64,
    pub end: f64,
    pub seconds: f64,
}

/// The limit: the largest loss (unit of the readings, boundary allowed) in `hold_s` seconds.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct LeakLimit {
    pub loss: f64,
    pub hold_s: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LeakVerdict {
    Within,
    Outside,
    /// The hold does not show it; the text says why and what to do.
    CannotTell(&'static str),
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Leak {
    /// Start minus end, in the unit of the readings.
    pub loss: f64,
    /// Mean loss per minute over the hold.
    pub per_minute: f64,
    pub verdict: LeakVerdict,
}

/// Judges a hold. A leak slows down as the difference falls, so only the loss at the stated time counts, never a rate
/// scaled from a longer or shorter hold: a longer hold within the limit passes, a shorter one beyond it fails.
///
/// # Errors
/// Readings that are not finite; a duration or limit that is not positive.
pub fn judge(hold: Hold, limit: LeakLimit) -> Result<Leak, InputError> {
    finite(mark!("reading at the start"), hold.start)?;
    finite(mark!("reading at the end"), hold.end)?;
    positive(mark!("duration of the hold"), hold.seconds, "s")?;
    positive(mark!("hold time of the limit"), limit.hold_s, "s")?;
    not_negative(mark!("largest loss"), limit.loss, "")?;
    let loss = hold.start - hold.end;
    let small = at_most(loss, limit.loss, hold.start);
    let verdict = if loss < 0.0 {
        LeakVerdict::CannotTell(mark!("the reading rose: stop pumping, let the temperature settle, repeat"))
    } else if small && hold.seconds >= limit.hold_s {
        LeakVerdict::Within
    } else if !small && hold.seconds <= limit.hold_s {
        LeakVerdict::Outside
    } else if hold.seconds < limit.hold_s {
        LeakVerdict::CannotTell(mark!("the hold was shorter than the limit asks: repeat for the full time"))
    } else {
        LeakVerdict::CannotTell(mark!(
            "the hold was longer than the limit asks: repeat and read at the stated time"
        ))
    };
    Ok(Leak { loss, per_minute: loss * 60.0 / hold.seconds, verdict })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    const LIMIT: LeakLimit = LeakLimit { loss: 100.0, hold_s: 60.0 };

    fn verdict(loss: f64, seconds: f64) -> LeakVerdict {
        judge(Hold { start: 1000.0, end: 1000.0 - loss, seconds }, LIMIT).unwrap().verdict
    }

    #[test]
    fn only_the_stated_time_decides() {
        assert_eq!(verdict(90.0, 120.0), LeakVerdict::Within);
        assert_eq!(verdict(110.0, 30.0), LeakVerdict::Outside);
        assert!(matches!(verdict(40.0, 30.0), LeakVerdict::CannotTell(_)));
        assert!(matches!(verdict(150.0, 120.0), LeakVerdict::CannotTell(_)));
        assert!(matches!(verdict(-5.0, 60.0), LeakVerdict::CannotTell(_)));
    }

    #[test]
    fn a_loss_on_the_limit_passes_in_decimals_too() {
        let limit = LeakLimit { loss: 0.7, hold_s: 60.0 };
        let leak = judge(Hold { start: 1.0, end: 0.3, seconds: 60.0 }, limit).unwrap();
        assert_eq!(leak.verdict, LeakVerdict::Within);
    }

    #[test]
    fn impossible_holds_are_refused() {
        assert!(judge(Hold { start: 1000.0, end: 950.0, seconds: 0.0 }, LIMIT).is_err());
        assert!(judge(Hold { start: f64::NAN, end: 950.0, seconds: 60.0 }, LIMIT).is_err());
        assert!(pressure_pa(60_000.0).is_err());
        assert!(pressure_altitude_ft(-1.0).is_err());
    }

    proptest! {
        #[test]
        fn altitude_and_pressure_are_inverse(altitude in -4900.0f64..36000.0) {
            let back = pressure_altitude_ft(pressure_pa(altitude).unwrap()).unwrap();
            prop_assert!((back - altitude).abs() < 1e-6);
        }
    }
}
