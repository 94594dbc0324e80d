//! The detection study against the exact power of the t test and against itself.
//!
//! Critical values for the checks: the smallest loss factors of `reference/comparison.toml` (scipy, noncentral t) and
//! the printed outputs of SplitMix64 with seed 1 (computed by the check values' own generator).

use crate::values::{block, parse, rows};
use spanwise::measure::compare::StatedVariation;
use spanwise::measure::detection::{DetectionError, Hangar, Outcome, SplitMix64, Study, run};

/// Invented noise: between-airframe scatter alone, everything else next to nothing.
fn quiet_hangar() -> Hangar {
    Hangar {
        load_noise_n: 0.0,
        gauge_noise_mm: 1e-4,
        gauge_step_mm: 0.0,
        set_up_relative: 0.0,
        between_airframe_cv: 0.04,
        hysteresis_mm: 0.9,
        lost_motion_mm: 1.6,
        missing_share: 0.0,
    }
}

/// Invented noise of a working hangar.
fn working_hangar() -> Hangar {
    Hangar {
        load_noise_n: 2.0,
        gauge_noise_mm: 0.1,
        gauge_step_mm: 0.1,
        set_up_relative: 0.01,
        missing_share: 0.05,
        ..quiet_hangar()
    }
}

fn study(hangar: Hangar) -> Study {
    Study { repetitions: 800, ..Study::of(hangar, 12.5, vec![50.0, 100.0, 150.0], 1) }
}

#[test]
fn splitmix64_gives_the_printed_numbers() {
    let expected: [u64; 4] =
        [10451216379200822465, 13757245211066428519, 17911839290282890590, 8196980753821780235];
    let mut random = SplitMix64::new(1);
    assert_eq!(expected.map(|_| random.next_u64()), expected);
}

#[test]
fn normal_draws_have_the_moments_of_the_normal_distribution() {
    let mut random = SplitMix64::new(7);
    let n = 100_000;
    let draws: Vec<f64> = (0..n).map(|_| random.normal(2.0)).collect();
    let moment = |k: i32| draws.iter().map(|x| (x / 2.0).powi(k)).sum::<f64>() / f64::from(n);
    // Standard deviations of the moments: 1, sqrt 2, sqrt 96 over sqrt n; four of them allowed.
    let allowed = 4.0 / f64::from(n).sqrt();
    assert!(moment(1).abs() < allowed);
    assert!((moment(2) - 1.0).abs() < allowed * 2.0_f64.sqrt());
    assert!((moment(4) - 3.0).abs() < allowed * 96.0_f64.sqrt());
}

/// Simulated and exact probability agree within four binomial standard deviations.
fn agrees(outcome: &Outcome) {
    let exact = outcome.exact.unwrap().softer;
    let (simulated, _) = outcome.softer_share();
    let allowed = 4.0 * (exact * (1.0 - exact) / outcome.repetitions as f64).sqrt() + 1e-3;
    assert!(
        (simulated - exact).abs() <= allowed,
        "n {} loss {}: simulated {simulated}, exact {exact}",
        outcome.references,
        outcome.true_loss
    );
}

#[test]
fn simulated_power_is_the_exact_power() {
    let study = Study { references: vec![2, 3, 5, 10], losses: vec![0.0, 0.1, 0.2], ..study(quiet_hangar()) };
    let outcomes = run(&study).unwrap();
    assert_eq!(outcomes.len(), 12);
    for outcome in &outcomes {
        agrees(outcome);
        let all =
            outcome.softer + outcome.stiffer + outcome.consistent + outcome.cannot_tell + outcome.no_result;
        assert_eq!(all, outcome.repetitions);
    }
    // False alarms of both senses together: the stated 5 %.
    for outcome in outcomes.iter().filter(|o| o.true_loss == 0.0) {
        let (alarms, _) = outcome.alarm_share();
        assert!((alarms - 0.05).abs() < 4.0 * (0.05_f64 * 0.95 / 800.0).sqrt(), "{alarms}");
    }
}

#[test]
fn the_smallest_loss_is_found_four_times_in_five() {
    let root = parse(include_str!("../reference/comparison.toml"));
    let sigma = (0.04_f64 * 0.04).ln_1p().sqrt();
    for row in rows(block(&root, "reference.factors"), "rows") {
        let loss = -(-row[3] * sigma).exp_m1();
        let study = Study {
            references: vec![row[0] as usize],
            losses: vec![loss],
            repetitions: 300,
            ..study(quiet_hangar())
        };
        let outcome = &run(&study).unwrap()[0];
        let exact = outcome.exact.unwrap().softer;
        assert!((exact - 0.8).abs() < 1e-3, "n {}: {exact}", row[0]);
        agrees(outcome);
    }
}

#[test]
fn a_working_hangar_gives_no_more_false_alarms() {
    let study = Study { references: vec![2, 3, 5], losses: vec![0.0, 0.3], ..study(working_hangar()) };
    let outcomes = run(&study).unwrap();
    for outcome in outcomes.iter().filter(|o| o.true_loss == 0.0) {
        let (alarms, u) = outcome.alarm_share();
        assert!(alarms < 0.05 + 4.0 * u, "n {}: {alarms}", outcome.references);
    }
    let found: Vec<f64> =
        outcomes.iter().filter(|o| o.true_loss == 0.3).map(|o| o.softer_share().0).collect();
    assert!(found.is_sorted(), "more references find more: {found:?}");
    assert!(found[2] > 0.95, "a loss of 30 % with five references: {}", found[2]);
}

#[test]
fn one_reference_tells_nothing_unless_a_variation_is_stated() {
    let alone =
        Study { references: vec![1], losses: vec![0.0, 0.5], repetitions: 50, ..study(working_hangar()) };
    for outcome in run(&alone).unwrap() {
        assert_eq!(outcome.cannot_tell + outcome.no_result, outcome.repetitions);
        assert_eq!(outcome.exact, None);
    }
    let stated = StatedVariation {
        spread: 0.04,
        relative_doubt: 0.25,
        measurement_u: 0.02,
        stated_by: "invented".to_string(),
    };
    let outcomes = run(&Study { stated: Some(stated), ..alone }).unwrap();
    assert!(outcomes[1].softer_share().0 > 0.9, "half the stiffness gone is found");
}

#[test]
fn the_same_seed_gives_the_same_study() {
    let study = Study { references: vec![3], losses: vec![0.2], repetitions: 100, ..study(working_hangar()) };
    assert_eq!(run(&study), run(&study));
    assert_ne!(run(&study), run(&Study { seed: 2, ..study.clone() }));
}

#[test]
fn impossible_studies_are_refused() {
    let bad = Study { losses: vec![1.0], ..study(quiet_hangar()) };
    assert!(matches!(run(&bad), Err(DetectionError::Argument { name: "true loss", .. })));
    let mut bad = study(quiet_hangar());
    bad.hangar.gauge_noise_mm = -1.0;
    assert!(run(&bad).unwrap_err().to_string().contains("gauge noise"));
    let bad = Study { repetitions: 0, ..study(quiet_hangar()) };
    assert!(run(&bad).is_err());
}
