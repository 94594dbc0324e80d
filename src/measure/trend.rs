//! Trend across annuals: Mann-Kendall with exact p, Theil-Sen slope.
//!
//! One series per airframe, card and rig; a repair, modification, other gauge or load level starts a new series and
//! is printed as a break. Sources: Mann 1945, Kendall 1975, Sen 1968; Gilbert, Statistical Methods for Environmental
//! Pollution Monitoring, ch. 16 (from memory).

use super::distribution::{normal_cdf, normal_quantile};
use super::estimate::Interval;
use crate::words::figure;
use std::cmp::Ordering;
use std::fmt;

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "trend/1";

/// Fewest annuals that can show a trend: four cannot reach p = 0.05.
pub const FEWEST_FOR_TREND: usize = 5;
/// Up to this many values the null distribution is computed exactly.
const MOST_EXACT: usize = 10;
const ALPHA: f64 = 0.05;
/// A change is one when it exceeds this many standard uncertainties.
const CHANGE_IN_U: f64 = 2.0;

/// One annual's value.
#[derive(Debug, Clone, PartialEq)]
pub struct Annual {
    /// Date as a broken year.
    pub year: f64,
    pub value: f64,
    pub standard_uncertainty: f64,
    /// Why a new series starts with this annual.
    pub starts_new_series: Option<String>,
}

/// A break before an annual (position from 0).
#[derive(Debug, Clone, PartialEq)]
pub struct Break {
    pub before: usize,
    pub reason: String,
}

/// Mann-Kendall test.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MannKendall {
    pub s: i64,
    /// S over its largest possible value without ties.
    pub tau: f64,
    /// Two-sided.
    pub p_value: f64,
    /// False: normal approximation with continuity and tie correction.
    pub exact: bool,
}

/// Theil-Sen line; units of the value per unit of time.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TheilSen {
    pub slope: f64,
    pub slope_interval: Interval,
    /// median(y) - slope median(t).
    pub intercept: f64,
}

/// Difference of two annuals, in units of the value.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Change {
    pub difference: f64,
    pub standard_uncertainty: f64,
    /// difference / standard uncertainty.
    pub ratio: f64,
}

/// What the series says.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Answer {
    InsufficientData {
        annuals: usize,
    },
    /// Two to four annuals: latest minus first is larger than 2 u.
    Changed(Change),
    /// Two to four annuals: no change larger than `than`.
    NoChangeLarger {
        change: Change,
        than: f64,
    },
    TrendUp,
    TrendDown,
    NoTrendShown,
    /// The total change over the series is below 2 u of one reading, whatever p says.
    BelowMeasurementUncertainty,
}

impl fmt::Display for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::InsufficientData { annuals } => f.write_str(&say!(
                "insufficient data: {annuals} annual(s) in the series; at least 2 are needed",
                annuals
            )),
            Self::Changed(c) => f.write_str(&say!(
                "changed by {} since the first annual of the series ({} u)",
                figure(format_args!("{:+.3}", c.difference)),
                figure(format_args!("{:.1}", c.ratio.abs()))
            )),
            Self::NoChangeLarger { than, .. } => {
                f.write_str(&say!("no change larger than {than}", than = figure(format_args!("{:.3}", than))))
            }
            Self::TrendUp => f.write_str(say!("trend up")),
            Self::TrendDown => f.write_str(say!("trend down")),
            Self::NoTrendShown => f.write_str(say!("no trend shown")),
            Self::BelowMeasurementUncertainty => f.write_str(say!("below measurement uncertainty")),
        }
    }
}

/// The trend of the latest unbroken series.
#[derive(Debug, Clone, PartialEq)]
pub struct Trend {
    pub method: &'static str,
    pub breaks: Vec<Break>,
    /// Annuals in the latest series.
    pub annuals: usize,
    pub answer: Answer,
    pub mann_kendall: Option<MannKendall>,
    pub theil_sen: Option<TheilSen>,
    /// Change to be expected over the next year; never a date at which a limit is reached.
    pub next_year_change: Option<Interval>,
}

/// Input that is no series.
#[derive(Debug, Clone, PartialEq)]
pub enum TrendError {
    NotFinite {
        index: usize,
    },
    Uncertainty {
        index: usize,
    },
    NotInOrder {
        index: usize,
    },
    /// Fewer values than two, or not as many dates as values.
    Lengths {
        dates: usize,
        values: usize,
    },
}

impl fmt::Display for TrendError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotFinite { index } => {
                f.write_str(&say!("annual {}: date or value is not a finite number; correct it", index + 1))
            }
            Self::Uncertainty { index } => {
                f.write_str(&say!("annual {}: the standard uncertainty must be above 0; state it", index + 1))
            }
            Self::NotInOrder { index } => f.write_str(&say!(
                "annual {} is not later than the one before it; put the annuals in order",
                index + 1
            )),
            Self::Lengths { dates, values } => f.write_str(&say!(
                "insufficient data: {dates} dates for {values} values; give at least 2 of each",
                dates,
                values
            )),
        }
    }
}

impl std::error::Error for TrendError {}

/// Evaluates annuals given in time order.
pub fn trend(annuals: &[Annual]) -> Result<Trend, TrendError> {
    check(annuals)?;
    let breaks: Vec<Break> = annuals
        .iter()
        .enumerate()
        .filter_map(|(before, a)| a.starts_new_series.clone().map(|reason| Break { before, reason }))
        .collect();
    let series = &annuals[breaks.last().map_or(0, |b| b.before)..];
    let mut result = Trend {
        method: METHOD,
        breaks,
        annuals: series.len(),
        answer: Answer::InsufficientData { annuals: series.len() },
        mann_kendall: None,
        theil_sen: None,
        next_year_change: None,
    };
    let ([first, .., last], n) = (series, series.len()) else { return Ok(result) };
    if n < FEWEST_FOR_TREND {
        let change = change(first, last);
        let than = CHANGE_IN_U * change.standard_uncertainty;
        result.answer = if change.ratio.abs() > CHANGE_IN_U {
            Answer::Changed(change)
        } else {
            Answer::NoChangeLarger { change, than }
        };
        return Ok(result);
    }
    let values: Vec<f64> = series.iter().map(|a| a.value).collect();
    let years: Vec<f64> = series.iter().map(|a| a.year).collect();
    let test = mann_kendall(&values);
    let line = theil_sen(&years, &values, 1.0 - ALPHA)?;
    let total = line.slope * (last.year - first.year);
    let largest_u = series.iter().map(|a| a.standard_uncertainty).fold(0.0, f64::max);
    result.answer = if test.p_value >= ALPHA {
        Answer::NoTrendShown
    } else if total.abs() < CHANGE_IN_U * largest_u {
        Answer::BelowMeasurementUncertainty
    } else if test.s > 0 {
        Answer::TrendUp
    } else {
        Answer::TrendDown
    };
    result.next_year_change = Some(line.slope_interval);
    result.mann_kendall = Some(test);
    result.theil_sen = Some(line);
    Ok(result)
}

/// Latest minus first with combined standard uncertainty.
pub fn change(first: &Annual, latest: &Annual) -> Change {
    let difference = latest.value - first.value;
    let standard_uncertainty = first.standard_uncertainty.hypot(latest.standard_uncertainty);
    Change { difference, standard_uncertainty, ratio: difference / standard_uncertainty }
}

/// Mann-Kendall test of values in time order; exact (ties kept) up to 10 values.
pub fn mann_kendall(values: &[f64]) -> MannKendall {
    let n = values.len();
    let s: i64 = values
        .iter()
        .enumerate()
        .map(|(i, a)| values[i + 1..].iter().map(|b| sign(*a, *b)).sum::<i64>())
        .sum();
    let pairs = (n * n.saturating_sub(1) / 2) as f64;
    let tau = if pairs > 0.0 { s as f64 / pairs } else { 0.0 };
    let exact = n <= MOST_EXACT;
    let groups = tie_groups(values);
    let p_value = if exact { exact_p(&groups, s) } else { normal_p(&groups, s) };
    MannKendall { s, tau, p_value, exact }
}

/// Theil-Sen line with Sen's interval of the slope. `t` and `y` in any order, same length.
pub fn theil_sen(t: &[f64], y: &[f64], confidence: f64) -> Result<TheilSen, TrendError> {
    let mut slopes: Vec<f64> = Vec::new();
    if t.len() != y.len() || t.len() < 2 {
        return Err(TrendError::Lengths { dates: t.len(), values: y.len() });
    }
    for i in 0..t.len() {
        for j in 0..t.len() {
            if t[j] > t[i] {
                slopes.push((y[j] - y[i]) / (t[j] - t[i]));
            }
        }
    }
    if slopes.is_empty() {
        return Err(TrendError::NotInOrder { index: 1 });
    }
    slopes.sort_by(f64::total_cmp);
    let slope = median(&slopes);
    let count = slopes.len() as f64;
    // Ties in time give no slope, so they leave the variance as ties in the values do.
    let (y_ties, t_ties) = (tie_groups(y), tie_groups(t));
    let variance = kendall_term(y.len()) - ties_term(&y_ties) - ties_term(&t_ties);
    let reach = normal_quantile(0.5 + confidence / 2.0) * (variance.max(0.0) / 18.0).sqrt();
    let last = slopes.len() - 1;
    let upper = (((count + reach) / 2.0).round_ties_even() as usize).min(last);
    let lower = (((count - reach) / 2.0).round_ties_even() - 1.0).max(0.0) as usize;
    let mut sorted_t = t.to_vec();
    sorted_t.sort_by(f64::total_cmp);
    let mut sorted_y = y.to_vec();
    sorted_y.sort_by(f64::total_cmp);
    Ok(TheilSen {
        slope,
        slope_interval: Interval { lower: slopes[lower], upper: slopes[upper] },
        intercept: median(&sorted_y) - slope * median(&sorted_t),
    })
}

fn check(annuals: &[Annual]) -> Result<(), TrendError> {
    for (index, a) in annuals.iter().enumerate() {
        if !(a.year.is_finite() && a.value.is_finite()) {
            return Err(TrendError::NotFinite { index });
        }
        if !(a.standard_uncertainty.is_finite() && a.standard_uncertainty > 0.0) {
            return Err(TrendError::Uncertainty { index });
        }
        if index > 0 && a.year <= annuals[index - 1].year {
            return Err(TrendError::NotInOrder { index });
        }
    }
    Ok(())
}

fn sign(a: f64, b: f64) -> i64 {
    match b.partial_cmp(&a) {
        Some(Ordering::Greater) => 1,
        Some(Ordering::Less) => -1,
        _ => 0,
    }
}

/// Sizes of the groups of equal values, single ones included.
fn tie_groups(values: &[f64]) -> Vec<usize> {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    sorted.chunk_by(|a, b| a == b).map(<[f64]>::len).collect()
}

/// P(|S| >= |s|) over all distinct orders of values with these tie groups.
///
/// The orders with a given number of inversions are the coefficients of the Gaussian multinomial
/// prod(1 - q^j, j = 1..n) / prod over groups prod(1 - q^i, i = 1..size); S = untied pairs - 2 inversions.
fn exact_p(groups: &[usize], s: i64) -> f64 {
    let n: usize = groups.iter().sum();
    let untied = n * n.saturating_sub(1) / 2 - groups.iter().map(|g| g * (g - 1) / 2).sum::<usize>();
    let mut orders = vec![0_i64; untied + 1];
    orders[0] = 1;
    // Multiplying and dividing power series cut off at `untied`: exact, whole numbers below 10! throughout.
    let mut divisors: Vec<usize> = groups.iter().flat_map(|&g| 1..=g).collect();
    for j in 1..=n {
        if let Some(at) = divisors.iter().position(|&i| i == j) {
            divisors.swap_remove(at);
            continue;
        }
        for k in (j..orders.len()).rev() {
            orders[k] -= orders[k - j];
        }
    }
    for i in divisors {
        for k in i..orders.len() {
            orders[k] += orders[k - i];
        }
    }
    let total: i64 = orders.iter().sum();
    let extreme: i64 = orders
        .iter()
        .enumerate()
        .filter(|(inversions, _)| (untied as i64 - 2 * *inversions as i64).abs() >= s.abs())
        .map(|(_, count)| count)
        .sum();
    extreme as f64 / total as f64
}

fn normal_p(groups: &[usize], s: i64) -> f64 {
    let n: usize = groups.iter().sum();
    let variance = (kendall_term(n) - ties_term(groups)) / 18.0;
    if s == 0 || variance <= 0.0 {
        return 1.0;
    }
    let z = (s.abs() - 1) as f64 / variance.sqrt();
    (2.0 * normal_cdf(-z)).min(1.0)
}

fn kendall_term(n: usize) -> f64 {
    let n = n as f64;
    n * (n - 1.0) * (2.0 * n + 5.0)
}

fn ties_term(groups: &[usize]) -> f64 {
    groups.iter().map(|&g| kendall_term(g)).sum()
}

/// Median of sorted values, at least one.
fn median(sorted: &[f64]) -> f64 {
    let middle = sorted.len() / 2;
    if sorted.len() % 2 == 1 { sorted[middle] } else { (sorted[middle - 1] + sorted[middle]) / 2.0 }
}

#[cfg(test)]
mod tests {
    use super::normal_p;

    #[test]
    fn normal_approximation_with_continuity() {
        // scipy, trend.frequency of the check values: S = -17 of 7 values without ties.
        assert!((normal_p(&[1; 7], -17) - 0.016_260_936_780_450_295).abs() < 1e-12);
    }
}
