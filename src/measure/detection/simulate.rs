//! One simulated push test in a hangar.

use super::random::SplitMix64;
use super::{Hangar, Study};
use crate::measure::estimate::Estimate;
use crate::measure::load_deflection::{Branch, Direction, Reading, Settings, analyse};

/// The card: every load level up to the peak and down again, both directions.
pub(super) fn card(levels_n: &[f64]) -> Vec<(f64, Branch)> {
    let mut sorted = levels_n.to_vec();
    sorted.sort_by(f64::total_cmp);
    let up = sorted.iter().map(|l| (*l, Branch::Loading));
    let down = sorted.iter().rev().skip(1).map(|l| (*l, Branch::Unloading));
    let half: Vec<(f64, Branch)> = up.chain(down).collect();
    half.iter().copied().chain(half.iter().map(|(l, b)| (-l, *b))).collect()
}

/// Measures an airframe of the given true stiffness once; nothing when the readings left give no stiffness.
pub(super) fn measure(study: &Study, true_stiffness: f64, random: &mut SplitMix64) -> Option<Estimate> {
    let hangar = &study.hangar;
    let as_set_up = true_stiffness * random.normal(hangar.set_up_relative).exp();
    let mut readings = Vec::new();
    for (load, branch) in card(&study.load_levels_n) {
        let reading = reading(hangar, load, branch, 1.0 / as_set_up, random);
        // The draws are made before the reading is dropped, so that the other readings do not depend on it.
        if random.uniform() >= hangar.missing_share {
            readings.push(reading);
        }
    }
    let settings = Settings::for_resolution(hangar.gauge_step_mm);
    let found = analyse(&readings, &settings).ok()?;
    found.common_stiffness.ok().map(|k| k.estimate_n_per_mm)
}

/// The load wanders from the level asked for, which is what gets written down.
fn reading(
    hangar: &Hangar,
    load_n: f64,
    branch: Branch,
    compliance: f64,
    random: &mut SplitMix64,
) -> Reading {
    let (direction, sign) =
        if load_n > 0.0 { (Direction::Positive, 1.0) } else { (Direction::Negative, -1.0) };
    let friction = match branch {
        Branch::Loading => -0.5,
        Branch::Unloading => 0.5,
    };
    let applied = load_n + random.normal(hangar.load_noise_n);
    let play = sign * (hangar.lost_motion_mm / 2.0 + hangar.hysteresis_mm * friction);
    let true_mm = compliance * applied + play + random.normal(hangar.gauge_noise_mm);
    let step = hangar.gauge_step_mm;
    let read_mm = if step > 0.0 { (true_mm / step).round() * step } else { true_mm };
    Reading {
        load_n,
        deflection_mm: read_mm,
        support_mm: None,
        direction: Some(direction),
        branch: Some(branch),
    }
}

/// Relative standard uncertainty of one complete measurement, by the regression's own design.
pub(super) fn measurement_u(study: &Study) -> Option<f64> {
    let compliance = 1.0 / study.stiffness_n_per_mm;
    let hangar = &study.hangar;
    let scatter = (compliance * hangar.load_noise_n)
        .hypot(hangar.gauge_noise_mm)
        .hypot(hangar.gauge_step_mm / 12.0_f64.sqrt());
    let readings: Vec<Reading> = card(&study.load_levels_n)
        .into_iter()
        .map(|(load, branch)| Reading { branch: Some(branch), ..Reading::new(load, compliance * load) })
        .collect();
    // On a perfect line the gauge's step is the only scatter: a step that stands for all the noise gives its effect.
    let settings = Settings::for_resolution(scatter * 12.0_f64.sqrt());
    let c = analyse(&readings, &settings).ok()?.compliance_mm_per_n;
    Some(c.standard_uncertainty / c.value)
}
