//! The exact probability that a comparison says "softer", for complete readings.
//!
//! Once by the plain t test, and once with the floor: the spread of references is never taken below their measurement
//! uncertainty, so where measurement scatters about as much as airframes do, few references raise fewer alarms than the
//! t test would. Left out of both: a poorer measurement of the airframe widens the interval a little more, and the
//! measurement uncertainty is itself estimated from a few readings.

use super::{Study, simulate};
use crate::measure::compare::StatedVariation;
use crate::measure::distribution::{chi_square_cdf, f_quantile, normal_cdf};
use crate::measure::noncentral_t::{
    Sides, critical_t, integrate, noncentral_t_cdf, spread_density, spread_range,
};

/// Probabilities of "softer" and of any alarm, by the t test alone and with the floor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Exact {
    pub softer: f64,
    pub alarm: f64,
    pub softer_with_floor: f64,
    pub alarm_with_floor: f64,
}

/// `None` where there is nothing to test with: one reference and no stated variation, or no noise at all.
pub(super) fn exact(study: &Study, references: usize, true_loss: f64) -> Option<Exact> {
    let measurement = simulate::measurement_u(study)?;
    let sigma = super::between_ln(&study.hangar).hypot(study.hangar.set_up_relative).hypot(measurement);
    if sigma == 0.0 || references == 0 {
        return None;
    }
    let shift = -(-true_loss).ln_1p() / (sigma * (1.0 + 1.0 / references as f64).sqrt());
    let at = |shift: f64, floor: f64| match &study.stated {
        Some(stated) => Some(with_statement(study, stated, references, shift, sigma, floor)),
        None => unstated(study, references, shift, floor),
    };
    let both = |floor: f64| {
        let softer = at(shift, floor)?;
        let stiffer = if study.question.sides == Sides::Two { at(-shift, floor)? } else { 0.0 };
        Some((softer, softer + stiffer))
    };
    let ((softer, alarm), (softer_with_floor, alarm_with_floor)) = (both(0.0)?, both(measurement / sigma)?);
    Some(Exact { softer, alarm, softer_with_floor, alarm_with_floor })
}

/// P(T > t) of the noncentral t with n - 1 degrees of freedom; `shift` in standard errors, `floor` in sigmas.
fn unstated(study: &Study, references: usize, shift: f64, floor: f64) -> Option<f64> {
    let nu = (references > 1).then(|| (references - 1) as f64)?;
    let critical = critical_t(study.question.alpha, nu, study.question.sides);
    if floor == 0.0 {
        return Some(1.0 - noncentral_t_cdf(critical, nu, shift));
    }
    // Below the floor the criterion stands still; beyond the step the normal probability is 1, then 0.
    let (low, high) = spread_range(nu);
    let bend = floor.clamp(low, high);
    let edge = |certain: f64| ((shift + certain) / critical).clamp(bend, high);
    let (from, to) = (edge(-9.0), edge(9.0));
    let at_floor = chi_square_cdf(nu * bend * bend, nu) * normal_cdf(shift - critical * floor);
    let above = integrate(bend, from, 64, |w| spread_density(w, nu))
        + integrate(from, to, 64, |w| spread_density(w, nu) * normal_cdf(shift - critical * w));
    Some(at_floor + above)
}

/// The same where the spread is pooled with a stated one, over all spreads that the references may show.
///
/// The statement is not random: it may be right or wrong about `sigma`, and is dropped when the references contradict it.
fn with_statement(
    study: &Study,
    stated: &StatedVariation,
    references: usize,
    shift: f64,
    sigma: f64,
    floor: f64,
) -> f64 {
    let (s0, nu0) = stated.on_scale(study.question.scale);
    let (alpha, sides) = (study.question.alpha, study.question.sides);
    let s0 = s0 / sigma;
    let own_nu = (references - 1) as f64;
    if references == 1 {
        return normal_cdf(shift - critical_t(alpha, nu0, sides) * s0.max(floor));
    }
    let (low, high) = spread_range(own_nu);
    let dropped_above = if references >= 3 { f_quantile(0.975, own_nu, nu0).sqrt() * s0 } else { high };
    let limit = dropped_above.clamp(low, high);
    let nu = nu0 + own_nu;
    let (pooled_t, own_t) = (critical_t(alpha, nu, sides), critical_t(alpha, own_nu, sides));
    let pooled = |w: f64| ((nu0 * s0 * s0 + own_nu * w * w) / nu).sqrt().max(floor);
    integrate(low, limit, 64, |w| spread_density(w, own_nu) * normal_cdf(shift - pooled_t * pooled(w)))
        + integrate(limit, high, 64, |w| spread_density(w, own_nu) * normal_cdf(shift - own_t * w.max(floor)))
}
