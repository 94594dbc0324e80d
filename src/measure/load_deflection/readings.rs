//! From readings as taken to points with direction, branch and half cycle.

use super::Settings;
use super::missing::{LoadDeflectionError, Missing};
use std::fmt;

/// Loads closer than this share of the largest load count as the same level.
const SAME_LOAD_FRACTION: f64 = 0.02;

/// Direction of a half cycle: the sign of its load.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Direction {
    Positive,
    Negative,
}

impl Direction {
    pub(super) fn sign(self) -> f64 {
        match self {
            Self::Positive => 1.0,
            Self::Negative => -1.0,
        }
    }
}

impl fmt::Display for Direction {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Positive => say!("in the positive direction"),
            Self::Negative => say!("in the negative direction"),
        })
    }
}

/// Whether the load was growing or falling; the turning point belongs to loading.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Branch {
    Loading,
    Unloading,
}

/// One reading as taken.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Load along the pull, N, signed.
    pub load_n: f64,
    /// Deflection gauge, mm, same sign sense as the load.
    pub deflection_mm: f64,
    /// Second gauge at the support, mm, subtracted from the first.
    pub support_mm: Option<f64>,
    /// Derived from the load's sign when not given.
    pub direction: Option<Direction>,
    /// Derived from the order of the loads when not given.
    pub branch: Option<Branch>,
}

impl Reading {
    /// A reading with direction and branch to be derived and no second gauge.
    pub fn new(load_n: f64, deflection_mm: f64) -> Self {
        Self { load_n, deflection_mm, support_mm: None, direction: None, branch: None }
    }
}

/// Why a reading was not fitted.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum LeftOutReason {
    /// Below the take-up load: the reading may lie anywhere inside the play.
    BelowTakeUp,
    /// Unloading too close to the peak: still inside the friction reversal.
    UnloadingNearPeak,
}

/// A reading that was not fitted; `index` counts from 0.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct LeftOut {
    pub index: usize,
    pub reason: LeftOutReason,
}

/// One point: corrected load and deflection with its tags.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Point {
    pub load_n: f64,
    pub deflection_mm: f64,
    pub direction: Direction,
    pub branch: Branch,
    /// Number of the half cycle, from 0.
    pub half_cycle: usize,
}

/// All points in time order and those to be fitted.
pub(super) struct Series {
    pub points: Vec<Point>,
    pub used: Vec<Point>,
    pub left_out: Vec<LeftOut>,
    pub floor_mm: f64,
    pub same_load_n: f64,
}

/// Checks, corrects and tags the readings and picks those to be fitted.
pub(super) fn prepare(readings: &[Reading], settings: &Settings) -> Result<Series, LoadDeflectionError> {
    check_settings(settings)?;
    check_readings(readings)?;
    let square = settings.pull_angle_deg.to_radians().cos();
    let points = tag(readings, square);
    let peak_n = points.iter().map(|p| p.load_n.abs()).fold(0.0, f64::max);
    let take_up_n = (settings.take_up_fraction * peak_n).max(settings.take_up_min_n);
    let half_cycles = points.last().map_or(0, |p| p.half_cycle + 1);
    let mut peaks = vec![0.0_f64; half_cycles];
    for p in &points {
        peaks[p.half_cycle] = peaks[p.half_cycle].max(p.load_n.abs());
    }
    let (mut used, mut left_out) = (Vec::new(), Vec::new());
    for (index, p) in points.iter().enumerate() {
        let load = p.load_n.abs();
        let near_peak =
            settings.unloading_limit_fraction.is_some_and(|limit| load > limit * peaks[p.half_cycle]);
        if load == 0.0 || load < take_up_n {
            left_out.push(LeftOut { index, reason: LeftOutReason::BelowTakeUp });
        } else if p.branch == Branch::Unloading && near_peak {
            left_out.push(LeftOut { index, reason: LeftOutReason::UnloadingNearPeak });
        } else {
            used.push(*p);
        }
    }
    if used.is_empty() {
        return Err(LoadDeflectionError::slope(Missing::NothingAboveTakeUp { take_up_n }));
    }
    let second_gauge = readings.iter().any(|r| r.support_mm.is_some());
    let support_step = if second_gauge { settings.support_resolution_mm } else { 0.0 };
    Ok(Series {
        points,
        used,
        left_out,
        floor_mm: settings.resolution_mm.hypot(support_step) / 12.0_f64.sqrt(),
        same_load_n: SAME_LOAD_FRACTION * peak_n,
    })
}

fn check_settings(s: &Settings) -> Result<(), LoadDeflectionError> {
    let checks = [
        ("resolution_mm", s.resolution_mm, 0.0..1e6, mark!("0 mm or more")),
        ("support_resolution_mm", s.support_resolution_mm, 0.0..1e6, mark!("0 mm or more")),
        ("take_up_fraction", s.take_up_fraction, 0.0..1.0, mark!("from 0 to below 1")),
        ("take_up_min_n", s.take_up_min_n, 0.0..1e9, mark!("0 N or more")),
        (
            "unloading_limit_fraction",
            s.unloading_limit_fraction.unwrap_or(1.0),
            0.0..1.0 + 1e-12,
            mark!("from 0 to 1"),
        ),
        // Beyond this the pull no longer loads the structure in the direction that is measured.
        ("pull_angle_deg", s.pull_angle_deg.abs(), 0.0..60.0, mark!("between -60 and 60 degrees")),
        ("load_scale_relative_u", s.load_scale_relative_u, 0.0..1.0, mark!("from 0 to below 1")),
        ("confidence", s.confidence, 1e-6..1.0, mark!("between 0 and 1")),
        ("alpha", s.alpha, 1e-12..1.0, mark!("between 0 and 1")),
    ];
    for (name, value, range, wanted) in checks {
        if !range.contains(&value) {
            return Err(LoadDeflectionError::Setting { name, value, wanted });
        }
    }
    Ok(())
}

fn check_readings(readings: &[Reading]) -> Result<(), LoadDeflectionError> {
    let second_gauge = readings.iter().any(|r| r.support_mm.is_some());
    for (index, r) in readings.iter().enumerate() {
        if !(r.load_n.is_finite() && r.deflection_mm.is_finite() && r.support_mm.unwrap_or(0.0).is_finite()) {
            return Err(LoadDeflectionError::NotFinite { index });
        }
        if second_gauge && r.support_mm.is_none() {
            return Err(LoadDeflectionError::SupportMissing { index });
        }
        if r.direction.is_some_and(|d| r.load_n * d.sign() < 0.0) {
            return Err(LoadDeflectionError::DirectionAgainstSign { index, load_n: r.load_n });
        }
    }
    Ok(())
}

/// Direction of each reading: stated, else the load's sign; a zero load belongs to the half cycle before it.
fn directions(readings: &[Reading]) -> Vec<Direction> {
    let own = |r: &Reading| match r.direction {
        Some(d) => Some(d),
        None if r.load_n > 0.0 => Some(Direction::Positive),
        None if r.load_n < 0.0 => Some(Direction::Negative),
        None => None,
    };
    let mut current = readings.iter().find_map(own).unwrap_or(Direction::Positive);
    readings
        .iter()
        .map(|r| {
            current = own(r).unwrap_or(current);
            current
        })
        .collect()
}

fn tag(readings: &[Reading], square: f64) -> Vec<Point> {
    let directions = directions(readings);
    let mut points: Vec<Point> = Vec::with_capacity(readings.len());
    for (index, reading) in readings.iter().enumerate() {
        let direction = directions[index];
        let half_cycle = match points.last() {
            Some(p) if p.direction == direction => p.half_cycle,
            Some(p) => p.half_cycle + 1,
            None => 0,
        };
        let first = points.last().is_none_or(|p| p.half_cycle != half_cycle);
        let derived = if first { Branch::Loading } else { branch(readings, index, points[index - 1].branch) };
        points.push(Point {
            load_n: reading.load_n * square,
            deflection_mm: reading.deflection_mm - reading.support_mm.unwrap_or(0.0),
            direction,
            branch: reading.branch.unwrap_or(derived),
            half_cycle,
        });
    }
    points
}

/// Loading while the load grows. An equal load stays on the branch, unless a lowest point was read twice.
fn branch(readings: &[Reading], index: usize, before: Branch) -> Branch {
    let load = readings[index].load_n.abs();
    let previous = readings[index - 1].load_n.abs();
    if load > previous {
        return Branch::Loading;
    }
    if load < previous {
        return Branch::Unloading;
    }
    let next_differs = readings[index + 1..].iter().map(|r| r.load_n.abs()).find(|&l| l != load);
    let turns_up = before == Branch::Unloading && next_differs.is_some_and(|l| l > load);
    if turns_up { Branch::Loading } else { before }
}

/// Number of load levels that differ by more than `same_load_n`.
pub(super) fn load_levels(points: &[Point], direction: Direction, same_load_n: f64) -> usize {
    let mut loads: Vec<f64> = points.iter().filter(|p| p.direction == direction).map(|p| p.load_n).collect();
    loads.sort_by(f64::total_cmp);
    let mut levels = 0;
    let mut last = f64::NEG_INFINITY;
    for load in loads {
        if load - last > same_load_n {
            levels += 1;
            last = load;
        }
    }
    levels
}
