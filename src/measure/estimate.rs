//! A value that never stands alone: it carries its standard uncertainty and degrees of freedom.

use super::distribution::t_quantile;

/// Confidence used where nothing else is stated (two-sided 95 %).
pub const DEFAULT_CONFIDENCE: f64 = 0.95;

/// A closed interval, in the unit of the quantity it belongs to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Interval {
    pub lower: f64,
    pub upper: f64,
}

impl Interval {
    /// True if `value` lies in the interval, ends included.
    pub fn contains(&self, value: f64) -> bool {
        self.lower <= value && value <= self.upper
    }
}

/// A value with standard uncertainty (same unit) and degrees of freedom (`INFINITY` if exactly known).
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Estimate {
    pub value: f64,
    pub standard_uncertainty: f64,
    pub degrees_of_freedom: f64,
}

impl Estimate {
    pub fn new(value: f64, standard_uncertainty: f64, degrees_of_freedom: f64) -> Self {
        Self { value, standard_uncertainty, degrees_of_freedom }
    }

    /// Half-width t·u of the two-sided interval; Student t with the degrees of freedom as they stand.
    pub fn half_width(&self, confidence: f64) -> f64 {
        t_quantile(0.5 + confidence / 2.0, self.degrees_of_freedom) * self.standard_uncertainty
    }

    /// Two-sided interval value ± t·u.
    pub fn interval(&self, confidence: f64) -> Interval {
        let half = self.half_width(confidence);
        Interval { lower: self.value - half, upper: self.value + half }
    }
}

/// Effective degrees of freedom by Welch and Satterthwaite (JCGM 100:2008 G.4.1, clause from memory):
/// u^4 / sum(u_i^4 / nu_i). `parts` holds (u_i, nu_i), u_i already times its sensitivity coefficient.
/// Returns `INFINITY` when no part has finite degrees of freedom.
pub fn effective_degrees_of_freedom(parts: &[(f64, f64)]) -> f64 {
    let variance: f64 = parts.iter().map(|(u, _)| u * u).sum();
    let doubt: f64 = parts.iter().map(|(u, nu)| u.powi(4) / nu).sum();
    if doubt == 0.0 { f64::INFINITY } else { variance * variance / doubt }
}

/// Degrees of freedom cut down to a whole number, never below 1 (JCGM 100:2008 G.4, from memory).
pub fn cut_down(degrees_of_freedom: f64) -> f64 {
    degrees_of_freedom.floor().max(1.0)
}
