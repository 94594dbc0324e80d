//! Energy lost in the loop, and what stays when the load is back where it began.

use super::fit::Model;
use super::missing::{Missing, NotGiven, Quantity};
use super::readings::{Branch, Point, Series};
use crate::measure::estimate::Estimate;

/// Which loop was closed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LoopBasis {
    /// The whole series ends at the load where it began.
    WholeLoop,
    /// Each half cycle does; the areas are added and the path through zero is not in them.
    HalfCycles,
}

/// Energy lost, N mm (= mJ). Comparable only between tests with the same load levels and basis.
#[derive(Debug, Clone, PartialEq)]
pub struct LoopArea {
    pub area_n_mm: Estimate,
    pub work_in_n_mm: f64,
    /// Area over work put in; `None` when no work was put in.
    pub loss_fraction: Option<f64>,
    pub basis: LoopBasis,
}

/// Between which readings the residual set was taken.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SetBasis {
    /// Same small load, same direction, same branch, a later cycle.
    SameBranch,
    /// First and last reading, both without load, one direction only; friction and play are in it.
    StartToEnd,
}

/// Deflection that stays, mm.
#[derive(Debug, Clone, PartialEq)]
pub struct ResidualSet {
    pub set_mm: Estimate,
    /// |set| > 2 u. A set that vanishes in a second cycle was settling, not damage.
    pub real: bool,
    pub load_n: f64,
    pub basis: SetBasis,
}

/// Closed integral of load over deflection (N, mm), trapezoids, last point joined to the first. Positive = energy lost.
/// The slices have the same length; extra values are ignored.
pub fn loop_area(load_n: &[f64], deflection_mm: &[f64]) -> f64 {
    let n = load_n.len().min(deflection_mm.len());
    (0..n)
        .map(|i| {
            let j = (i + 1) % n;
            (load_n[i] + load_n[j]) / 2.0 * (deflection_mm[j] - deflection_mm[i])
        })
        .sum()
}

/// Standard uncertainty of [`loop_area`] for deflections with standard uncertainty `u_mm`.
pub fn loop_area_uncertainty(load_n: &[f64], u_mm: f64) -> f64 {
    let n = load_n.len();
    let squares: f64 = (0..n).map(|i| ((load_n[(i + n - 1) % n] - load_n[(i + 1) % n]) / 2.0).powi(2)).sum();
    u_mm * squares.sqrt()
}

/// Area of the whole loop if it is closed, else of the half cycles if each of them is.
pub(super) fn whole_or_halves(series: &Series, model: &Model) -> Result<LoopArea, NotGiven> {
    let refuse = |missing| NotGiven { quantity: Quantity::LoopArea, missing };
    let points = &series.points;
    if !points.iter().any(|p| p.branch == Branch::Unloading) {
        return Err(refuse(Missing::NoUnloading));
    }
    let closed = |part: &[Point]| match part {
        [first, .., last] => (first.load_n - last.load_n).abs() <= series.same_load_n,
        _ => false,
    };
    let halves: Vec<&[Point]> = points.chunk_by(|a, b| a.half_cycle == b.half_cycle).collect();
    let (parts, basis) = if closed(points) {
        (vec![points.as_slice()], LoopBasis::WholeLoop)
    } else if halves.iter().all(|half| closed(half)) {
        (halves, LoopBasis::HalfCycles)
    } else {
        let (first_n, last_n) = (points[0].load_n, points[points.len() - 1].load_n);
        return Err(refuse(Missing::LoopNotClosed { first_n, last_n }));
    };
    let (mut area, mut variance, mut work_in_n_mm) = (0.0, 0.0, 0.0);
    for part in parts {
        let load: Vec<f64> = part.iter().map(|p| p.load_n).collect();
        let deflection: Vec<f64> = part.iter().map(|p| p.deflection_mm).collect();
        area += loop_area(&load, &deflection);
        variance += loop_area_uncertainty(&load, model.s_used_mm).powi(2);
        work_in_n_mm += work_in(part);
    }
    let u = variance.sqrt();
    // A slightly negative area of a loop without loss is scatter; beyond that the tags or signs are wrong.
    if area < -2.0 * u {
        return Err(refuse(Missing::EnergyGained { area_n_mm: area }));
    }
    Ok(LoopArea {
        area_n_mm: Estimate::new(area, u, model.degrees_of_freedom() as f64),
        work_in_n_mm,
        loss_fraction: (work_in_n_mm > 0.0).then(|| area / work_in_n_mm),
        basis,
    })
}

/// Work over the segments that end on the loading branch.
fn work_in(part: &[Point]) -> f64 {
    part.windows(2)
        .filter(|w| w[1].branch == Branch::Loading)
        .map(|w| (w[0].load_n + w[1].load_n) / 2.0 * (w[1].deflection_mm - w[0].deflection_mm))
        .sum()
}

/// Set between the first and the last reading at the same small load, direction and branch with a peak between them.
pub(super) fn residual_set(series: &Series, model: &Model) -> Result<ResidualSet, NotGiven> {
    let (first, last, basis) = same_branch_pair(series)
        .map(|(a, b)| (a, b, SetBasis::SameBranch))
        .or_else(|| unloaded_ends(series).map(|(a, b)| (a, b, SetBasis::StartToEnd)))
        .ok_or(NotGiven { quantity: Quantity::ResidualSet, missing: Missing::NoRepeatedReading })?;
    let set = last.deflection_mm - first.deflection_mm;
    let u = std::f64::consts::SQRT_2 * model.s_used_mm;
    Ok(ResidualSet {
        set_mm: Estimate::new(set, u, model.degrees_of_freedom() as f64),
        real: set.abs() > 2.0 * u,
        load_n: first.load_n,
        basis,
    })
}

/// The pair at the smallest fitted load; readings inside the play do not count.
fn same_branch_pair(series: &Series) -> Option<(Point, Point)> {
    let used = &series.used;
    let mut best: Option<(Point, Point)> = None;
    for (i, a) in used.iter().enumerate() {
        let twin = used[i + 1..].iter().rev().find(|b| {
            b.direction == a.direction
                && b.branch == a.branch
                && (b.load_n - a.load_n).abs() <= series.same_load_n
                && peak_between(series, a, b)
        });
        if let Some(b) = twin
            && best.is_none_or(|(first, _)| a.load_n.abs() < first.load_n.abs() - series.same_load_n)
        {
            best = Some((*a, *b));
        }
    }
    best
}

/// True if a higher load in the same direction was held between the two.
fn peak_between(series: &Series, a: &Point, b: &Point) -> bool {
    let at = |p: &Point| series.points.iter().position(|q| q == p);
    let (Some(start), Some(end)) = (at(a), series.points.iter().rposition(|q| q == b)) else { return false };
    let higher = a.load_n.abs() + series.same_load_n;
    series.points[start..end].iter().any(|p| p.direction == a.direction && p.load_n.abs() > higher)
}

/// First and last reading when both are without load and one direction only was loaded.
fn unloaded_ends(series: &Series) -> Option<(Point, Point)> {
    let (first, last) = (series.points.first()?, series.points.last()?);
    let unloaded = |p: &Point| p.load_n.abs() <= series.same_load_n;
    let one_direction = series.points.iter().all(|p| p.direction == first.direction);
    (series.points.len() > 2 && one_direction && unloaded(first) && unloaded(last)).then_some((*first, *last))
}
