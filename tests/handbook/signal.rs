//! Frequency, decay and tap maps against numpy, scipy and a separate reference program.

use crate::noise::split_mix_noise;
use crate::values::{Row, handbook, signal};
use spanwise::measure::frequency::{Count, from_counts, stiffness_change};
use spanwise::measure::robust::{ScaleFrom, robust_z};
use spanwise::measure::spectrum::{Band, natural_frequency, noise_bound_hz, strongest};
use spanwise::measure::tap::{TapSettings, analyse, decay_time_s};
use spanwise::measure::tap_map::{MIN_EFFECT_LN, mirror, outliers};
use std::f64::consts::PI;

const WING: Band = Band { low_hz: 1.0, high_hz: 40.0 };

fn tone(row: &Row, f0: f64, phase: f64, tau: f64) -> Vec<f64> {
    let fs = row.number("fs");
    let at = |i: usize| (-(i as f64) / fs / tau).exp() * (2.0 * PI * f0 * i as f64 / fs + phase).sin();
    (0..row.number("N") as usize).map(at).collect()
}

#[test]
fn steady_tones() {
    let row = signal("frequency", "steady_tone");
    for case in row.cases() {
        let f0 = case.number("f0");
        let peak = natural_frequency(&tone(&row, f0, 0.4, f64::INFINITY), row.number("fs"), WING).unwrap();
        case.check("f_est", peak.frequency_hz, 1e-9);
        case.check("p", peak.fraction, 1e-7);
        case.check("peak_bin", peak.bin as f64, 0.0);
        case.check("f0", peak.frequency_hz, row.number("error_bound_Hz"));
        assert!((peak.amplitude - 1.0).abs() < 0.04, "{}", peak.amplitude);
        row.check("bin_Hz", peak.bin_hz, 1e-12);
    }
}

#[test]
fn decaying_tone_and_its_decay() {
    let row = signal("frequency", "decaying_tone");
    let samples = tone(&row, row.number("f0"), 0.0, row.number("tau_s"));
    let peak = natural_frequency(&samples, row.number("fs"), WING).unwrap();
    row.check("f_est", peak.frequency_hz, 1e-9);
    let fit = signal("frequency", "decay_fit");
    // 24 frames of 16 samples, as the reference took them.
    let (tau, _) = decay_time_s(&samples[..24 * 16], row.number("fs"), 16);
    fit.check_relative("tau_true", tau.unwrap(), fit.number("tolerance_rel"));
}

/// Largest bias of the interpolation over one bin, the figure behind the stated uncertainty.
#[test]
fn interpolation_bias() {
    let row = signal("frequency", "interpolation_bias");
    let n = 4096usize;
    let worst = (0..=100).map(|k| {
        let bin = 800.0 + f64::from(k) / 100.0 - 0.5;
        let samples: Vec<f64> = (0..n).map(|i| (2.0 * PI * bin * i as f64 / n as f64).cos()).collect();
        let peak = strongest(&samples, n as f64, Band { low_hz: 100.0, high_hz: 1500.0 }).unwrap();
        (peak.frequency_hz - bin).abs()
    });
    row.check("hann_log", worst.fold(0.0, f64::max), 2e-5);
}

#[test]
fn noise_bound_and_noise_level() {
    let row = signal("frequency", "noise_bound");
    let (a, s, n, fs) =
        (row.number("amplitude"), row.number("noise_sd"), row.number("N") as usize, row.number("fs"));
    row.check_relative("crb_sd_Hz", noise_bound_hz(a, s, n, fs), 1e-12);
    // The stated uncertainty covers the scatter that 400 simulated records had.
    let noise = split_mix_noise(11, n);
    let samples: Vec<f64> = tone(&row, 6.37, 0.0, f64::INFINITY)
        .iter()
        .zip(noise)
        .map(|(x, e)| x + s * 3f64.sqrt() * e)
        .collect();
    let peak = natural_frequency(&samples, fs, WING).unwrap();
    assert!((peak.noise_rms / s - 1.0).abs() < 0.15, "{}", peak.noise_rms);
    assert!(peak.u_hz > row.number("simulated_sd_Hz"), "{}", peak.u_hz);
    assert!((peak.frequency_hz - 6.37).abs() < 3.0 * peak.u_hz);
}

#[test]
fn counted_cycles() {
    let row = signal("frequency", "counted_cycles");
    let count = Count {
        cycles: row.number("N"),
        time_s: row.number("T_s"),
        u_time_s: row.number("u_T_s"),
        u_cycles: row.number("u_N"),
    };
    let frequency = from_counts(&[count]).unwrap();
    row.check("f_Hz", frequency.hz, 1e-12);
    row.check("u_f_Hz", frequency.u_hz, 1e-12);
    row.check("stiffness_change_for_minus_3_percent_f", stiffness_change(0.97), 1e-12);
}

/// Stiffness goes with the square of the frequency at equal mass.
#[test]
fn stiffness_from_frequency() {
    for row in handbook("stiffness_from_frequency") {
        row.check("expected_exact", stiffness_change(row.number("f_ratio")), row.number("tol"));
    }
}

#[test]
fn single_taps() {
    let row = signal("tap", "single_tap");
    let (fs, n) = (row.number("fs"), row.number("N") as usize);
    for case in row.cases() {
        let noise = split_mix_noise(7, n);
        let clean = tone(&row, case.number("f0"), 0.0, case.number("tau"));
        let samples: Vec<f64> = clean.iter().zip(noise).map(|(x, e)| x + 0.001 * 3f64.sqrt() * e).collect();
        let tap = analyse(&samples, fs, &TapSettings::default()).unwrap();
        case.check("f_est", tap.frequency_hz, 1e-6);
        case.check_relative("f0", tap.frequency_hz, row.number("tolerance_f_percent") / 100.0);
        case.check("frames_used", tap.frames_used as f64, 0.0);
        case.check_relative("tau_est", tap.tau_s.unwrap(), 1e-3);
        case.check_relative("tau", tap.tau_s.unwrap(), row.number("tolerance_tau_percent") / 100.0);
    }
}

#[test]
fn robust_outliers() {
    for (name, from) in [("outlier_map", ScaleFrom::MedianDeviation), ("mad_zero", ScaleFrom::MeanDeviation)]
    {
        let row = signal("tap", name);
        let robust = robust_z(&row.numbers("f_Hz"), 0.0).unwrap();
        row.check("median", robust.median, 1e-12);
        row.check_relative("scale", robust.scale, 1e-12);
        assert_eq!(robust.scale_from, from);
        for (got, want) in robust.z.iter().zip(row.numbers("z")) {
            assert!((got - want).abs() < 1e-9);
        }
        // The map works on logarithms; the same points stand out.
        let cells: Vec<Option<f64>> = row.numbers("f_Hz").into_iter().map(Some).collect();
        assert_eq!(outliers(&cells, 0.0).unwrap().flagged, row.indices("flagged"));
    }
}

#[test]
fn mirrored_sides() {
    let row = signal("tap", "mirror");
    let side = |key: &str| -> Vec<Option<f64>> { row.numbers(key).into_iter().map(Some).collect() };
    let map = mirror(&side("f_left"), &side("f_right"), 0.0).unwrap();
    for (got, want) in map.delta.iter().zip(row.numbers("delta")) {
        assert!((got.unwrap() - want).abs() < 1e-12);
    }
    for (got, want) in map.z.iter().zip(row.numbers("z")) {
        assert!((got.unwrap() - want).abs() < 1e-8);
    }
    row.check("median", map.side_offset, 1e-12);
    row.check("smallest_practical_effect_ln", MIN_EFFECT_LN, 0.0);
    assert_eq!(map.flagged, row.indices("flagged"));
    assert!(!map.whole_side_differs);
}
