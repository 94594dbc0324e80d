//! A measured value against a limit, with the measurement's uncertainty in between.
//!
//! Guard band g = q u on both sides of the limit: inside it the value decides nothing. Sources: JCGM 106:2012 clauses
//! 7.3 and 8; ISO 14253-1:2017 (95 % by default; from a secondary text, the rest from memory); ILAC-G8:09/2019.
//! A limit value from a maintenance document is taken as exact.

use super::distribution::{normal_cdf, t_quantile};
use super::estimate::{Estimate, cut_down};
use crate::words::{figure, said};
use std::fmt;

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "limits/1";

/// Two limits closer together than this many standard uncertainties cannot be judged by this measurement.
const LEAST_WIDTH_IN_U: f64 = 4.0;

/// Limits of the quantity, in its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Limit {
    Upper(f64),
    Lower(f64),
    Both { lower: f64, upper: f64 },
}

/// The decision rule that the test card states.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum GuardRule {
    /// g = t(p, nu) u: conformance with probability p at the acceptance limit (0.95 is the default).
    Conformance(f64),
    /// g = k u, the expanded uncertainty (k = 2 gives 97.7 %).
    Expanded { coverage_factor: f64 },
    /// g = 0: the limit already contains an allowance for measurement, and the card says so.
    AllowanceInLimit,
}

impl Default for GuardRule {
    fn default() -> Self {
        Self::Conformance(0.95)
    }
}

/// The verdict on one value.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Verdict {
    Within,
    Outside,
    CannotDecide(Undecided),
}

/// Why a value decides nothing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Undecided {
    /// The limit lies inside the uncertainty of the value: repeat, or measure better.
    LimitInsideUncertainty,
    /// The limits are closer together than four standard uncertainties: the measurement is unfit for them.
    MeasurementUnfit,
}

impl fmt::Display for Verdict {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Within => say!("within"),
            Self::Outside => say!("outside"),
            Self::CannotDecide(Undecided::LimitInsideUncertainty) => {
                say!("cannot decide: the limit lies inside the uncertainty; repeat, or measure better")
            }
            Self::CannotDecide(Undecided::MeasurementUnfit) => {
                say!(
                    "cannot decide: the limits are closer together than four standard uncertainties; \
                 a better measurement is needed"
                )
            }
        })
    }
}

/// A value judged against its limit.
#[derive(Debug, Clone, PartialEq)]
pub struct Judgement {
    pub method: &'static str,
    pub value: Estimate,
    pub limit: Limit,
    pub rule: GuardRule,
    /// Half-width of the guard band, in the unit of the quantity.
    pub guard: f64,
    /// Ends of the acceptance interval; infinite where there is no limit.
    pub accept_from: f64,
    pub accept_to: f64,
    /// Probability that the true value keeps the limit (normal distribution).
    pub p_conform: f64,
    pub verdict: Verdict,
}

/// Why nothing can be judged.
#[derive(Debug, Clone, PartialEq)]
pub enum LimitError {
    NotFinite { name: &'static str },
    NegativeUncertainty { value: f64 },
    NoDegreesOfFreedom { value: f64 },
    Swapped { lower: f64, upper: f64 },
    Rule { value: f64 },
}

impl fmt::Display for LimitError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { name } => f.write_str(&say!("the {name} is not a finite number; enter it again", name = said(name))),
            Self::NegativeUncertainty { value } => {
                f.write_str(&say!("a standard uncertainty of {value} is not possible; it must be 0 or more", value = figure(value)))
            }
            Self::NoDegreesOfFreedom { value } => f.write_str(&say!("insufficient data: {value} degrees of freedom; repeat the reading or state the instrument's uncertainty", value = figure(value))),
            Self::Swapped { lower, upper } => {
                f.write_str(&say!("the lower limit {lower} is above the upper limit {upper}; correct the checklist", lower = figure(lower), upper = figure(upper)))
            }
            Self::Rule { value } => f.write_str(&say!("{value} is no decision rule; state a probability from 0.5 to below 1, or a coverage factor of 0 or more", value = figure(value))),
        }
    }
}

impl std::error::Error for LimitError {}

/// Judges `value` against `limit` by `rule`.
pub fn judge(value: Estimate, limit: Limit, rule: GuardRule) -> Result<Judgement, LimitError> {
    let (lower, upper) = match limit {
        Limit::Upper(upper) => (f64::NEG_INFINITY, upper),
        Limit::Lower(lower) => (lower, f64::INFINITY),
        Limit::Both { lower, upper } => (lower, upper),
    };
    check(&value, lower, upper, rule)?;
    let (y, u) = (value.value, value.standard_uncertainty);
    let guard = match rule {
        GuardRule::Conformance(p) => guard_factor(p, value.degrees_of_freedom) * u,
        GuardRule::Expanded { coverage_factor } => coverage_factor * u,
        GuardRule::AllowanceInLimit => 0.0,
    };
    let (accept_from, accept_to) = (lower + guard, upper - guard);
    let verdict = if upper - lower < LEAST_WIDTH_IN_U * u {
        Verdict::CannotDecide(Undecided::MeasurementUnfit)
    } else if accept_from <= y && y <= accept_to {
        Verdict::Within
    } else if y <= lower - guard || y >= upper + guard {
        Verdict::Outside
    } else {
        Verdict::CannotDecide(Undecided::LimitInsideUncertainty)
    };
    let p_conform = p_conform(y, u, lower, upper);
    Ok(Judgement { method: METHOD, value, limit, rule, guard, accept_from, accept_to, p_conform, verdict })
}

/// q = t(p, nu) with the degrees of freedom cut down to a whole number.
pub fn guard_factor(p: f64, degrees_of_freedom: f64) -> f64 {
    t_quantile(p, cut_down(degrees_of_freedom))
}

/// Phi((T_U - y)/u) - Phi((T_L - y)/u); an exactly known value conforms or does not. Limits may be infinite.
pub fn p_conform(y: f64, u: f64, lower: f64, upper: f64) -> f64 {
    if u == 0.0 {
        return if lower <= y && y <= upper { 1.0 } else { 0.0 };
    }
    let below = |limit: f64| if limit.is_infinite() { limit } else { (limit - y) / u };
    let (from, to) = (below(lower), below(upper));
    // Differences are taken in the tail where both numbers are small, so that no digits cancel.
    if from > 0.0 { normal_cdf(-from) - normal_cdf(-to) } else { normal_cdf(to) - normal_cdf(from) }
}

fn check(value: &Estimate, lower: f64, upper: f64, rule: GuardRule) -> Result<(), LimitError> {
    let u = value.standard_uncertainty;
    if !value.value.is_finite() {
        return Err(LimitError::NotFinite { name: mark!("value") });
    }
    if !u.is_finite() {
        return Err(LimitError::NotFinite { name: mark!("standard uncertainty") });
    }
    if lower.is_nan() || upper.is_nan() || lower == f64::INFINITY || upper == f64::NEG_INFINITY {
        return Err(LimitError::NotFinite { name: mark!("limit") });
    }
    if u < 0.0 {
        return Err(LimitError::NegativeUncertainty { value: u });
    }
    if value.degrees_of_freedom.is_nan() || value.degrees_of_freedom < 1.0 {
        return Err(LimitError::NoDegreesOfFreedom { value: value.degrees_of_freedom });
    }
    if lower > upper {
        return Err(LimitError::Swapped { lower, upper });
    }
    match rule {
        GuardRule::Conformance(p) if !(0.5..1.0).contains(&p) => Err(LimitError::Rule { value: p }),
        GuardRule::Expanded { coverage_factor: k } if !(k.is_finite() && k >= 0.0) => {
            Err(LimitError::Rule { value: k })
        }
        _ => Ok(()),
    }
}
