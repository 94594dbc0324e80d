//! Counted events per load cycle: exact comparison of two rates.
//!
//! A count is no defect size, and the bursts of one crack are not independent: the test is on rates in this rig.
//! Sources: exact conditional test and Clopper-Pearson interval (as in R `poisson.test`); Poisson limits by
//! chi-square (Garwood 1936, from memory). p is the doubled tail, so that p and interval agree.

use super::distribution::{
    beta_quantile, binomial_lower, binomial_upper, chi_square_quantile, chi_square_upper, normal_cdf,
    normal_quantile,
};
use super::estimate::Interval;
use crate::words::{figure, said};
use std::fmt;

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "rates/1";

/// Fewest cycles on which a clustering check says anything.
pub const FEWEST_CYCLES: usize = 4;

/// Events counted in an exposure (load cycles, masked time left out).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Count {
    pub events: u64,
    pub exposure: f64,
}

impl Count {
    pub fn rate(&self) -> f64 {
        self.events as f64 / self.exposure
    }
}

/// Ratio of two rates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RateRatio {
    pub method: &'static str,
    /// First rate over second; infinite when the second has no event, NaN when neither has.
    pub ratio: f64,
    /// Interval of the ratio; from 0 to infinity when there is no event.
    pub interval: Interval,
    pub p_value: f64,
}

/// Whether events come in clusters.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clustering {
    /// sum (x - mean)^2/mean.
    pub index: f64,
    pub degrees_of_freedom: usize,
    /// index / degrees of freedom.
    pub phi: f64,
    pub p_value: f64,
}

/// Input that cannot be evaluated.
#[derive(Debug, Clone, PartialEq)]
pub enum RateError {
    /// Exposure not above zero or not finite.
    Exposure {
        value: f64,
    },
    TooFewCycles {
        found: usize,
    },
    /// No event at all: nothing to cluster.
    NoEvent,
    /// The widened interval needs at least one event on each side.
    NoEventOnOneSide,
    Setting {
        name: &'static str,
        value: f64,
    },
}

impl fmt::Display for RateError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Exposure { value } => f.write_str(&say!(
                "insufficient data: {value} load cycles; mark at least one unmasked load cycle",
                value = figure(value)
            )),
            Self::TooFewCycles { found } => f.write_str(&say!(
                "insufficient data: {found} load cycles; the clustering check needs at least {FEWEST_CYCLES}",
                found,
                FEWEST_CYCLES
            )),
            Self::NoEvent => {
                f.write_str(say!("insufficient data: no event was counted, so clustering cannot be checked"))
            }
            Self::NoEventOnOneSide => f.write_str(say!(
                "insufficient data: one recording has no event, so a clustered ratio cannot be given"
            )),
            Self::Setting { name, value } => f.write_str(&say!(
                "the {name} of {value} is outside its range",
                name = said(name),
                value = figure(value)
            )),
        }
    }
}

impl std::error::Error for RateError {}

/// Exact conditional test of equal rates and Clopper-Pearson interval of first over second.
pub fn rate_ratio(first: Count, second: Count, confidence: f64) -> Result<RateRatio, RateError> {
    check(first)?;
    check(second)?;
    check_confidence(confidence)?;
    let total = first.events.saturating_add(second.events);
    let share = first.exposure / (first.exposure + second.exposure);
    let tails = binomial_lower(first.events, total, share).min(binomial_upper(first.events, total, share));
    let p_value = (2.0 * tails).min(1.0);
    let tail = (1.0 - confidence) / 2.0;
    let (k1, k2) = (first.events as f64, second.events as f64);
    let low = if first.events == 0 { 0.0 } else { beta_quantile(tail, k1, k2 + 1.0) };
    let high = if second.events == 0 { 1.0 } else { beta_quantile(1.0 - tail, k1 + 1.0, k2) };
    let to_ratio =
        |p: f64| if p >= 1.0 { f64::INFINITY } else { p / (1.0 - p) * second.exposure / first.exposure };
    let interval = Interval { lower: to_ratio(low), upper: to_ratio(high) };
    Ok(RateRatio { method: METHOD, ratio: first.rate() / second.rate(), interval, p_value })
}

/// One-sided exact p value that the first rate is not above the second.
pub fn p_not_above(first: Count, second: Count) -> Result<f64, RateError> {
    check(first)?;
    check(second)?;
    let share = first.exposure / (first.exposure + second.exposure);
    Ok(binomial_upper(first.events, first.events.saturating_add(second.events), share))
}

/// Exact interval of a Poisson mean from one count (Garwood).
pub fn mean_interval(events: u64, confidence: f64) -> Interval {
    let tail = (1.0 - confidence) / 2.0;
    let k = events as f64;
    let lower = if events == 0 { 0.0 } else { chi_square_quantile(tail, 2.0 * k) / 2.0 };
    Interval { lower, upper: chi_square_quantile(1.0 - tail, 2.0 * k + 2.0) / 2.0 }
}

/// No event in `exposure`: the rate is below this, with the given one-sided confidence.
pub fn upper_rate_without_event(exposure: f64, confidence: f64) -> Result<f64, RateError> {
    check(Count { events: 0, exposure })?;
    check_confidence(confidence)?;
    Ok(-(1.0 - confidence).ln() / exposure)
}

/// Smallest total count that can give p < alpha when every event is on one side.
pub fn fewest_events(first_exposure: f64, second_exposure: f64, alpha: f64) -> Result<u64, RateError> {
    for exposure in [first_exposure, second_exposure] {
        check(Count { events: 0, exposure })?;
    }
    check_confidence(1.0 - alpha)?;
    // The rarer side decides: all events there are the least probable outcome.
    let share = first_exposure.min(second_exposure) / (first_exposure + second_exposure);
    let mut total = 1;
    while 2.0 * share.powi(total) >= alpha {
        total += 1;
    }
    Ok(u64::from(total.unsigned_abs()))
}

/// Index of dispersion of the counts per cycle against chi-square.
pub fn clustering(counts_per_cycle: &[u64]) -> Result<Clustering, RateError> {
    let m = counts_per_cycle.len();
    if m < FEWEST_CYCLES {
        return Err(RateError::TooFewCycles { found: m });
    }
    let mean = counts_per_cycle.iter().map(|&x| x as f64).sum::<f64>() / m as f64;
    if mean == 0.0 {
        return Err(RateError::NoEvent);
    }
    let index = counts_per_cycle.iter().map(|&x| (x as f64 - mean).powi(2)).sum::<f64>() / mean;
    let nu = (m - 1) as f64;
    Ok(Clustering { index, degrees_of_freedom: m - 1, phi: index / nu, p_value: chi_square_upper(index, nu) })
}

/// Ratio of two rates with events that come in clusters: normal interval of the logarithm, widened by sqrt(phi).
/// `phi` below 1 counts as 1.
pub fn clustered_ratio(
    first: Count,
    second: Count,
    phi: f64,
    confidence: f64,
) -> Result<RateRatio, RateError> {
    check(first)?;
    check(second)?;
    check_confidence(confidence)?;
    if !phi.is_finite() {
        return Err(RateError::Setting { name: mark!("clustering factor"), value: phi });
    }
    if first.events == 0 || second.events == 0 {
        return Err(RateError::NoEventOnOneSide);
    }
    let log_ratio = (first.rate() / second.rate()).ln();
    let se = (phi.max(1.0) * (1.0 / first.events as f64 + 1.0 / second.events as f64)).sqrt();
    let half = normal_quantile(0.5 + confidence / 2.0) * se;
    let interval = Interval { lower: (log_ratio - half).exp(), upper: (log_ratio + half).exp() };
    let p_value = (2.0 * normal_cdf(-log_ratio.abs() / se)).min(1.0);
    Ok(RateRatio { method: METHOD, ratio: log_ratio.exp(), interval, p_value })
}

fn check(count: Count) -> Result<(), RateError> {
    if count.exposure.is_finite() && count.exposure > 0.0 {
        Ok(())
    } else {
        Err(RateError::Exposure { value: count.exposure })
    }
}

fn check_confidence(confidence: f64) -> Result<(), RateError> {
    if confidence > 0.0 && confidence < 1.0 {
        Ok(())
    } else {
        Err(RateError::Setting { name: mark!("confidence"), value: confidence })
    }
}
