//! Push or pull test: stiffness, lost motion, hysteresis and residual set from a load-deflection series.
//!
//! One regression of deflection on load (the load is the better known quantity) for both directions and branches:
//!
//! ```text
//! d = z + c F + L (s/2) + h s q + e      s = +1, -1 direction;  q = -1/2 loading, +1/2 unloading
//! ```
//!
//! z zero offset (mm), c compliance (mm/N), L lost motion (mm) between the two directions' mid-lines, h hysteresis
//! width (mm). Dry friction shifts loading and unloading lines apart; the midway coding keeps it out of L.
//! Source: regression with indicator columns (Draper and Smith, ch. 14, from memory). Loads in N, lengths in mm.
//!
//! A push test can damage a sound structure: the type's manual sets the ceiling ([`ceiling`]).

pub mod ceiling;
mod fit;
mod linearity;
mod loop_area;
mod missing;
mod readings;
mod summary;

pub use ceiling::{AboveCeiling, check_ceiling};
pub use linearity::Linearity;
pub use loop_area::{LoopArea, LoopBasis, ResidualSet, SetBasis, loop_area, loop_area_uncertainty};
pub use missing::{LoadDeflectionError, Missing, NotGiven, Quantity};
pub use readings::{Branch, Direction, LeftOut, LeftOutReason, Reading};

use super::estimate::{DEFAULT_CONFIDENCE, Estimate, Interval};

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "load-deflection/1";

/// Fewer degrees of freedom than this make a result "weak"; it is printed beside the value.
pub const WEAK_BELOW_DF: usize = 3;

/// How a series is evaluated. Defaults are choices of this program, not of a standard; print them in the report.
#[derive(Debug, Clone, PartialEq)]
pub struct Settings {
    /// Step of the deflection gauge, mm.
    pub resolution_mm: f64,
    /// Step of the second gauge at the support, mm; used only when the readings carry support movement.
    pub support_resolution_mm: f64,
    /// Readings below this share of the largest load are not fitted: the play is not yet taken up.
    pub take_up_fraction: f64,
    /// Take-up load of the test card, N; the larger of this and the share above counts.
    pub take_up_min_n: f64,
    /// Unloading readings above this share of their half cycle's peak are not fitted: the friction has not
    /// reversed there yet. `None` fits them all.
    pub unloading_limit_fraction: Option<f64>,
    /// Angle between the pull and the square direction, degrees.
    pub pull_angle_deg: f64,
    /// Relative standard uncertainty of the load scale; it moves all points together.
    pub load_scale_relative_u: f64,
    /// Two-sided confidence of the intervals.
    pub confidence: f64,
    /// Level of the test for different slopes.
    pub alpha: f64,
}

impl Settings {
    /// Default settings for a gauge with the given step.
    pub fn for_resolution(resolution_mm: f64) -> Self {
        Self {
            resolution_mm,
            support_resolution_mm: resolution_mm,
            take_up_fraction: 0.10,
            take_up_min_n: 0.0,
            unloading_limit_fraction: Some(0.80),
            pull_angle_deg: 0.0,
            load_scale_relative_u: 0.0,
            confidence: DEFAULT_CONFIDENCE,
            alpha: 0.05,
        }
    }
}

/// Stiffness in N/mm. The interval is the inverted interval of the compliance, so it is not symmetric.
#[derive(Debug, Clone, PartialEq)]
pub struct Stiffness {
    pub estimate_n_per_mm: Estimate,
    pub interval_n_per_mm: Interval,
}

/// The slopes of the two directions and the test whether they are alike.
#[derive(Debug, Clone, PartialEq)]
pub struct SlopeComparison {
    pub positive_compliance_mm_per_n: Estimate,
    pub negative_compliance_mm_per_n: Estimate,
    pub positive: Result<Stiffness, NotGiven>,
    pub negative: Result<Stiffness, NotGiven>,
    /// k(positive)/k(negative) - 1.
    pub relative_difference: f64,
    pub f_statistic: f64,
    /// (1, degrees of freedom of the fit with two slopes).
    pub degrees_of_freedom: (usize, usize),
    pub p_value: f64,
    /// True: report two slopes, do not use the common one.
    pub differ: bool,
}

/// What the lost-motion value stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LostMotionBasis {
    /// Midway between loading and unloading: free of the hysteresis width.
    Midway,
    /// Loading only: understates the lost motion by the hysteresis width.
    LoadingOnly,
    /// Unloading only: overstates the lost motion by the hysteresis width.
    UnloadingOnly,
}

/// The answer on lost motion.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LostMotionAnswer {
    /// The interval excludes zero.
    Found,
    /// The interval includes zero: no lost motion larger than this, mm.
    NoneLargerThan(f64),
}

/// Lost motion in mm. A negative estimate is left as it is.
#[derive(Debug, Clone, PartialEq)]
pub struct LostMotion {
    pub estimate_mm: Estimate,
    pub interval_mm: Interval,
    pub basis: LostMotionBasis,
    pub answer: LostMotionAnswer,
}

/// Hysteresis width in mm.
#[derive(Debug, Clone, PartialEq)]
pub struct HysteresisWidth {
    pub estimate_mm: Estimate,
    pub interval_mm: Interval,
}

/// Everything found in one series.
#[derive(Debug, Clone, PartialEq)]
pub struct LoadDeflection {
    pub method: &'static str,
    pub settings: Settings,
    /// Readings that were not fitted, with the reason; positions counted from 0.
    pub left_out: Vec<LeftOut>,
    pub points_used: usize,
    pub degrees_of_freedom: usize,
    /// Scatter about the fitted lines, mm.
    pub residual_sd_mm: f64,
    /// Step of the gauge(s) / sqrt(12), mm: the scatter is never taken smaller.
    pub resolution_floor_mm: f64,
    /// The larger of the two, on which every uncertainty rests, mm.
    pub s_used_mm: f64,
    pub zero_mm: Estimate,
    /// Common to both directions; see `slopes` before using it.
    pub compliance_mm_per_n: Estimate,
    pub compliance_interval_mm_per_n: Interval,
    /// Common to both directions; use [`LoadDeflection::stiffness`] to be refused when the directions differ.
    pub common_stiffness: Result<Stiffness, NotGiven>,
    pub slopes: Result<SlopeComparison, NotGiven>,
    pub lost_motion: Result<LostMotion, NotGiven>,
    pub hysteresis_width: Result<HysteresisWidth, NotGiven>,
    pub loop_area: Result<LoopArea, NotGiven>,
    pub residual_set: Result<ResidualSet, NotGiven>,
    pub linearity: Linearity,
    /// Fewer than [`WEAK_BELOW_DF`] degrees of freedom.
    pub weak: bool,
}

impl LoadDeflection {
    /// The common stiffness, refused when the two directions differ.
    pub fn stiffness(&self) -> Result<&Stiffness, NotGiven> {
        if self.slopes.as_ref().is_ok_and(|s| s.differ) {
            return Err(NotGiven { quantity: Quantity::Slope, missing: Missing::DirectionsDiffer });
        }
        self.common_stiffness.as_ref().map_err(Clone::clone)
    }

    /// The result in plain words, one statement a line, units written out.
    pub fn summary(&self) -> String {
        summary::in_words(self)
    }
}

/// Evaluates a series given in time order. Loads carry their direction as sign; deflections have the same sign sense.
pub fn analyse(readings: &[Reading], settings: &Settings) -> Result<LoadDeflection, LoadDeflectionError> {
    let series = readings::prepare(readings, settings)?;
    let models = fit::models(&series)?;
    let common = &models.common;
    let confidence = settings.confidence;
    let compliance = common.compliance();
    let compliance_interval = compliance.interval(confidence);
    if compliance_interval.upper < 0.0 {
        return Err(LoadDeflectionError::AgainstLoad { compliance_mm_per_n: compliance.value });
    }
    let slopes = models.compare_slopes(settings);
    // With two slopes the common model would push the difference into the other columns.
    let best = match (&slopes, &models.split) {
        (Ok(s), Ok(split)) if s.differ => split,
        _ => common,
    };
    Ok(LoadDeflection {
        method: METHOD,
        settings: settings.clone(),
        points_used: common.points(),
        degrees_of_freedom: common.degrees_of_freedom(),
        residual_sd_mm: common.residual_sd(),
        resolution_floor_mm: series.floor_mm,
        s_used_mm: common.s_used_mm,
        zero_mm: common.zero(),
        compliance_mm_per_n: compliance,
        compliance_interval_mm_per_n: compliance_interval,
        common_stiffness: fit::stiffness(compliance, settings),
        lost_motion: best.lost_motion(confidence),
        hysteresis_width: best.hysteresis(confidence),
        loop_area: loop_area::whole_or_halves(&series, best),
        residual_set: loop_area::residual_set(&series, best),
        linearity: linearity::judge(best, settings),
        weak: common.degrees_of_freedom() < WEAK_BELOW_DF,
        left_out: series.left_out,
        slopes,
    })
}
