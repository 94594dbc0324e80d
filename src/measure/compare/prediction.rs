//! The prediction interval: where one more sound airframe of the type would be found.
//!
//! ```text
//! s^2 = (nu0 s0^2 + (n-1) s_n^2)/(nu0 + n - 1)     nu = nu0 + n - 1     H = t(nu) s sqrt(1 + 1/n)
//! ```
//!
//! Sources: ISO 16269-8:2004 clause 5 (from memory beyond scope and contents); pooling of a stated variation: Gelman
//! et al., Bayesian Data Analysis, ch. 3 (from memory); degrees of freedom of a stated value: JCGM 100:2008 G.4.2 (from
//! memory).

use super::gate::{Gated, Reference, ShownBeside, TestIdentity, UsedAirframe, gate};
use super::{CannotTell, METHOD, Question, Scale, Verdict};
use crate::measure::distribution::f_quantile;
use crate::measure::estimate::{Estimate, Interval};
use crate::measure::noncentral_t::{critical_t, detectable_shift};
use crate::measure::repeats::{degrees_of_freedom_of_doubt, mean_and_deviation};
use crate::measure::tolerance::{FEWEST_FOR_FLEET_BAND, two_sided_factor};
use crate::words::{figure, said};
use std::fmt;

/// Relative doubt of a stated variation where none is given.
pub const DEFAULT_RELATIVE_DOUBT: f64 = 0.25;

/// How much sound airframes of the type differ, stated beforehand by a named person. Printed beside every answer.
#[derive(Debug, Clone, PartialEq)]
pub struct StatedVariation {
    /// Coefficient of variation between airframes (logarithmic scale) or standard deviation in the quantity's unit.
    pub spread: f64,
    /// Relative doubt R of that spread; nu0 = 1/(2 R^2).
    pub relative_doubt: f64,
    /// Measurement standard uncertainty: relative (logarithmic scale) or in the quantity's unit.
    pub measurement_u: f64,
    pub stated_by: String,
}

impl StatedVariation {
    /// (s0, nu0) on the scale.
    pub fn on_scale(&self, scale: Scale) -> (f64, f64) {
        let between_squared = match scale {
            Scale::Logarithmic => (self.spread * self.spread).ln_1p(),
            Scale::Plain => self.spread * self.spread,
        };
        let s0 = (between_squared + self.measurement_u * self.measurement_u).sqrt();
        (s0, degrees_of_freedom_of_doubt(self.relative_doubt))
    }

    fn possible(&self) -> bool {
        let positive = |x: f64| x.is_finite() && x > 0.0;
        let not_negative = self.measurement_u.is_finite() && self.measurement_u >= 0.0;
        // A doubt above 100 % is no statement.
        positive(self.spread) && positive(self.relative_doubt) && self.relative_doubt <= 1.0 && not_negative
    }
}

/// Where 95 % of the type lie, with 95 % confidence; given from 5 airframes on.
#[derive(Debug, Clone, PartialEq)]
pub struct FleetBand {
    pub interval: Interval,
    pub factor: f64,
}

/// One airframe against its references. Values in the quantity's unit unless "on the scale" is said.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    pub method: &'static str,
    pub question: Question,
    pub value: Estimate,
    /// Number of reference airframes.
    pub n: usize,
    pub verdict: Verdict,
    /// Mean of the references (geometric on the logarithmic scale).
    pub reference_mean: Option<f64>,
    /// Spread s used, on the scale, and its degrees of freedom.
    pub spread: Option<f64>,
    pub degrees_of_freedom: Option<f64>,
    /// value - mean, on the scale.
    pub difference: Option<f64>,
    /// H, on the scale.
    pub half_width: Option<f64>,
    /// Where one more sound airframe would be found; one-sided questions leave the other end open.
    pub prediction_interval: Option<Interval>,
    /// Smallest difference that would have been found, on the scale, and as a loss.
    pub smallest_shift: Option<f64>,
    pub smallest_loss: Option<f64>,
    pub fleet_band: Option<FleetBand>,
    pub stated: Option<StatedVariation>,
    /// The references scatter more than the statement allows: it was dropped.
    pub statement_contradicted: bool,
    /// The references agree better than they were measured: their measurement uncertainty was taken as spread.
    pub spread_from_measurement: bool,
    pub used: Vec<UsedAirframe>,
    pub shown_beside: Vec<ShownBeside>,
}

impl Comparison {
    /// Difference as a share of the reference mean (logarithmic scale) or in the unit (plain), signed.
    pub fn relative_difference(&self) -> Option<f64> {
        self.difference.map(|d| match self.question.scale {
            Scale::Logarithmic => d.exp_m1(),
            Scale::Plain => d,
        })
    }
}

/// Input that cannot be compared.
#[derive(Debug, Clone, PartialEq)]
pub enum CompareError {
    /// The new value or its uncertainty is not usable on the scale.
    Value {
        value: f64,
    },
    Question {
        name: &'static str,
        value: f64,
    },
    Statement,
}

impl fmt::Display for CompareError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Value { value } => f.write_str(&say!("the value {value} cannot be compared; it and its uncertainty must be finite, and above zero for a ratio", value = figure(value))),
            Self::Question { name, value } => {
                f.write_str(&say!("the card's {name} of {value} is outside its range; correct the checklist", name = said(name), value = figure(value)))
            }
            Self::Statement => f.write_str(say!("the stated variation needs a spread above 0, a doubt above 0 and at most 1, \
                 and a measurement uncertainty of 0 or more")),
        }
    }
}

impl std::error::Error for CompareError {}

/// Gates the references and compares.
pub fn compare(
    airframe: &str,
    test: &TestIdentity,
    value: Estimate,
    references: &[Reference],
    stated: Option<&StatedVariation>,
    question: &Question,
) -> Result<Comparison, CompareError> {
    compare_gated(value, gate(airframe, test, references, question.scale), stated, question)
}

/// Compares with references that are already gated.
pub fn compare_gated(
    value: Estimate,
    gated: Gated,
    stated: Option<&StatedVariation>,
    question: &Question,
) -> Result<Comparison, CompareError> {
    let factors = Factors {
        shift: &|nu| detectable_shift(nu, question.alpha, question.power, question.sides),
        band: &|n| two_sided_factor(n, 0.95, 0.95).ok(),
    };
    compare_with(value, gated, stated, question, &factors)
}

/// The two factors that cost an integration; a study of many comparisons passes remembered ones.
pub(crate) struct Factors<'a> {
    /// Smallest shift found, in standard errors, for degrees of freedom.
    pub shift: &'a dyn Fn(f64) -> f64,
    /// Tolerance factor of the fleet band for a number of airframes.
    pub band: &'a dyn Fn(usize) -> Option<f64>,
}

pub(crate) fn compare_with(
    value: Estimate,
    gated: Gated,
    stated: Option<&StatedVariation>,
    question: &Question,
    factors: &Factors,
) -> Result<Comparison, CompareError> {
    check(&value, stated, question)?;
    let mut result = empty(value, gated, stated, question);
    let scale = question.scale;
    let y: Vec<f64> = result.used.iter().map(|a| scale.forward(a.value)).collect();
    if y.is_empty() {
        return Ok(result);
    }
    let n = y.len() as f64;
    let mean = y.iter().sum::<f64>() / n;
    let difference = scale.forward(value.value) - mean;
    result.reference_mean = Some(scale.back(mean));
    result.difference = Some(difference);
    let u_squared = |v: f64, u: f64| scale.uncertainty(v, u).powi(2);
    let u_ref_squared =
        result.used.iter().map(|a| u_squared(a.value, a.standard_uncertainty)).sum::<f64>() / n;
    let Some(spread) = spread(&y, stated.map(|s| s.on_scale(scale)), u_ref_squared) else {
        result.verdict = Verdict::CannotTell(CannotTell::InsufficientData);
        return Ok(result);
    };
    result.statement_contradicted = spread.contradicted;
    result.spread_from_measurement = spread.from_measurement;
    let poorer = (u_squared(value.value, value.standard_uncertainty) - u_ref_squared).max(0.0);
    let u_difference = (spread.s * spread.s * (1.0 + 1.0 / n) + poorer).sqrt();
    let half = critical_t(question.alpha, spread.nu, question.sides) * u_difference;
    let shift = (factors.shift)(spread.nu) * u_difference;
    result.spread = Some(spread.s);
    result.degrees_of_freedom = Some(spread.nu);
    result.half_width = Some(half);
    result.prediction_interval = Some(interval(mean, half, question));
    result.smallest_shift = Some(shift);
    result.smallest_loss = Some(question.loss_from_shift(shift));
    result.verdict = question.verdict(question.softening(difference), half, shift);
    result.fleet_band = fleet_band(&y, scale, factors);
    Ok(result)
}

fn check(
    value: &Estimate,
    stated: Option<&StatedVariation>,
    question: &Question,
) -> Result<(), CompareError> {
    let u = value.standard_uncertainty;
    if !(question.scale.accepts(value.value) && u.is_finite() && u >= 0.0) {
        return Err(CompareError::Value { value: value.value });
    }
    if let Some((name, value)) = question.fault() {
        return Err(CompareError::Question { name, value });
    }
    if stated.is_some_and(|s| !s.possible()) {
        return Err(CompareError::Statement);
    }
    Ok(())
}

fn empty(value: Estimate, gated: Gated, stated: Option<&StatedVariation>, question: &Question) -> Comparison {
    Comparison {
        method: METHOD,
        question: question.clone(),
        value,
        n: gated.used.len(),
        verdict: Verdict::CannotTell(CannotTell::NoReference),
        reference_mean: None,
        spread: None,
        degrees_of_freedom: None,
        difference: None,
        half_width: None,
        prediction_interval: None,
        smallest_shift: None,
        smallest_loss: None,
        fleet_band: None,
        stated: stated.cloned(),
        statement_contradicted: false,
        spread_from_measurement: false,
        used: gated.used,
        shown_beside: gated.shown_beside,
    }
}

struct Spread {
    s: f64,
    nu: f64,
    contradicted: bool,
    from_measurement: bool,
}

/// The sample's spread pooled with the stated one; nothing for one reference and no statement.
fn spread(y: &[f64], stated: Option<(f64, f64)>, u_ref_squared: f64) -> Option<Spread> {
    let own_nu = (y.len() - 1) as f64;
    let own_variance = if y.len() > 1 { mean_and_deviation(y).1.powi(2) } else { 0.0 };
    let contradicted = y.len() >= 3
        && stated.is_some_and(|(s0, nu0)| own_variance / (s0 * s0) > f_quantile(0.975, own_nu, nu0));
    let (s0, nu0) = stated.filter(|_| !contradicted).unwrap_or((0.0, 0.0));
    let nu = nu0 + own_nu;
    if nu == 0.0 {
        return None;
    }
    let variance = (nu0 * s0 * s0 + own_nu * own_variance) / nu;
    Some(Spread {
        s: variance.max(u_ref_squared).sqrt(),
        nu,
        contradicted,
        from_measurement: variance < u_ref_squared,
    })
}

fn interval(mean: f64, half: f64, question: &Question) -> Interval {
    let back = |y: f64| question.scale.back(y);
    let mut interval = Interval { lower: back(mean - half), upper: back(mean + half) };
    if question.sides == crate::measure::noncentral_t::Sides::One {
        match question.softer_when {
            super::SofterWhen::Lower => interval.upper = f64::INFINITY,
            super::SofterWhen::Higher => interval.lower = back(f64::NEG_INFINITY),
        }
    }
    interval
}

fn fleet_band(y: &[f64], scale: Scale, factors: &Factors) -> Option<FleetBand> {
    if y.len() < FEWEST_FOR_FLEET_BAND {
        return None;
    }
    let (mean, s) = mean_and_deviation(y);
    let factor = (factors.band)(y.len())?;
    let interval = Interval { lower: scale.back(mean - factor * s), upper: scale.back(mean + factor * s) };
    Some(FleetBand { interval, factor })
}
