//! Records that must be refused, and the modes that must be named.

use super::*;
use proptest::prelude::*;

fn tone(f: f64, tau: f64, fs: f64, n: usize) -> Vec<f64> {
    let t = |i: usize| i as f64 / fs;
    (0..n).map(|i| (-t(i) / tau).exp() * (2.0 * PI * f * t(i) + 0.4).sin()).collect()
}

const WING: Band = Band { low_hz: 1.0, high_hz: 30.0 };

#[test]
fn too_few_cycles_are_refused() {
    let short = tone(3.0, 0.5, 100.0, 1024);
    assert!(matches!(natural_frequency(&short, 100.0, WING), Err(SpectrumError::FewCycles { .. })));
}

#[test]
fn silence_and_unusable_records_are_refused() {
    assert_eq!(natural_frequency(&[0.0; 1024], 100.0, WING), Err(SpectrumError::Silent));
    assert_eq!(natural_frequency(&[0.0; 8], 100.0, WING), Err(SpectrumError::Length { samples: 8 }));
    let band = Band { low_hz: 45.0, high_hz: 60.0 };
    assert!(matches!(natural_frequency(&[1.0; 1024], 100.0, band), Err(SpectrumError::Band { .. })));
    let mut broken = tone(6.0, 9.0, 100.0, 1024);
    broken[7] = f64::NAN;
    assert!(matches!(natural_frequency(&broken, 100.0, WING), Err(SpectrumError::Input(_))));
}

#[test]
fn noise_alone_is_faint() {
    let mut state = 5u64;
    let noise: Vec<f64> = (0..1024)
        .map(|_| {
            state = state.wrapping_mul(6364136223846793005).wrapping_add(1442695040888963407);
            (state >> 11) as f64 / (1u64 << 53) as f64 - 0.5
        })
        .collect();
    // The highest of 300 noise bins stands about 9 dB above their median, so the refusal is by one rule or another.
    let result = natural_frequency(&noise, 100.0, WING);
    assert!(
        matches!(result, Err(SpectrumError::Faint { .. } | SpectrumError::Unresolved { .. })),
        "{result:?}"
    );
}

#[test]
fn a_close_pair_is_not_one_frequency() {
    let bin = 100.0 / 1024.0;
    let (a, b) = (tone(60.0 * bin, 1e9, 100.0, 1024), tone(63.0 * bin, 1e9, 100.0, 1024));
    let pair: Vec<f64> = a.iter().zip(&b).map(|(x, y)| x + 0.9 * y).collect();
    assert!(matches!(natural_frequency(&pair, 100.0, WING), Err(SpectrumError::Unresolved { .. })));
}

#[test]
fn mains_hum_is_not_a_vibration_of_the_wing() {
    let hum = tone(50.0, 1e9, 1000.0, 10_000);
    let band = Band { low_hz: 5.0, high_hz: 100.0 };
    assert!(matches!(natural_frequency(&hum, 1000.0, band), Err(SpectrumError::MainsHum { .. })));
    let damped = tone(50.0, 0.3, 1000.0, 10_000);
    assert!(natural_frequency(&damped, 1000.0, band).is_ok());
}

#[test]
fn a_stronger_tone_outside_the_band_is_noticed() {
    let strong = tone(31.0, 1e9, 100.0, 1024);
    let band = Band { low_hz: 31.3, high_hz: 39.0 };
    assert!(matches!(natural_frequency(&strong, 100.0, band), Err(SpectrumError::EdgeOfBand { .. })));
}

#[test]
fn another_mode_nearly_as_strong_is_named() {
    let (a, b) = (tone(6.0, 1e9, 100.0, 1024), tone(11.0, 1e9, 100.0, 1024));
    let mixed = |share: f64| -> Vec<f64> { a.iter().zip(&b).map(|(x, y)| x + share * y).collect() };
    let second = |share| strongest(&mixed(share), 100.0, WING).unwrap().second_hz;
    assert!((second(0.8).unwrap() - 11.0).abs() < 0.01);
    assert_eq!(second(0.3), None);
}

proptest! {
    #[test]
    fn no_record_or_band_panics(
        samples in proptest::collection::vec(proptest::num::f64::ANY, 0..80),
        fs in proptest::num::f64::ANY,
        low_hz in proptest::num::f64::ANY,
        high_hz in proptest::num::f64::ANY,
    ) {
        let _ = natural_frequency(&samples, fs, Band { low_hz, high_hz });
        let _ = natural_frequency(&samples, 100.0, Band { low_hz: 1.0, high_hz: 40.0 });
    }
}
