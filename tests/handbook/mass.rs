//! Weighing and loading.

use crate::values::{Row, example, handbook};
use spanwise::measure::loading::{Loading, min_load_increase_per_kg, placard_min_kg};
use spanwise::measure::weighing::*;

fn items(row: &Row, masses: &str, arms: &str) -> Vec<Item> {
    let pairs = row.numbers(masses).into_iter().zip(row.numbers(arms));
    pairs.map(|(mass_kg, arm)| Item { mass_kg, arm }).collect()
}

/// FAA AC 43.13-1B figure 10-11 (moments as printed), and a derived two-seat glider.
#[test]
fn moment_sums() {
    let rows: Vec<Row> = handbook("mass_balance").into_iter().filter(|row| row.has("masses")).collect();
    assert_eq!(rows.len(), 2);
    for row in rows {
        let sum = moment_sum(&items(&row, "masses", "arms")).unwrap();
        row.check("expected_total_mass", sum.mass_kg, 1e-9);
        row.check("expected_total_moment", sum.moment, row.number("tol_moment"));
        row.check("expected_cg", sum.cg, row.number("tol_cg"));
        let within = sum.cg <= row.number("aft_limit") && sum.mass_kg <= row.number("max_mass");
        assert_eq!(within, row.flag("expected_within_limits"));
        if row.has("printed_moments") {
            for (item, printed) in items(&row, "masses", "arms").iter().zip(row.numbers("printed_moments")) {
                assert!((item.mass_kg * item.arm - printed).abs() <= row.number("tol_moment"));
            }
        }
    }
}

/// Printed shift examples of FAA handbooks and ground-school pages.
#[test]
fn shifts_of_a_mass() {
    for row in handbook("mass_balance_shift") {
        let (total, from, to) = (row.number("total_mass"), row.number("arm_from"), row.number("arm_to"));
        let tol = row.number("tol");
        if row.has("expected_moved_mass") {
            let mass = mass_to_move_kg(total, row.number("cg"), row.number("aft_limit"), from, to).unwrap();
            row.check("expected_moved_mass", mass, tol);
            continue;
        }
        let shift = shift_by_moving(total, row.number("moved_mass"), from, to).unwrap();
        row.check("expected_cg_shift", shift, tol);
        if row.has("printed_cg_shift") {
            row.check("printed_cg_shift", shift, tol);
        }
        if row.has("expected_new_cg") {
            let old = row.number("initial_moment") / total;
            row.check("expected_old_cg", old, tol);
            row.check("expected_new_cg", old + shift, tol);
        }
    }
}

/// A light-aircraft manual prints the whole chain; it holds for any share R/W on the tail.
#[test]
fn tail_wheel_coefficients_of_a_published_manual() {
    let row = example("tailwheel_cg", "coefficients_from_microlight_manual");
    let percent = |share: f64| {
        let arm =
            cg_from_reaction(row.number("main_wheel_aft_of_wing_le"), share, row.number("wheelbase"), 1.0);
        percent_of_chord(arm.unwrap(), row.number("mac_le_aft_of_root_le"), row.number("mac")).unwrap()
    };
    for share in [0.0, 0.05, 0.1, 0.2] {
        let slope = row.number("printed_percent_slope");
        let printed = row.number("printed_percent_const") + slope * share;
        assert!(
            (percent(share) - printed).abs() <= row.number("tol_const") + row.number("tol_slope") * share
        );
    }
}

/// FAA-H-8083-1 empty-weight formulas; recalled (from_memory) for the printed four, so with the print's tolerance.
#[test]
fn centre_of_gravity_from_one_reaction() {
    for (kind, scale, sign) in [("tailwheel_cg", "rear_scale", 1.0), ("nosewheel_cg", "front_scale", -1.0)] {
        let rows: Vec<Row> = handbook(kind).into_iter().filter(|row| row.has(scale)).collect();
        assert_eq!(rows.len(), 2);
        for row in rows {
            assert!(row.flag("from_memory"));
            let lever = sign * row.number("wheelbase");
            let (arm, reaction, total) =
                (row.number("main_wheel_arm"), row.number(scale), row.number("total_mass"));
            let cg = cg_from_reaction(arm, reaction, lever, total).unwrap();
            row.check("printed_cg", cg, row.number("tol"));
            row.check("expected_cg", cg, 1e-6);
            // The moment sum of the two supports is the same point.
            let supports = [(total - reaction, arm), (reaction, arm + lever)];
            let supports = supports.map(|(gross_kg, arm)| Support { gross_kg, tare_kg: 0.0, arm });
            row.check("expected_cg", weigh(&supports).unwrap().1.cg, 1e-6);
        }
    }
}

/// Public examination questions.
#[test]
fn scales_at_arms() {
    for name in ["public_exam_three_scales", "nose_at_datum_10_m_wheelbase"] {
        let row = example("nosewheel_cg", name);
        let sum = moment_sum(&items(&row, "scales", "arms")).unwrap();
        row.check("expected_total_mass", sum.mass_kg, 1e-9);
        row.check("expected_total_moment", sum.moment, 1e-9);
        row.check("expected_cg", sum.cg, row.number("tol"));
    }
}

/// Tare rule of AC 43.13-1B on a derived two-seat glider, with the wrong answer that a forgotten tare gives.
#[test]
fn glider_weighing_with_tare() {
    let row = example("glider_weighing", "two_seat_glider_tail_reaction_with_tare");
    let (gross, tare, arms) = (row.numbers("gross"), row.numbers("tare"), row.numbers("arms"));
    let supports = |with_tare: bool, shift: f64| -> Vec<Support> {
        let one = |i: usize| Support {
            gross_kg: gross[i],
            tare_kg: if with_tare { tare[i] } else { 0.0 },
            arm: arms[i] + shift,
        };
        (0..3).map(one).collect()
    };
    let tol = row.number("tol");
    let (net, balance) = weigh(&supports(true, 0.0)).unwrap();
    for (got, want) in net.iter().zip(row.numbers("expected_net")) {
        assert!((got - want).abs() < 1e-9);
    }
    row.check("expected_total_mass", balance.mass_kg, 1e-9);
    row.check("expected_cg_datum_wing_le", balance.cg, tol);
    let percent = percent_of_chord(balance.cg, row.number("lemac"), row.number("mac")).unwrap();
    row.check("expected_percent_mac", percent, 1e-5);
    let shifted = weigh(&supports(true, row.number("datum_shift_to_nose"))).unwrap().1;
    row.check("expected_cg_datum_nose", shifted.cg, tol);
    row.check("wrong_if_tare_ignored_cg", weigh(&supports(false, 0.0)).unwrap().1.cg, tol);
}

/// Published per-cent-MAC examples; the 17 over 62 one is recalled.
#[test]
fn percent_of_the_chord() {
    for row in handbook("percent_mac") {
        if row.has("percents") {
            let (p, a) = (row.numbers("percents"), row.numbers("arms"));
            let (chord, leading_edge) = chord_from_two_positions([p[0], p[1]], [a[0], a[1]]).unwrap();
            row.check("implied_mac", chord, 1e-3);
            row.check("implied_lemac", leading_edge, 1e-3);
        } else if row.has("percent") {
            let arm = arm_at_percent(row.number("percent"), row.number("lemac"), row.number("mac")).unwrap();
            row.check("expected_cg", arm, row.number("tol"));
        } else {
            let percent = percent_of_chord(row.number("cg"), row.number("lemac"), row.number("mac")).unwrap();
            row.check("expected_percent", percent, 1e-4);
            if row.has("printed_percent") {
                assert!(row.flag("from_memory"));
                row.check("printed_percent", percent, row.number("tol"));
            }
        }
    }
}

/// A sailplane manual prints 4.8 kg more pilot per kg of tail ballast; a sister manual gives the arms.
#[test]
fn the_printed_ballast_factor_and_its_arms_agree() {
    let printed = example("tail_repair", "ballast_factor_in_sailplane_manual");
    let arms = example("tail_repair", "implied_pilot_arm_from_factor");
    let (tail, aft) = (arms.number("tail_arm"), arms.number("aft_limit"));
    let factor = min_load_increase_per_kg(tail, aft, arms.number("expected_pilot_arm")).unwrap();
    assert!((factor - printed.number("factor")).abs() < 0.005);
    // The print has two figures: its range of factors gives the stated range of pilot arms.
    let at_edge = |arm| min_load_increase_per_kg(tail, aft, arm).unwrap();
    assert!((at_edge(-418.9) - 4.75).abs() < 0.001 && (at_edge(-402.3) - 4.85).abs() < 0.001);
    let pilot = printed.number("min_pilot_without") + printed.number("tail_mass") * printed.number("factor");
    printed.check("expected_min_pilot", pilot, printed.number("tol"));
}

/// Derived from the moment balance.
#[test]
fn a_repair_mass_at_the_rudder() {
    let row = example("tail_repair", "repair_mass_at_rudder");
    let tol = row.number("tol");
    let before = Loading {
        empty_kg: row.number("empty_mass"),
        empty_cg: row.number("empty_cg"),
        cockpit_arm: row.number("pilot_arm"),
        forward_limit: 0.0,
        aft_limit: row.number("aft_limit"),
        max_mass_kg: 600.0,
        lifting_parts_kg: None,
        max_non_lifting_kg: None,
        seat_min_kg: 0.0,
        seat_max_kg: 200.0,
    };
    let (mass, arm) = (row.number("repair_mass"), row.number("repair_arm"));
    let after = before.with_mass_added(mass, arm, false).unwrap();
    row.check("expected_new_mass", after.empty_kg, 1e-9);
    row.check("expected_new_cg", after.empty_cg, tol);
    row.check("expected_cg_shift_mm", 1000.0 * (after.empty_cg - before.empty_cg), 1e-5);
    let min = |loading: Loading| loading.cockpit_loads().unwrap().min.kg;
    row.check("expected_min_pilot_before", min(before), tol);
    row.check("expected_min_pilot_after", min(after), tol);
    row.check("expected_min_pilot_increase", min(after) - min(before), tol);
    let per_kg = min_load_increase_per_kg(arm, before.aft_limit, before.cockpit_arm).unwrap();
    row.check("expected_min_pilot_increase", per_kg * mass, tol);
    row.check("expected_placard_before_ceil", placard_min_kg(min(before)), 0.0);
    row.check("expected_placard_after_ceil", placard_min_kg(min(after)), 0.0);
}
