//! Normal tolerance factors: mean ± k s covers a share P of the population with confidence gamma.
//!
//! Exact, by integration. Howe's closed form (NIST/SEMATECH e-Handbook 7.2.6.3) is 1.76 too large at n = 2
//! for P = gamma = 95 %, so it is not used; it is kept for the check against the handbook's example.

use super::distribution::{chi_square_quantile, chi_square_upper, normal_cdf, normal_quantile, root_between};
use super::noncentral_t::{gauss_points, noncentral_t_cdf};
use crate::words::figure;
use std::f64::consts::PI;
use std::fmt;

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "tolerance/1";

/// Fewest airframes for which a fleet band says anything (k is 36.5 at n = 2).
pub const FEWEST_FOR_FLEET_BAND: usize = 5;

/// Why there is no factor.
#[derive(Debug, Clone, PartialEq)]
pub enum ToleranceError {
    InsufficientData {
        n: usize,
    },
    /// Share or confidence not strictly between 0 and 1.
    NotAProbability {
        value: f64,
    },
    /// The equation for the factor has no solution in the range searched.
    OutOfRange,
}

impl fmt::Display for ToleranceError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::InsufficientData { n } => f.write_str(&say!(
                "insufficient data: {n} value(s); a tolerance interval needs at least 2",
                n
            )),
            Self::NotAProbability { value } => f.write_str(&say!(
                "{value} is not a share between 0 and 1; give for example 0.95",
                value = figure(value)
            )),
            Self::OutOfRange => {
                f.write_str(say!("no tolerance factor below 1e6 for this share and confidence"))
            }
        }
    }
}

impl std::error::Error for ToleranceError {}

/// k of the limit mean + k s (or mean - k s), `n` values, share `p`, confidence `gamma`.
pub fn one_sided_factor(n: usize, p: f64, gamma: f64) -> Result<f64, ToleranceError> {
    check(n, p, gamma)?;
    let root_n = (n as f64).sqrt();
    let delta = normal_quantile(p) * root_n;
    let nu = (n - 1) as f64;
    root_between(-1e6, 1e6, |t| noncentral_t_cdf(t, nu, delta) - gamma)
        .map(|t| t / root_n)
        .ok_or(ToleranceError::OutOfRange)
}

/// k of the interval mean ± k s, `n` values, share `p`, confidence `gamma`.
pub fn two_sided_factor(n: usize, p: f64, gamma: f64) -> Result<f64, ToleranceError> {
    check(n, p, gamma)?;
    let size = n as f64;
    let nu = size - 1.0;
    // For each error z of the sample mean: half-width, in population standard deviations, that covers p.
    let points: Vec<(f64, f64)> = gauss_points(0.0, 10.0 / size.sqrt(), 24)
        .into_iter()
        .map(|(z, weight)| (covering_half_width(z, p), weight * (-size * z * z / 2.0).exp()))
        .collect();
    let confidence = |k: f64| {
        let over_mean: f64 = points.iter().map(|(r, w)| w * chi_square_upper(nu * r * r / (k * k), nu)).sum();
        2.0 * (size / (2.0 * PI)).sqrt() * over_mean
    };
    root_between(1e-3, 1e6, |k| confidence(k) - gamma).ok_or(ToleranceError::OutOfRange)
}

/// Howe's approximation to the two-sided factor.
pub fn howe_factor(n: usize, p: f64, gamma: f64) -> Result<f64, ToleranceError> {
    check(n, p, gamma)?;
    let nu = (n - 1) as f64;
    let chi_square = chi_square_quantile(1.0 - gamma, nu);
    Ok(normal_quantile((1.0 + p) / 2.0) * (nu * (1.0 + 1.0 / n as f64) / chi_square).sqrt())
}

fn check(n: usize, p: f64, gamma: f64) -> Result<(), ToleranceError> {
    if n < 2 {
        return Err(ToleranceError::InsufficientData { n });
    }
    for value in [p, gamma] {
        if !(value > 0.0 && value < 1.0) {
            return Err(ToleranceError::NotAProbability { value });
        }
    }
    Ok(())
}

/// r with Phi(z + r) - Phi(z - r) = p.
fn covering_half_width(z: f64, p: f64) -> f64 {
    let enough = z.abs() + normal_quantile((1.0 + p) / 2.0) + 1.0;
    root_between(0.0, enough, |r| normal_cdf(z + r) - normal_cdf(z - r) - p).unwrap_or(f64::NAN)
}
