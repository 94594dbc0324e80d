//! Detection study: how often a comparison with n references finds a true loss of stiffness, and how often it
//! gives a false alarm, on simulated hangar data, beside the exact power of the t test.
//!
//! Every noise level is an argument and none is a fact of the trade: the study says what follows from them. It judges
//! with the same functions that judge an inspection, not with copies.

mod random;
mod simulate;
mod theory;

pub use random::SplitMix64;
pub use theory::Exact;

use super::compare::{
    CompareError, Factors, Gated, Question, StatedVariation, UsedAirframe, Verdict, compare_with,
};
use super::estimate::Estimate;
use super::noncentral_t::{Sides, detectable_shift};
use crate::words::{figure, said};
use std::cell::RefCell;
use std::collections::HashMap;
use std::fmt;

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "detection/1";

/// Noise of the simulated hangar; all levels are standard deviations unless said otherwise.
#[derive(Debug, Clone, PartialEq)]
pub struct Hangar {
    /// Load applied against load written down, N.
    pub load_noise_n: f64,
    pub gauge_noise_mm: f64,
    /// Step to which the gauge is read, mm; 0 for none.
    pub gauge_step_mm: f64,
    /// Stiffness as set up against true stiffness, relative.
    pub set_up_relative: f64,
    /// Coefficient of variation between sound airframes.
    pub between_airframe_cv: f64,
    /// Width of the loop, mm.
    pub hysteresis_mm: f64,
    pub lost_motion_mm: f64,
    /// Probability that a reading is missing.
    pub missing_share: f64,
}

/// What is simulated.
#[derive(Debug, Clone, PartialEq)]
pub struct Study {
    pub hangar: Hangar,
    /// Mean stiffness of sound airframes, N/mm.
    pub stiffness_n_per_mm: f64,
    /// Load levels of the card, N; each is read up and down, in both directions.
    pub load_levels_n: Vec<f64>,
    /// Numbers of reference airframes, for example 1, 2, 3, 5, 10.
    pub references: Vec<usize>,
    /// True losses of stiffness as shares; 0 gives the false alarms.
    pub losses: Vec<f64>,
    pub question: Question,
    pub stated: Option<StatedVariation>,
    /// Inspections simulated for each number of references and loss.
    pub repetitions: usize,
    pub seed: u64,
}

/// How the simulated inspections of one kind ended; the counts add up to `repetitions`.
#[derive(Debug, Clone, PartialEq)]
pub struct Outcome {
    pub references: usize,
    pub true_loss: f64,
    pub repetitions: usize,
    pub softer: usize,
    pub stiffer: usize,
    pub consistent: usize,
    pub cannot_tell: usize,
    /// The readings left gave no stiffness.
    pub no_result: usize,
    /// Exact probabilities for complete readings; `None` where there is nothing to test with.
    pub exact: Option<Exact>,
}

impl Outcome {
    /// Share of "softer" and its binomial standard uncertainty.
    pub fn softer_share(&self) -> (f64, f64) {
        share(self.softer, self.repetitions)
    }

    /// Share of "softer" or "stiffer" and its binomial standard uncertainty; a false alarm when nothing is lost.
    pub fn alarm_share(&self) -> (f64, f64) {
        share(self.softer + self.stiffer, self.repetitions)
    }
}

fn share(count: usize, of: usize) -> (f64, f64) {
    let p = count as f64 / of as f64;
    (p, (p * (1.0 - p) / of as f64).sqrt())
}

/// A study that cannot be run.
#[derive(Debug, Clone, PartialEq)]
pub enum DetectionError {
    Argument { name: &'static str, value: f64, wanted: &'static str },
    Compare(CompareError),
}

impl fmt::Display for DetectionError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Argument { name, value, wanted } => f.write_str(&say!(
                "{name} is {value}; it must be {wanted}",
                name = said(name),
                value = figure(value),
                wanted = said(wanted)
            )),
            Self::Compare(error) => write!(f, "{error}"),
        }
    }
}

impl std::error::Error for DetectionError {}

impl From<CompareError> for DetectionError {
    fn from(error: CompareError) -> Self {
        Self::Compare(error)
    }
}

/// Runs the study; outcomes in the order of `references`, within each in the order of `losses`.
pub fn run(study: &Study) -> Result<Vec<Outcome>, DetectionError> {
    check(study)?;
    let remembered: RefCell<HashMap<u64, f64>> = RefCell::new(HashMap::new());
    let q = &study.question;
    let shift = |nu: f64| {
        let mut remembered = remembered.borrow_mut();
        *remembered.entry(nu.to_bits()).or_insert_with(|| detectable_shift(nu, q.alpha, q.power, q.sides))
    };
    // The fleet band plays no part in the verdict.
    let factors = Factors { shift: &shift, band: &|_| None };
    let mut outcomes = Vec::new();
    for &references in &study.references {
        for &true_loss in &study.losses {
            // Every kind starts from the same seed: kinds differ by what is studied and not by the draw.
            let mut random = SplitMix64::new(study.seed);
            let mut outcome = Outcome {
                references,
                true_loss,
                repetitions: study.repetitions,
                softer: 0,
                stiffer: 0,
                consistent: 0,
                cannot_tell: 0,
                no_result: 0,
                exact: theory::exact(study, references, true_loss),
            };
            for _ in 0..study.repetitions {
                match inspect(study, references, true_loss, &factors, &mut random)? {
                    None => outcome.no_result += 1,
                    Some(Verdict::Softer) => outcome.softer += 1,
                    Some(Verdict::Stiffer) => outcome.stiffer += 1,
                    Some(Verdict::Consistent) => outcome.consistent += 1,
                    Some(Verdict::CannotTell(_)) => outcome.cannot_tell += 1,
                }
            }
            outcomes.push(outcome);
        }
    }
    Ok(outcomes)
}

/// One inspection: references measured, the airframe measured, compared.
fn inspect(
    study: &Study,
    references: usize,
    true_loss: f64,
    factors: &Factors,
    random: &mut SplitMix64,
) -> Result<Option<Verdict>, DetectionError> {
    let mut used = Vec::with_capacity(references);
    for number in 0..references {
        let true_stiffness = sound_stiffness(study, random);
        if let Some(k) = simulate::measure(study, true_stiffness, random) {
            used.push(UsedAirframe {
                airframe: number.to_string(),
                value: k.value,
                standard_uncertainty: k.standard_uncertainty,
                measurements: Vec::new(),
            });
        }
    }
    let true_stiffness = sound_stiffness(study, random) * (1.0 - true_loss);
    let Some(k) = simulate::measure(study, true_stiffness, random) else { return Ok(None) };
    let value = Estimate::new(k.value, k.standard_uncertainty, k.degrees_of_freedom);
    let gated = Gated { used, shown_beside: Vec::new() };
    Ok(Some(compare_with(value, gated, study.stated.as_ref(), &study.question, factors)?.verdict))
}

/// Lognormal about the type's stiffness.
fn sound_stiffness(study: &Study, random: &mut SplitMix64) -> f64 {
    study.stiffness_n_per_mm * random.normal(between_ln(&study.hangar)).exp()
}

fn between_ln(hangar: &Hangar) -> f64 {
    (hangar.between_airframe_cv * hangar.between_airframe_cv).ln_1p().sqrt()
}

fn check(study: &Study) -> Result<(), DetectionError> {
    let h = &study.hangar;
    let noise = [
        (mark!("load noise"), h.load_noise_n),
        (mark!("gauge noise"), h.gauge_noise_mm),
        (mark!("gauge step"), h.gauge_step_mm),
        (mark!("set-up variation"), h.set_up_relative),
        (mark!("variation between airframes"), h.between_airframe_cv),
        ("hysteresis", h.hysteresis_mm),
        (mark!("lost motion"), h.lost_motion_mm),
    ];
    for (name, value) in noise {
        if !(value.is_finite() && value >= 0.0) {
            return Err(DetectionError::Argument { name, value, wanted: mark!("0 or more") });
        }
    }
    let wanted = mark!("from 0 to below 1");
    if !(0.0..1.0).contains(&h.missing_share) {
        return Err(DetectionError::Argument {
            name: mark!("share of missing readings"),
            value: h.missing_share,
            wanted,
        });
    }
    if let Some(&value) = study.losses.iter().find(|l| !(0.0..1.0).contains(*l)) {
        return Err(DetectionError::Argument { name: mark!("true loss"), value, wanted });
    }
    let wanted = mark!("above 0");
    let stiffness = study.stiffness_n_per_mm;
    if !(stiffness.is_finite() && stiffness > 0.0) {
        return Err(DetectionError::Argument { name: mark!("stiffness"), value: stiffness, wanted });
    }
    if let Some(&value) = study.load_levels_n.iter().find(|l| !(l.is_finite() && **l > 0.0)) {
        return Err(DetectionError::Argument { name: mark!("load level"), value, wanted });
    }
    let levels = study.load_levels_n.len();
    if levels < 2 {
        let wanted = mark!("at least 2");
        return Err(DetectionError::Argument {
            name: mark!("number of load levels"),
            value: levels as f64,
            wanted,
        });
    }
    if study.repetitions == 0 {
        return Err(DetectionError::Argument {
            name: mark!("number of repetitions"),
            value: 0.0,
            wanted: mark!("at least 1"),
        });
    }
    Ok(())
}

impl Study {
    /// A study of stiffness with the usual numbers of references; the noise is the caller's.
    pub fn of(hangar: Hangar, stiffness_n_per_mm: f64, load_levels_n: Vec<f64>, seed: u64) -> Self {
        Self {
            hangar,
            stiffness_n_per_mm,
            load_levels_n,
            references: vec![1, 2, 3, 5, 10],
            losses: vec![0.0, 0.1, 0.2, 0.3, 0.5],
            question: Question { sides: Sides::Two, ..Question::stiffness() },
            stated: None,
            repetitions: 1000,
            seed,
        }
    }
}
