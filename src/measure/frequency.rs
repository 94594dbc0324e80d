//! Natural frequency from counted cycles or recordings, its change, and what the change means as stiffness.
//!
//! Use changes against the same set-up, never absolute values: supports, tyres, fuel, trim masses and temperature all
//! move the frequency. An added repair mass lowers it without any loss of stiffness.

use super::input::{InputError, not_negative, positive};
use super::spectrum::Peak;

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "frequency/1";

/// Standard uncertainty of a hand stopwatch, start and stop together, s. Default of the method, shown in reports.
pub const HAND_STOPWATCH_U_S: f64 = 0.15;
/// Standard uncertainty of a count that was not made aloud in whole cycles.
pub const SILENT_COUNT_U: f64 = 0.3;
/// Relative standard uncertainty of repeating the set-up on another day. Default of the method, shown in reports.
pub const SET_UP_U_REL: f64 = 0.01;

/// A change is found in 8 of 10 cases when it is this many standard uncertainties: 1.96 + 0.84.
const SMALLEST_FOUND_PER_U: f64 = 2.8;

/// One count of cycles over a time.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Count {
    pub cycles: f64,
    pub time_s: f64,
    /// Standard uncertainty of the time, s.
    pub u_time_s: f64,
    /// Standard uncertainty of the count: zero for whole cycles counted aloud, else [`SILENT_COUNT_U`].
    pub u_cycles: f64,
}

/// A frequency with its standard uncertainty, both in Hz.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Frequency {
    pub hz: f64,
    pub u_hz: f64,
    /// Counts or excitations behind it; at least 3 are asked for.
    pub repeats: usize,
}

impl Frequency {
    /// Whether two measurements like this one would show a change of stiffness (as a share, at equal mass).
    ///
    /// 20 cycles at 6.4 Hz on a hand stopwatch have an uncertainty of 5 % and show nothing below some 40 %: when this
    /// answers false for the change that matters, ask for a recording.
    pub fn resolves(&self, stiffness_change: f64, u_set_up: f64) -> bool {
        let u_rel = self.u_hz / self.hz;
        let u = (2.0 * u_rel * u_rel + u_set_up * u_set_up).sqrt();
        2.0 * SMALLEST_FOUND_PER_U * u <= stiffness_change.abs()
    }
}

impl Count {
    /// `f = N/T` with `u(f) = f sqrt((uN/N)^2 + (uT/T)^2)`, both in Hz.
    fn frequency(&self) -> Result<(f64, f64), InputError> {
        let cycles = positive(mark!("counted cycles"), self.cycles, "")?;
        let time = positive(mark!("time"), self.time_s, "s")?;
        let u_count = not_negative(mark!("uncertainty of the count"), self.u_cycles, "")? / cycles;
        let u_time = not_negative(mark!("uncertainty of the time"), self.u_time_s, "s")? / time;
        let hz = cycles / time;
        Ok((hz, hz * u_count.hypot(u_time)))
    }
}

/// Mean and the experimental standard deviation of the mean; zero for one value.
fn mean_and_scatter(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    if values.len() < 2 {
        return (mean, 0.0);
    }
    let variance = values.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (n - 1.0);
    (mean, (variance / n).sqrt())
}

/// Frequency from counts: the mean, with the larger of the mean single uncertainty and the scatter of the mean.
///
/// # Errors
/// No count; cycles or times that are not positive.
pub fn from_counts(counts: &[Count]) -> Result<Frequency, InputError> {
    if counts.is_empty() {
        return Err(InputError::TooFew { what: mark!("counts"), given: 0, needed: 1 });
    }
    let singles = counts.iter().map(Count::frequency).collect::<Result<Vec<_>, _>>()?;
    let values: Vec<f64> = singles.iter().map(|(hz, _)| *hz).collect();
    let (hz, scatter) = mean_and_scatter(&values);
    let u_single = singles.iter().map(|(_, u)| u).sum::<f64>() / singles.len() as f64;
    Ok(Frequency { hz, u_hz: u_single.max(scatter), repeats: counts.len() })
}

/// Frequency from recorded excitations: the mean, with interpolation, noise and the scatter of the mean combined.
///
/// # Errors
/// No recording.
pub fn from_recordings(peaks: &[Peak]) -> Result<Frequency, InputError> {
    if peaks.is_empty() {
        return Err(InputError::TooFew { what: mark!("recordings"), given: 0, needed: 1 });
    }
    let values: Vec<f64> = peaks.iter().map(|p| p.frequency_hz).collect();
    let (hz, scatter) = mean_and_scatter(&values);
    let u_single = (peaks.iter().map(|p| p.u_hz.powi(2)).sum::<f64>() / peaks.len() as f64).sqrt();
    Ok(Frequency { hz, u_hz: u_single.hypot(scatter), repeats: peaks.len() })
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum ChangeVerdict {
    Lower,
    Higher,
    /// No change as large as the smallest that would have been found.
    NoneShown,
    /// Support or mass differ between the two dates.
    CannotTellSetUpDiffers,
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Change {
    /// `ln(new / old)`.
    pub ln_ratio: f64,
    /// Standard uncertainty of `ln_ratio`, set-up included.
    pub u: f64,
    /// Change of stiffness at equal mass, as a share: -0.06 is 6 % softer.
    pub stiffness_change: f64,
    /// The smallest `ln_ratio` that would have been found in 8 of 10 cases.
    pub smallest_found: f64,
    pub verdict: ChangeVerdict,
}

/// Change of stiffness at equal mass for a ratio of frequencies new/old: `(f_new/f_old)^2 - 1`.
pub fn stiffness_change(frequency_ratio: f64) -> f64 {
    // Difference of squares keeps the digits of a small change.
    (frequency_ratio - 1.0) * (frequency_ratio + 1.0)
}

/// Compares two frequencies; changed when `|ln(new/old)|` exceeds twice its uncertainty.
///
/// `u_set_up` is the relative standard uncertainty of repeating the set-up ([`SET_UP_U_REL`]).
///
/// # Errors
/// A frequency that is not positive; a negative uncertainty.
pub fn change(
    new: Frequency,
    old: Frequency,
    u_set_up: f64,
    same_set_up: bool,
) -> Result<Change, InputError> {
    positive(mark!("new frequency"), new.hz, "Hz")?;
    positive(mark!("old frequency"), old.hz, "Hz")?;
    let u_new = not_negative(mark!("uncertainty of the new frequency"), new.u_hz, "Hz")? / new.hz;
    let u_old = not_negative(mark!("uncertainty of the old frequency"), old.u_hz, "Hz")? / old.hz;
    let u = u_new.hypot(u_old).hypot(not_negative(mark!("uncertainty of the set-up"), u_set_up, "")?);
    let ln_ratio = (new.hz / old.hz).ln();
    let verdict = if !same_set_up {
        ChangeVerdict::CannotTellSetUpDiffers
    } else if ln_ratio.abs() <= 2.0 * u {
        ChangeVerdict::NoneShown
    } else if ln_ratio < 0.0 {
        ChangeVerdict::Lower
    } else {
        ChangeVerdict::Higher
    };
    Ok(Change {
        ln_ratio,
        u,
        stiffness_change: stiffness_change(new.hz / old.hz),
        smallest_found: SMALLEST_FOUND_PER_U * u,
        verdict,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn hz(hz: f64, u_hz: f64) -> Frequency {
        Frequency { hz, u_hz, repeats: 3 }
    }

    #[test]
    fn a_change_is_found_beyond_twice_its_uncertainty() {
        let found = |new| change(hz(new, 0.0), hz(10.0, 0.0), 0.01, true).unwrap().verdict;
        assert_eq!(found(9.79), ChangeVerdict::Lower);
        assert_eq!(found(9.81), ChangeVerdict::NoneShown);
        assert_eq!(found(10.21), ChangeVerdict::Higher);
        let other = change(hz(5.0, 0.0), hz(10.0, 0.0), 0.01, false).unwrap();
        assert_eq!(other.verdict, ChangeVerdict::CannotTellSetUpDiffers);
        assert_eq!(other.stiffness_change, -0.75);
    }

    #[test]
    fn a_hand_stopwatch_does_not_resolve_what_matters() {
        let by_hand = Count { cycles: 20.0, time_s: 3.13, u_time_s: HAND_STOPWATCH_U_S, u_cycles: 0.0 };
        let by_hand = from_counts(&[by_hand]).unwrap();
        assert!(!by_hand.resolves(0.15, SET_UP_U_REL));
        assert!(hz(6.4, 0.02).resolves(0.15, SET_UP_U_REL));
    }

    #[test]
    fn the_scatter_of_repeats_replaces_a_smaller_stated_uncertainty() {
        let count = |time_s| Count { cycles: 20.0, time_s, u_time_s: 0.001, u_cycles: 0.0 };
        let frequency = from_counts(&[count(4.0), count(5.0), count(4.5)]).unwrap();
        let (values, mean) = ([5.0, 4.0, 20.0 / 4.5], (5.0 + 4.0 + 20.0 / 4.5) / 3.0);
        let s = (values.iter().map(|v: &f64| (v - mean).powi(2)).sum::<f64>() / 2.0).sqrt();
        assert!((frequency.u_hz - s / 3f64.sqrt()).abs() < 1e-12);
        assert_eq!(frequency.repeats, 3);
        assert!(from_counts(&[]).is_err());
        assert!(from_counts(&[count(0.0)]).is_err());
    }
}
