//! Push test against statsmodels, hand-computed loops and the cosine rule
//! (sources beside the values in `reference/load_deflection.toml`).

use crate::values::{block, cases, close, get, list, near, parse, text};
use spanwise::measure::load_deflection::{
    Branch, Linearity, LoadDeflection, LoadDeflectionError, LoopBasis, LostMotionAnswer, LostMotionBasis,
    Missing, NotGiven, Reading, SetBasis, Settings, analyse, check_ceiling, loop_area, loop_area_uncertainty,
};
use toml::Table;

fn data() -> Table {
    parse(include_str!("../reference/load_deflection.toml"))
}

fn series(table: &Table) -> Vec<Reading> {
    list(table, "F").iter().zip(list(table, "d")).map(|(f, d)| Reading::new(*f, d)).collect()
}

fn series_of(load: &[f64], deflection: &[f64]) -> Vec<Reading> {
    load.iter().zip(deflection).map(|(f, d)| Reading::new(*f, *d)).collect()
}

fn evaluate(table: &Table) -> LoadDeflection {
    analyse(&series(table), &Settings::for_resolution(get(table, "resolution_mm"))).unwrap()
}

/// Every number that a block of regression results holds.
fn agrees(found: &LoadDeflection, table: &Table) {
    assert_eq!(found.points_used as f64, get(table, "n"));
    assert_eq!(found.degrees_of_freedom as f64, get(table, "df"));
    close(found.residual_sd_mm, get(table, "residual_sd"), 1e-9, "residual sd");
    close(found.resolution_floor_mm, get(table, "resolution_floor"), 1e-12, "floor");
    close(found.s_used_mm, get(table, "s_used"), 1e-9, "s used");
    close(found.zero_mm.value, get(table, "zero_mm"), 1e-9, "zero");
    let c = found.compliance_mm_per_n;
    close(c.value, get(table, "compliance_mm_per_N"), 1e-10, "compliance");
    close(c.standard_uncertainty, get(table, "u_compliance"), 1e-9, "u compliance");
    close(
        found.compliance_interval_mm_per_n.lower,
        list(table, "compliance_ci")[0],
        1e-9,
        "compliance interval",
    );
    close(
        found.compliance_interval_mm_per_n.upper,
        list(table, "compliance_ci")[1],
        1e-9,
        "compliance interval",
    );
    let k = found.common_stiffness.as_ref().unwrap();
    close(k.estimate_n_per_mm.value, get(table, "stiffness_N_per_mm"), 1e-9, "stiffness");
    close(k.interval_n_per_mm.lower, list(table, "stiffness_ci")[0], 1e-9, "stiffness interval");
    close(k.interval_n_per_mm.upper, list(table, "stiffness_ci")[1], 1e-9, "stiffness interval");
    let lost = found.lost_motion.as_ref().unwrap();
    close(lost.estimate_mm.value, get(table, "lost_motion_mm"), 1e-9, "lost motion");
    close(lost.estimate_mm.standard_uncertainty, get(table, "u_lost_motion"), 1e-9, "u lost motion");
    close(lost.interval_mm.lower, list(table, "lost_motion_ci")[0], 1e-9, "lost motion interval");
    close(lost.interval_mm.upper, list(table, "lost_motion_ci")[1], 1e-9, "lost motion interval");
}

#[test]
fn exact_series_returns_the_true_values() {
    let root = data();
    let table = block(&root, "flex.full_exact");
    let found = analyse(&series(table), &Settings::for_resolution(0.1)).unwrap();
    near(found.zero_mm.value, get(table, "true_zero_mm"), 1e-9, "zero");
    near(found.compliance_mm_per_n.value, get(table, "true_compliance"), 1e-9, "compliance");
    near(found.stiffness().unwrap().estimate_n_per_mm.value, get(table, "true_stiffness"), 1e-9, "stiffness");
    let lost = found.lost_motion.as_ref().unwrap();
    near(lost.estimate_mm.value, get(table, "true_lost_motion_mm"), 1e-9, "lost motion");
    let width = found.hysteresis_width.as_ref().unwrap();
    near(width.estimate_mm.value, get(table, "true_hysteresis_mm"), 1e-9, "hysteresis");
    near(found.residual_sd_mm, 0.0, 1e-9, "no scatter");
    close(found.s_used_mm, 0.1 / 12.0_f64.sqrt(), 1e-12, "the gauge's step sets the uncertainty");
}

#[test]
fn noisy_series_agrees_with_statsmodels() {
    let root = data();
    let table = block(&root, "flex.full_noisy");
    let found = evaluate(table);
    agrees(&found, table);
    let width = found.hysteresis_width.as_ref().unwrap();
    close(width.estimate_mm.value, get(table, "hysteresis_width_mm"), 1e-9, "hysteresis");
    close(width.estimate_mm.standard_uncertainty, get(table, "u_hysteresis"), 1e-9, "u hysteresis");
    close(width.interval_mm.lower, list(table, "hysteresis_ci")[0], 1e-9, "hysteresis interval");
    close(width.interval_mm.upper, list(table, "hysteresis_ci")[1], 1e-9, "hysteresis interval");
    assert_eq!(found.lost_motion.as_ref().unwrap().basis, LostMotionBasis::Midway);
    assert_eq!(found.lost_motion.as_ref().unwrap().answer, LostMotionAnswer::Found);
    assert_eq!(found.linearity, Linearity::NoBendSeen, "scatter alone is no bend");
    assert!(!found.weak);

    let table = block(&root, "flex.full_noisy_asymmetry");
    let slopes = found.slopes.as_ref().unwrap();
    close(slopes.f_statistic, get(table, "f_statistic"), 1e-8, "F");
    close(slopes.p_value, get(table, "p_value"), 1e-9, "p");
    assert_eq!(list(table, "df"), [slopes.degrees_of_freedom.0 as f64, slopes.degrees_of_freedom.1 as f64]);
    close(slopes.positive_compliance_mm_per_n.value, get(table, "compliance_left"), 1e-9, "left");
    close(slopes.negative_compliance_mm_per_n.value, get(table, "compliance_right"), 1e-9, "right");
    assert!(!slopes.differ);
}

#[test]
fn derived_branches_are_those_of_the_block() {
    let root = data();
    let table = block(&root, "flex.full_noisy");
    let mut stated = series(table);
    for (reading, b) in stated.iter_mut().zip(list(table, "b")) {
        reading.branch = Some(if b > 0.0 { Branch::Loading } else { Branch::Unloading });
    }
    let settings = Settings::for_resolution(0.1);
    assert_eq!(analyse(&stated, &settings).unwrap(), analyse(&series(table), &settings).unwrap());
}

#[test]
fn loading_only_is_labelled() {
    let root = data();
    let table = block(&root, "flex.loading_only");
    let found = evaluate(table);
    agrees(&found, table);
    assert_eq!(found.lost_motion.as_ref().unwrap().basis, LostMotionBasis::LoadingOnly);
    assert_eq!(found.hysteresis_width.as_ref().unwrap_err().missing, Missing::NoUnloading);
    assert_eq!(found.loop_area.as_ref().unwrap_err().missing, Missing::NoUnloading);
    assert!(found.summary().contains("understates"));
}

#[test]
fn four_points_are_honest_and_weak() {
    let root = data();
    let table = block(&root, "flex.minimum_four_points");
    let found = evaluate(table);
    agrees(&found, table);
    assert!(found.weak);
    let lost = found.lost_motion.as_ref().unwrap();
    assert_eq!(lost.answer, LostMotionAnswer::NoneLargerThan(lost.interval_mm.upper));
    let why = found.slopes.as_ref().unwrap_err();
    assert_eq!(why.missing, Missing::DegreesOfFreedom { points: 4, parameters: 4 });
}

#[test]
fn insufficient_series_are_named() {
    let root = data();
    for case in cases(block(&root, "flex.insufficient"), "cases") {
        let load = list(case, "F");
        let deflection: Vec<f64> = load.iter().map(|f| f * 0.08).collect();
        // "All below the take-up load" needs a take-up load of the card; the others are far above it.
        let settings = Settings { take_up_min_n: 10.0, ..Settings::for_resolution(0.1) };
        let found = analyse(&series_of(&load, &deflection), &settings);
        let name = text(case, "name");
        if text(case, "slope") == "ok" {
            let found = found.unwrap();
            assert!(found.common_stiffness.is_ok(), "{name}");
            assert_eq!(found.lost_motion.unwrap_err().missing, Missing::OneDirectionOnly, "{name}");
        } else {
            let error = found.unwrap_err();
            assert!(matches!(error, LoadDeflectionError::Insufficient(NotGiven { .. })), "{name}");
            assert!(error.to_string().starts_with("insufficient data: slope: "), "{name}: {error}");
        }
    }
}

#[test]
fn loop_areas_by_hand_and_numpy() {
    let root = data();
    let table = block(&root, "flex.loop_area_polygon");
    close(loop_area(&list(table, "F"), &list(table, "d")), get(table, "area_N_mm"), 1e-12, "parallelogram");

    let table = block(&root, "flex.loop_area_one_side");
    let (load, deflection) = (list(table, "F"), list(table, "d"));
    close(loop_area(&load, &deflection), get(table, "area_N_mm"), 1e-12, "area");
    close(loop_area_uncertainty(&load, get(table, "u_d")), get(table, "u_area"), 1e-12, "u area");

    let found = analyse(&series(table), &Settings::for_resolution(0.1)).unwrap();
    let area = found.loop_area.as_ref().unwrap();
    close(area.area_n_mm.value, get(table, "area_N_mm"), 1e-12, "area of the series");
    close(area.work_in_n_mm, get(table, "work_in_N_mm"), 1e-12, "work in");
    close(area.loss_fraction.unwrap(), get(table, "loss_fraction"), 1e-12, "loss");
    assert_eq!(area.basis, LoopBasis::WholeLoop);
    let set = found.residual_set.as_ref().unwrap();
    close(set.set_mm.value, get(table, "residual_set_mm"), 1e-12, "residual set");
    let ratio = set.set_mm.standard_uncertainty / found.s_used_mm;
    close(ratio, get(table, "u_residual_set") / get(table, "u_d"), 1e-12, "u of a difference");
    assert_eq!(set.basis, SetBasis::StartToEnd);
}

#[test]
fn half_cycles_are_loops_of_their_own() {
    let root = data();
    let found = evaluate(block(&root, "flex.full_noisy"));
    let area = found.loop_area.as_ref().unwrap();
    assert_eq!(area.basis, LoopBasis::HalfCycles);
    // By hand, mean load times step: 292.5 + 507.5 - 398.75 - 292.5 - 43.5 and 305.25 + 503.75 - 398.75 - 295.5 - 48.5.
    close(area.area_n_mm.value, 65.25 + 66.25, 1e-9, "sum of the two loops");
}

#[test]
fn energy_gained_is_refused() {
    let load = [0.0, 50.0, 100.0, 150.0, 100.0, 50.0, 0.0];
    let deflection = [0.6, 4.9, 8.9, 12.1, 8.1, 4.1, 0.0];
    let found = analyse(&series_of(&load, &deflection), &Settings::for_resolution(0.1)).unwrap();
    let why = found.loop_area.unwrap_err();
    assert!(matches!(why.missing, Missing::EnergyGained { .. }));
    assert!(why.to_string().starts_with("refused: "));
}

#[test]
fn gauge_step_is_a_floor() {
    let root = data();
    let table = block(&root, "flex.resolution_floor");
    let found = evaluate(table);
    near(found.residual_sd_mm, get(table, "residual_sd"), 1e-12, "no scatter");
    close(found.s_used_mm, get(table, "s_used"), 1e-12, "floor");
    close(found.compliance_mm_per_n.value, get(table, "compliance_mm_per_N"), 1e-12, "compliance");
    let lost = found.lost_motion.unwrap();
    near(lost.estimate_mm.value, get(table, "lost_motion_mm"), 1e-12, "lost motion");
    assert!(lost.interval_mm.upper > 0.5, "coarse readings on a perfect line do not give zero uncertainty");
}

#[test]
fn pull_angle_by_the_cosine_rule() {
    let root = data();
    let table = block(&root, "flex.full_exact");
    for case in root.get("lateral_force").unwrap().as_array().unwrap().iter().map(|v| v.as_table().unwrap()) {
        let Some(percent) = case.get("expected_error_percent") else { continue };
        let angle = get(case, "angle_deg");
        let straight = analyse(&series(table), &Settings::for_resolution(0.1)).unwrap();
        let settings = Settings { pull_angle_deg: angle, ..Settings::for_resolution(0.1) };
        let corrected = analyse(&series(table), &settings).unwrap();
        let k = |r: &LoadDeflection| r.stiffness().unwrap().estimate_n_per_mm.value;
        let overstated = 100.0 * (k(&straight) / k(&corrected) - 1.0);
        close(overstated, crate::values::number(percent), 1e-6, "overstatement of stiffness");
        let square = k(&corrected) / k(&straight) * get(case, "pull_kgf") * 9.80665;
        close(square, get(case, "expected_perp_n"), 1e-6, "square part of the pull");
    }
}

#[test]
fn support_movement_is_subtracted() {
    let root = data();
    let table = block(&root, "flex.full_exact");
    let mut readings = series(table);
    for r in &mut readings {
        r.support_mm = Some(0.01 * r.load_n);
        r.deflection_mm += 0.01 * r.load_n;
    }
    let found = analyse(&readings, &Settings::for_resolution(0.1)).unwrap();
    near(found.compliance_mm_per_n.value, 0.08, 1e-9, "compliance without the support");
    close(found.s_used_mm, (2.0 * 0.01 / 12.0_f64).sqrt(), 1e-9, "two gauges, two steps");
    readings[3].support_mm = None;
    let error = analyse(&readings, &Settings::for_resolution(0.1)).unwrap_err();
    assert_eq!(error, LoadDeflectionError::SupportMissing { index: 3 });
}

#[test]
fn load_scale_doubt_is_added_in_squares() {
    let root = data();
    let table = block(&root, "flex.full_noisy");
    let settings = Settings { load_scale_relative_u: 0.01, ..Settings::for_resolution(0.1) };
    let found = analyse(&series(table), &settings).unwrap();
    let k = found.stiffness().unwrap();
    let relative = k.estimate_n_per_mm.standard_uncertainty / k.estimate_n_per_mm.value;
    let own = get(table, "u_compliance") / get(table, "compliance_mm_per_N");
    close(relative * relative, own * own + 1e-4, 1e-9, "u(k)^2/k^2");
    assert!(k.interval_n_per_mm.lower < list(table, "stiffness_ci")[0]);
}

#[test]
fn different_directions_are_not_given_one_stiffness() {
    let load = [50.0, 100.0, 150.0, 100.0, 50.0, -50.0, -100.0, -150.0, -100.0, -50.0];
    let wobble = [0.01, -0.02, 0.01, 0.02, -0.02, 0.01, -0.01, 0.02, -0.01, 0.0];
    let deflection: Vec<f64> =
        load.iter().zip(wobble).map(|(f, e)| f * if *f > 0.0 { 0.08 } else { 0.10 } + e).collect();
    let found = analyse(&series_of(&load, &deflection), &Settings::for_resolution(0.05)).unwrap();
    let slopes = found.slopes.as_ref().unwrap();
    assert!(slopes.differ);
    near(slopes.positive.as_ref().unwrap().estimate_n_per_mm.value, 12.5, 0.2, "positive");
    near(slopes.negative.as_ref().unwrap().estimate_n_per_mm.value, 10.0, 0.2, "negative");
    near(slopes.relative_difference, 0.25, 0.03, "relative difference");
    assert_eq!(found.stiffness().unwrap_err().missing, Missing::DirectionsDiffer);
    near(found.lost_motion.unwrap().estimate_mm.value, 0.0, 0.1, "no lost motion was put in");
}

#[test]
fn a_bend_seen_both_ways_is_not_linear() {
    let load = [40.0, 80.0, 120.0, 160.0, -40.0, -80.0, -120.0, -160.0];
    let deflection: Vec<f64> = load.iter().map(|f: &f64| 0.05 * f + 3e-4 * f * f.abs()).collect();
    let found = analyse(&series_of(&load, &deflection), &Settings::for_resolution(0.05)).unwrap();
    assert_eq!(found.linearity, Linearity::NotLinear);
    assert!(found.summary().contains("Not linear in this load range"));
}

#[test]
fn unloading_near_the_peak_can_be_left_out() {
    let load = [50.0, 100.0, 150.0, 140.0, 100.0, 50.0];
    let deflection = [4.0, 8.0, 12.0, 11.9, 8.9, 4.9];
    let all = Settings { unloading_limit_fraction: None, ..Settings::for_resolution(0.05) };
    let found = analyse(&series_of(&load, &deflection), &Settings::for_resolution(0.05)).unwrap();
    assert_eq!(found.left_out.iter().map(|l| l.index).collect::<Vec<_>>(), [3]);
    assert_eq!(found.points_used, 5);
    near(found.compliance_mm_per_n.value, 0.08, 1e-9, "undisturbed slope");
    assert_eq!(analyse(&series_of(&load, &deflection), &all).unwrap().points_used, 6);
}

#[test]
fn residual_set_between_cycles() {
    let cycle = [50.0, 100.0, 150.0, 100.0, 50.0, -50.0, -100.0, -150.0, -100.0, -50.0];
    let load: Vec<f64> = cycle.iter().chain(&cycle).copied().collect();
    let deflection: Vec<f64> =
        load.iter().enumerate().map(|(i, f)| 0.08 * f + if i >= 10 { 0.7 } else { 0.0 }).collect();
    let found = analyse(&series_of(&load, &deflection), &Settings::for_resolution(0.05)).unwrap();
    let set = found.residual_set.unwrap();
    assert_eq!(set.basis, SetBasis::SameBranch);
    near(set.set_mm.value, 0.7, 1e-9, "set after the first cycle");
    close(set.load_n, 50.0, 1e-12, "at the smallest load");
}

#[test]
fn bad_readings_are_named() {
    let mut readings = series_of(&[50.0, 100.0, 150.0], &[4.0, 8.0, 12.0]);
    readings[1].deflection_mm = f64::NAN;
    let settings = Settings::for_resolution(0.1);
    assert_eq!(analyse(&readings, &settings).unwrap_err(), LoadDeflectionError::NotFinite { index: 1 });
    let swapped = series_of(&[50.0, 100.0, 150.0, 200.0], &[-4.0, -8.0, -12.0, -16.0]);
    let error = analyse(&swapped, &settings).unwrap_err();
    assert!(matches!(error, LoadDeflectionError::AgainstLoad { .. }), "{error}");
    assert!(analyse(&[], &settings).is_err());
    let angle = Settings { pull_angle_deg: 75.0, ..settings };
    assert!(matches!(
        analyse(&swapped, &angle),
        Err(LoadDeflectionError::Setting { name: "pull_angle_deg", .. })
    ));
}

#[test]
fn loads_above_the_ceiling_are_refused_with_the_caution() {
    assert_eq!(check_ceiling(147.0, 147.0), Ok(()));
    assert_eq!(check_ceiling(-147.0, 147.0), Ok(()));
    let refusal = check_ceiling(-150.0, 147.0).unwrap_err();
    assert!(refusal.to_string().contains("150.0 N is above the ceiling of 147.0 N"));
    assert!(refusal.to_string().contains("maintenance manual govern"));
    assert!(check_ceiling(f64::NAN, 147.0).is_err());
    assert!(check_ceiling(10.0, f64::NAN).is_err());
    assert!(check_ceiling(10.0, -20.0).is_err());
}
