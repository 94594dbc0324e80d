//! Curvature: do the branches bend alike in both directions?

use super::Settings;
use super::fit::Model;
use super::readings::{Branch, Direction};

/// Whether straight lines describe the readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Linearity {
    /// Fewer than 3 load levels on the branches that would have to agree.
    NotJudged,
    NoBendSeen,
    /// Every judged branch bends the same way in both directions.
    NotLinear,
}

/// A branch bends when its end residuals have one sign and all between them the other, and the bend is larger than
/// one step of the gauge (a three-level branch shows such a pattern by chance alone one time in three).
/// The answer "not linear" needs the same bend, seen outwards, on at least two branches and on all that can be judged.
pub(super) fn judge(model: &Model, settings: &Settings) -> Linearity {
    let mut bends = Vec::new();
    for direction in [Direction::Positive, Direction::Negative] {
        for branch in [Branch::Loading, Branch::Unloading] {
            bends.extend(branch_bend(model, direction, branch, settings.resolution_mm));
        }
    }
    if bends.len() < 2 {
        Linearity::NotJudged
    } else if bends[0] != 0 && bends.iter().all(|b| *b == bends[0]) {
        Linearity::NotLinear
    } else {
        Linearity::NoBendSeen
    }
}

/// +1 or -1 for a bend outwards or inwards, 0 for none; nothing when there are fewer than 3 load levels.
fn branch_bend(model: &Model, direction: Direction, branch: Branch, step_mm: f64) -> Option<i8> {
    let mut levels: Vec<(f64, Vec<f64>)> = Vec::new();
    for (point, residual) in model.points.iter().zip(model.residuals()) {
        if point.direction != direction || point.branch != branch {
            continue;
        }
        let (load, outward) = (point.load_n.abs(), residual * direction.sign());
        match levels.iter_mut().find(|(l, _)| *l == load) {
            Some((_, values)) => values.push(outward),
            None => levels.push((load, vec![outward])),
        }
    }
    if levels.len() < 3 {
        return None;
    }
    levels.sort_by(|a, b| a.0.total_cmp(&b.0));
    let means: Vec<f64> = levels.iter().map(|(_, v)| v.iter().sum::<f64>() / v.len() as f64).collect();
    let (first, last) = (means[0], means[means.len() - 1]);
    let middle = &means[1..means.len() - 1];
    let bend = middle.iter().sum::<f64>() / middle.len() as f64 - (first + last) / 2.0;
    let sign = bend.signum();
    let pattern = first * sign < 0.0 && last * sign < 0.0 && middle.iter().all(|m| m * sign > 0.0);
    Some(if pattern && bend.abs() > step_mm { sign as i8 } else { 0 })
}
