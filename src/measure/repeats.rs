//! Repeated readings, type B contributions, and their combination.
//!
//! Source: JCGM 100:2008 4.2, 4.3, 5.1.2, G.4 (clause numbers from memory).

use super::estimate::{Estimate, cut_down, effective_degrees_of_freedom};
use crate::words::{figure, said};
use std::fmt;

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "repeats/1";

/// Mean and spread of one set of readings, in their unit.
#[derive(Debug, Clone, PartialEq)]
pub struct Repeats {
    pub method: &'static str,
    pub n: usize,
    /// The mean, its type A standard uncertainty and degrees of freedom.
    pub mean: Estimate,
    /// Sample standard deviation; `None` for a single reading.
    pub standard_deviation: Option<f64>,
    /// Largest minus smallest.
    pub range: f64,
    pub basis: SpreadBasis,
}

/// What the uncertainty of the mean rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpreadBasis {
    /// The scatter of these readings.
    OwnScatter,
    /// The step of the instrument: the readings scatter less than it can show.
    InstrumentStep,
    /// Earlier repeats with the same card.
    PooledRepeatability,
}

/// Repeatability pooled from earlier repeats of the same card.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pooled {
    pub standard_deviation: f64,
    pub degrees_of_freedom: f64,
}

/// Why there is no result.
#[derive(Debug, Clone, PartialEq)]
pub enum RepeatsError {
    NoReading,
    /// A single reading and no earlier repeats on file.
    SingleReading,
    /// No earlier set had two readings.
    NothingToPool,
    NotFinite {
        index: usize,
    },
    /// A contribution whose uncertainty or degrees of freedom are not possible.
    Component {
        name: String,
    },
    /// No contribution, or all are zero.
    NoComponent,
    /// A confidence that is not between 0 and 1.
    Confidence {
        value: f64,
    },
}

impl fmt::Display for RepeatsError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoReading => f.write_str(say!("insufficient data: no reading was taken")),
            Self::SingleReading => f.write_str(say!("insufficient data: one reading and no earlier repeats of this card; read at least twice")),
            Self::NothingToPool => {
                f.write_str(say!("insufficient data: no earlier set has two or more readings to take the repeatability from"))
            }
            Self::NotFinite { index } => {
                f.write_str(&say!("reading {} is not a finite number; correct it", index + 1))
            }
            Self::Component { name } => f.write_str(&say!("contribution \"{name}\": the uncertainty must be 0 or more and the degrees of freedom above 0", name = said(name))),
            Self::NoComponent => f.write_str(say!("insufficient data: no contribution to the uncertainty is stated")),
            Self::Confidence { value } => {
                f.write_str(&say!("a confidence of {value} is not possible; give for example 0.95", value = figure(value)))
            }
        }
    }
}

impl std::error::Error for RepeatsError {}

/// Evaluates `readings` taken with an instrument of step `resolution` (same unit; 0 if none).
/// A single reading takes its scatter from `pooled`. The mean of readings that all show the same step is not
/// better known than that step: u is never below resolution/sqrt(12), and resolution is not to be added again.
pub fn repeats(readings: &[f64], resolution: f64, pooled: Option<Pooled>) -> Result<Repeats, RepeatsError> {
    finite(readings)?;
    let n = readings.len();
    let step_u = digital_step(resolution.max(0.0));
    let (mean, standard_deviation) = match n {
        0 => return Err(RepeatsError::NoReading),
        1 => (readings[0], None),
        _ => {
            let (mean, s) = mean_and_deviation(readings);
            (mean, Some(s))
        }
    };
    let (u, nu, own_basis) = match (standard_deviation, pooled) {
        (Some(s), _) => (s / (n as f64).sqrt(), (n - 1) as f64, SpreadBasis::OwnScatter),
        (None, Some(p)) => (p.standard_deviation, p.degrees_of_freedom, SpreadBasis::PooledRepeatability),
        (None, None) => return Err(RepeatsError::SingleReading),
    };
    let (u, nu, basis) =
        if u < step_u { (step_u, f64::INFINITY, SpreadBasis::InstrumentStep) } else { (u, nu, own_basis) };
    let range = readings.iter().copied().fold(f64::NEG_INFINITY, f64::max)
        - readings.iter().copied().fold(f64::INFINITY, f64::min);
    Ok(Repeats { method: METHOD, n, mean: Estimate::new(mean, u, nu), standard_deviation, range, basis })
}

/// s_p^2 = sum (n_j - 1) s_j^2 / sum (n_j - 1) over earlier sets of the same card.
pub fn pooled_repeatability(sets: &[Vec<f64>]) -> Result<Pooled, RepeatsError> {
    let (mut squares, mut degrees_of_freedom) = (0.0, 0.0);
    for set in sets.iter().filter(|s| s.len() >= 2) {
        finite(set)?;
        let nu = (set.len() - 1) as f64;
        squares += nu * mean_and_deviation(set).1.powi(2);
        degrees_of_freedom += nu;
    }
    if degrees_of_freedom == 0.0 {
        return Err(RepeatsError::NothingToPool);
    }
    Ok(Pooled { standard_deviation: (squares / degrees_of_freedom).sqrt(), degrees_of_freedom })
}

/// Type B: limits ± `half_width`, every value inside equally likely.
pub fn rectangular(half_width: f64) -> f64 {
    half_width / 3.0_f64.sqrt()
}

/// Type B: limits ± `half_width`, the middle most likely.
pub fn triangular(half_width: f64) -> f64 {
    half_width / 6.0_f64.sqrt()
}

/// Type B: rounding to a digital step or scale division.
pub fn digital_step(step: f64) -> f64 {
    step / 12.0_f64.sqrt()
}

/// Type B: a calibration certificate's expanded uncertainty and coverage factor.
pub fn certificate(expanded: f64, coverage_factor: f64) -> f64 {
    expanded / coverage_factor
}

/// Degrees of freedom of a stated uncertainty whose relative doubt is `relative_doubt` (JCGM 100:2008 G.4.2, from memory).
pub fn degrees_of_freedom_of_doubt(relative_doubt: f64) -> f64 {
    1.0 / (2.0 * relative_doubt * relative_doubt)
}

/// One contribution to a combined uncertainty.
#[derive(Debug, Clone, PartialEq)]
pub struct Component {
    pub name: String,
    /// Standard uncertainty in the contribution's own unit.
    pub standard_uncertainty: f64,
    /// Change of the result per unit of the contribution.
    pub sensitivity: f64,
    /// `INFINITY` for type B unless doubted.
    pub degrees_of_freedom: f64,
}

impl Component {
    /// A contribution in the unit of the result.
    pub fn new(name: &str, standard_uncertainty: f64, degrees_of_freedom: f64) -> Self {
        Self { name: name.to_string(), standard_uncertainty, sensitivity: 1.0, degrees_of_freedom }
    }
}

/// A combined uncertainty, in the unit of the result.
#[derive(Debug, Clone, PartialEq)]
pub struct Combined {
    pub method: &'static str,
    pub standard_uncertainty: f64,
    /// By Welch and Satterthwaite.
    pub effective_degrees_of_freedom: f64,
    /// Cut down to a whole number, as used for the coverage factor.
    pub degrees_of_freedom_used: f64,
    pub coverage_factor: f64,
    pub expanded_uncertainty: f64,
    pub confidence: f64,
}

/// u = sqrt(sum (c_i u_i)^2), Welch-Satterthwaite, U = t u.
pub fn combine(components: &[Component], confidence: f64) -> Result<Combined, RepeatsError> {
    if !(confidence > 0.0 && confidence < 1.0) {
        return Err(RepeatsError::Confidence { value: confidence });
    }
    for c in components {
        let possible = c.standard_uncertainty >= 0.0 && c.degrees_of_freedom > 0.0;
        if !(possible && c.standard_uncertainty.is_finite() && c.sensitivity.is_finite()) {
            return Err(RepeatsError::Component { name: c.name.clone() });
        }
    }
    let parts: Vec<(f64, f64)> =
        components.iter().map(|c| (c.sensitivity * c.standard_uncertainty, c.degrees_of_freedom)).collect();
    let standard_uncertainty = parts.iter().map(|(u, _)| u * u).sum::<f64>().sqrt();
    if standard_uncertainty == 0.0 {
        return Err(RepeatsError::NoComponent);
    }
    let effective = effective_degrees_of_freedom(&parts);
    let used = cut_down(effective);
    let coverage_factor = Estimate::new(0.0, 1.0, used).half_width(confidence);
    Ok(Combined {
        method: METHOD,
        standard_uncertainty,
        effective_degrees_of_freedom: effective,
        degrees_of_freedom_used: used,
        coverage_factor,
        expanded_uncertainty: coverage_factor * standard_uncertainty,
        confidence,
    })
}

/// Mean and sample standard deviation of two or more values.
pub(crate) fn mean_and_deviation(values: &[f64]) -> (f64, f64) {
    let n = values.len() as f64;
    let mean = values.iter().sum::<f64>() / n;
    let squares: f64 = values.iter().map(|v| (v - mean).powi(2)).sum();
    (mean, (squares / (n - 1.0)).sqrt())
}

fn finite(readings: &[f64]) -> Result<(), RepeatsError> {
    match readings.iter().position(|r| !r.is_finite()) {
        Some(index) => Err(RepeatsError::NotFinite { index }),
        None => Ok(()),
    }
}
