//! The regression: one common slope, and one slope per direction to test it against.

use super::missing::{LoadDeflectionError, Missing, NotGiven, Quantity};
use super::readings::{Branch, Direction, Point, Series, load_levels};
use super::{
    HysteresisWidth, LostMotion, LostMotionAnswer, LostMotionBasis, Settings, SlopeComparison, Stiffness,
};
use crate::measure::distribution::{f_upper, t_quantile};
use crate::measure::estimate::{Estimate, Interval};
use crate::measure::least_squares::{Fit, Intercept, LeastSquaresError, fit};

/// One fitted model with the places of its coefficients.
pub(super) struct Model {
    fit: Fit,
    pub points: Vec<Point>,
    pub s_used_mm: f64,
    lost_motion_at: Option<usize>,
    hysteresis_at: Option<usize>,
    split_at: Option<usize>,
}

pub(super) struct Models {
    pub common: Model,
    pub split: Result<Model, NotGiven>,
}

/// Fits the common slope, and the two slopes where both directions were loaded.
pub(super) fn models(series: &Series) -> Result<Models, LoadDeflectionError> {
    let used = &series.used;
    let mut both_directions = true;
    for direction in [Direction::Positive, Direction::Negative] {
        match load_levels(used, direction, series.same_load_n) {
            0 => both_directions = false,
            1 => {
                return Err(LoadDeflectionError::slope(Missing::LoadLevels { direction, found: 1 }));
            }
            _ => {}
        }
    }
    let common =
        Model::fit(used, series.floor_mm, both_directions, false).map_err(LoadDeflectionError::slope)?;
    let not_given = |missing| NotGiven { quantity: Quantity::SlopeDifference, missing };
    let split = if both_directions {
        Model::fit(used, series.floor_mm, true, true).map_err(not_given)
    } else {
        Err(not_given(Missing::OneDirectionOnly))
    };
    Ok(Models { common, split })
}

impl Models {
    /// F test of the added column s F, with the gauge's step as floor of the scatter.
    pub(super) fn compare_slopes(&self, settings: &Settings) -> Result<SlopeComparison, NotGiven> {
        let split = self.split.as_ref().map_err(Clone::clone)?;
        let degrees_of_freedom = (1, split.degrees_of_freedom());
        let gain = (self.common.fit.residual_ss - split.fit.residual_ss).max(0.0);
        let variance = split.s_used_mm * split.s_used_mm;
        let f_statistic = if gain == 0.0 { 0.0 } else { gain / variance };
        let p_value = f_upper(f_statistic, 1.0, degrees_of_freedom.1 as f64);
        let positive_compliance = split.direction_compliance(Direction::Positive);
        let negative_compliance = split.direction_compliance(Direction::Negative);
        Ok(SlopeComparison {
            positive: stiffness(positive_compliance, settings),
            negative: stiffness(negative_compliance, settings),
            relative_difference: negative_compliance.value / positive_compliance.value - 1.0,
            positive_compliance_mm_per_n: positive_compliance,
            negative_compliance_mm_per_n: negative_compliance,
            f_statistic,
            degrees_of_freedom,
            p_value,
            differ: p_value < settings.alpha,
        })
    }
}

impl Model {
    fn fit(points: &[Point], floor_mm: f64, both_directions: bool, split: bool) -> Result<Self, Missing> {
        let both_branches =
            [Branch::Loading, Branch::Unloading].iter().all(|b| points.iter().any(|p| p.branch == *b));
        let column = |f: &dyn Fn(&Point) -> f64| points.iter().map(f).collect::<Vec<f64>>();
        let mut columns = vec![column(&|p| p.load_n)];
        let mut add = |wanted: bool, values: Vec<f64>| {
            wanted.then(|| {
                columns.push(values);
                columns.len()
            })
        };
        let lost_motion_at = add(both_directions, column(&|p| p.direction.sign() / 2.0));
        let hysteresis_at = add(both_branches, column(&|p| p.direction.sign() * half(p.branch)));
        let split_at = add(split, column(&|p| p.load_n.abs()));
        let fit = fit(&columns, &column(&|p| p.deflection_mm), Intercept::Fitted).map_err(|e| match e {
            LeastSquaresError::InsufficientData { points, parameters } => {
                Missing::DegreesOfFreedom { points, parameters }
            }
            _ => Missing::NotSeparable,
        })?;
        let s_used_mm = fit.residual_sd.max(floor_mm);
        Ok(Self { fit, points: points.to_vec(), s_used_mm, lost_motion_at, hysteresis_at, split_at })
    }

    pub(super) fn points(&self) -> usize {
        self.points.len()
    }

    pub(super) fn degrees_of_freedom(&self) -> usize {
        self.fit.degrees_of_freedom
    }

    pub(super) fn residual_sd(&self) -> f64 {
        self.fit.residual_sd
    }

    pub(super) fn residuals(&self) -> &[f64] {
        &self.fit.residuals
    }

    fn estimate(&self, index: usize) -> Estimate {
        let u = self.fit.standard_uncertainty(index, self.s_used_mm);
        Estimate::new(self.fit.coefficients[index], u, self.degrees_of_freedom() as f64)
    }

    pub(super) fn zero(&self) -> Estimate {
        self.estimate(0)
    }

    pub(super) fn compliance(&self) -> Estimate {
        self.estimate(1)
    }

    /// c ± the split coefficient, which is positive where |F| = F.
    fn direction_compliance(&self, direction: Direction) -> Estimate {
        let Some(at) = self.split_at else { return self.compliance() };
        let sign = direction.sign();
        let c = &self.fit.unscaled_covariance;
        let variance = c[1][1] + c[at][at] + 2.0 * sign * c[1][at];
        Estimate::new(
            self.fit.coefficients[1] + sign * self.fit.coefficients[at],
            self.s_used_mm * variance.max(0.0).sqrt(),
            self.degrees_of_freedom() as f64,
        )
    }

    pub(super) fn lost_motion(&self, confidence: f64) -> Result<LostMotion, NotGiven> {
        let at = self
            .lost_motion_at
            .ok_or(NotGiven { quantity: Quantity::LostMotion, missing: Missing::OneDirectionOnly })?;
        let estimate_mm = self.estimate(at);
        let interval_mm = estimate_mm.interval(confidence);
        let basis = match self.points.first().map(|p| p.branch) {
            _ if self.hysteresis_at.is_some() => LostMotionBasis::Midway,
            Some(Branch::Unloading) => LostMotionBasis::UnloadingOnly,
            _ => LostMotionBasis::LoadingOnly,
        };
        let answer = if interval_mm.contains(0.0) {
            LostMotionAnswer::NoneLargerThan(interval_mm.upper)
        } else {
            LostMotionAnswer::Found
        };
        Ok(LostMotion { estimate_mm, interval_mm, basis, answer })
    }

    pub(super) fn hysteresis(&self, confidence: f64) -> Result<HysteresisWidth, NotGiven> {
        let at = self
            .hysteresis_at
            .ok_or(NotGiven { quantity: Quantity::Hysteresis, missing: Missing::NoUnloading })?;
        let estimate_mm = self.estimate(at);
        Ok(HysteresisWidth { estimate_mm, interval_mm: estimate_mm.interval(confidence) })
    }
}

fn half(branch: Branch) -> f64 {
    match branch {
        Branch::Loading => -0.5,
        Branch::Unloading => 0.5,
    }
}

/// k = 1/c with the inverted interval; the load scale's doubt widens both sides afterwards.
pub(super) fn stiffness(compliance: Estimate, settings: &Settings) -> Result<Stiffness, NotGiven> {
    let interval = compliance.interval(settings.confidence);
    if interval.lower <= 0.0 {
        return Err(NotGiven { quantity: Quantity::Slope, missing: Missing::SlopeNotResolved });
    }
    let k = 1.0 / compliance.value;
    let scale = settings.load_scale_relative_u;
    let relative_u = (compliance.standard_uncertainty / compliance.value).hypot(scale);
    // The scale's doubt is of type B with no stated degrees of freedom: its half-width takes the normal quantile.
    let scale_half = t_quantile(0.5 + settings.confidence / 2.0, f64::INFINITY) * scale * k;
    let widen = |end: f64| (end - k).hypot(scale_half);
    Ok(Stiffness {
        estimate_n_per_mm: Estimate::new(k, k * relative_u, compliance.degrees_of_freedom),
        interval_n_per_mm: Interval {
            lower: k - widen(1.0 / interval.upper),
            upper: k + widen(1.0 / interval.lower),
        },
    })
}
