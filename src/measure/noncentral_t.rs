//! Noncentral t by integration over the spread: power of a t test and the smallest effect it can show.
//!
//! The approximation by a sum of two t quantiles is 14 % too small at one degree of freedom, and
//! stated spreads have broken degrees of freedom, so a table of whole numbers does not reach.

use super::distribution::{normal_cdf, root_between, t_quantile};
use statrs::function::gamma::ln_gamma;

/// Abscissas and weights of the 8-point Gauss-Legendre rule on [-1, 1], positive half.
const GAUSS_8: [(f64, f64); 4] = [
    (0.183_434_642_495_649_8, 0.362_683_783_378_362),
    (0.525_532_409_916_329, 0.313_706_645_877_887_3),
    (0.796_666_477_413_626_7, 0.222_381_034_453_374_5),
    (0.960_289_856_497_536_3, 0.101_228_536_290_376_3),
];

/// Whether a departure in both senses counts, or only the one named beforehand.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sides {
    One,
    Two,
}

/// Critical t of a test at level `alpha` with `nu` degrees of freedom.
pub fn critical_t(alpha: f64, nu: f64, sides: Sides) -> f64 {
    match sides {
        Sides::One => t_quantile(1.0 - alpha, nu),
        Sides::Two => t_quantile(1.0 - alpha / 2.0, nu),
    }
}

/// P(T <= t) of the noncentral t distribution, `nu` >= 0.5, noncentrality `delta`.
pub fn noncentral_t_cdf(t: f64, nu: f64, delta: f64) -> f64 {
    if t.is_nan() || delta.is_nan() {
        return f64::NAN;
    }
    if nu > 1e6 {
        return normal_cdf(t - delta);
    }
    let (low, high) = spread_range(nu);
    let (low, high) = (low.powf(0.25), high.powf(0.25));
    // w = v^4 removes the singularity at 0 for nu < 1, and smooths the broken power of w for a little more.
    let density = |v: f64| 4.0 * v.powi(3) * spread_density(v.powi(4), nu);
    let (from, to) = step(t, delta);
    let (from, to) = (from.powf(0.25).clamp(low, high), to.powf(0.25).clamp(low, high));
    // Beyond the step the normal probability is 1: towards large spreads for a positive t, else towards small ones.
    let certain = if t >= 0.0 { (to, high) } else { (low, from) };
    let on_step_panels = if from < to { 64 } else { 0 };
    let certain_panels = (64.0 * (certain.1 - certain.0) / (high - low)).ceil() as usize;
    integrate(from, to, on_step_panels, |v| density(v) * normal_cdf(t * v.powi(4) - delta))
        + integrate(certain.0, certain.1, certain_panels, density)
}

/// Density of w = s/sigma with `nu` degrees of freedom: C w^(nu-1) exp(-nu w^2/2).
pub(crate) fn spread_density(w: f64, nu: f64) -> f64 {
    let ln_constant = std::f64::consts::LN_2 + nu / 2.0 * (nu / 2.0).ln() - ln_gamma(nu / 2.0);
    (ln_constant + (nu - 1.0) * w.ln() - nu * w * w / 2.0).exp()
}

/// Outside these values of w = s/sigma there is nothing left of its density.
pub(crate) fn spread_range(nu: f64) -> (f64, f64) {
    let spread = 1.0 / (2.0 * nu).sqrt();
    ((1.0 - 12.0 * spread).max(0.0), 1.0 + 14.0 * spread)
}

/// Spreads w between which Phi(t w - delta) is neither 0 nor 1 in double precision: for a large t a narrow step, which
/// panels over the whole range would miss.
fn step(t: f64, delta: f64) -> (f64, f64) {
    const CERTAIN: f64 = 9.0;
    if t == 0.0 {
        return (0.0, f64::INFINITY);
    }
    // What is left of a NaN (both infinite) becomes 0 here: there is no step then.
    let (a, b) = ((delta - CERTAIN) / t, (delta + CERTAIN) / t);
    (a.min(b).max(0.0), a.max(b).max(0.0))
}

/// Probability that a t test finds a shift of `delta` standard errors.
/// One-sided: the shift has the sense that is looked for.
pub fn power(delta: f64, nu: f64, alpha: f64, sides: Sides) -> f64 {
    let critical = critical_t(alpha, nu, sides);
    let right_side = 1.0 - noncentral_t_cdf(critical, nu, delta);
    match sides {
        Sides::One => right_side,
        Sides::Two => right_side + noncentral_t_cdf(-critical, nu, delta),
    }
}

/// Shift in standard errors that the test finds with probability `wanted_power`.
/// NaN when the request is not a possible one (power not above alpha, degrees of freedom below 0.5).
pub fn detectable_shift(nu: f64, alpha: f64, wanted_power: f64, sides: Sides) -> f64 {
    if !(nu >= 0.5 && alpha > 0.0 && wanted_power > alpha && wanted_power < 1.0) {
        return f64::NAN;
    }
    let start = critical_t(alpha, nu, sides) + 1.0;
    let mut high = start;
    while power(high, nu, alpha, sides) < wanted_power && high < 1e6 {
        high *= 2.0;
    }
    root_between(0.0, high, |d| power(d, nu, alpha, sides) - wanted_power).unwrap_or(f64::NAN)
}

/// Composite 8-point Gauss-Legendre rule.
pub(crate) fn integrate(low: f64, high: f64, panels: usize, f: impl Fn(f64) -> f64) -> f64 {
    gauss_points(low, high, panels).into_iter().map(|(x, weight)| weight * f(x)).sum()
}

/// Abscissas and weights of the composite rule, for integrands with parts worth computing once.
pub(crate) fn gauss_points(low: f64, high: f64, panels: usize) -> Vec<(f64, f64)> {
    let half = (high - low) / (2.0 * panels as f64);
    let mut points = Vec::with_capacity(panels * 8);
    for panel in 0..panels {
        let middle = low + half * (2 * panel + 1) as f64;
        for (x, weight) in GAUSS_8 {
            points.push((middle - half * x, weight * half));
            points.push((middle + half * x, weight * half));
        }
    }
    points
}
