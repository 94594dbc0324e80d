//! The burst detector on synthetic recordings of known content, and its filter against scipy.

use crate::values::{Row, signal};
use spanwise::measure::filter::BandPass;
use spanwise::measure::noise::*;
use std::f64::consts::PI;

const FS: f64 = 44_100.0;
const SECONDS: usize = 30;

fn split_mix(seed: u64, n: usize) -> impl Iterator<Item = u64> {
    (1..=n as u64).map(move |i| {
        let mut z = seed.wrapping_add(i.wrapping_mul(0x9E37_79B9_7F4A_7C15));
        z = (z ^ (z >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
        z ^ (z >> 31)
    })
}

/// Uniform on [-1, 1), the same numbers in any language.
pub fn split_mix_noise(seed: u64, n: usize) -> Vec<f64> {
    split_mix(seed, n).map(|z| (z >> 11) as f64 * 2f64.powi(-53) * 2.0 - 1.0).collect()
}

#[derive(Clone, Copy, Default)]
struct Content {
    bursts: bool,
    rattle: bool,
    thumps: bool,
}

/// The recording as described under `burst.generator`, 16 bit.
fn synthesise(content: Content) -> Vec<f32> {
    let n = SECONDS * FS as usize;
    let mut x: Vec<f64> = split_mix_noise(1, n).into_iter().map(|e| 0.002 * 3f64.sqrt() * e).collect();
    if content.bursts {
        for burst in signal("burst", "generator").table("bursts") {
            let [t0, a, f, tau] = burst[..] else { panic!("four columns") };
            let start = (t0 * FS).round() as usize;
            for i in 0..(8.0 * tau * FS) as usize {
                let dt = i as f64 / FS;
                x[start + i] += a * (-dt / tau).exp() * (2.0 * PI * f * dt).sin();
            }
        }
    }
    if content.rattle {
        for (i, e) in split_mix_noise(2, n).into_iter().enumerate() {
            let t = i as f64 / FS;
            if (10.0..20.0).contains(&t) {
                x[i] += 0.06 * 3f64.sqrt() * e * (1.0 + 0.5 * (2.0 * PI * 7.0 * t).sin());
            }
        }
    }
    if content.thumps {
        for t0 in [4.0, 12.0, 21.0] {
            for i in 0..(0.3 * FS) as usize {
                let dt = i as f64 / FS;
                x[(t0 * FS) as usize + i] += 0.5 * (-dt / 0.06).exp() * (2.0 * PI * 80.0 * dt).sin();
            }
        }
    }
    let quantise =
        |v: f64| ((v.clamp(-1.0, 1.0 - 2f64.powi(-15)) * 32768.0).round_ties_even() / 32768.0) as f32;
    x.into_iter().map(quantise).collect()
}

fn content(name: &str) -> Content {
    Content {
        bursts: name.contains("24 bursts"),
        rattle: name.contains("rattle"),
        thumps: name.contains("thumps"),
    }
}

#[test]
fn the_noise_generator_is_exact() {
    let row = signal("burst", "splitmix64");
    let first: Vec<String> = split_mix(1, 4).map(|z| z.to_string()).collect();
    assert_eq!(first, row.texts("first_outputs"));
    assert_eq!(split_mix_noise(1, 4), row.numbers("first_noise"));
}

/// scipy.signal.butter(2, [1500, 12000], bandpass, fs=44100, sos).
#[test]
fn the_filter_is_the_library_design() {
    let wanted = signal("burst", "bandpass_sos").table("sos");
    let filter = BandPass::new(1_500.0, 12_000.0, FS).unwrap();
    for (section, want) in filter.sections.iter().zip(&wanted) {
        let got = [section.b[0], section.b[1], section.b[2], 1.0, section.a[0], section.a[1]];
        for (g, w) in got.iter().zip(want) {
            assert!((g - w).abs() < 1e-12, "{got:?} {want:?}");
        }
    }
}

#[test]
fn the_defaults_are_those_of_the_method() {
    let (row, ours) = (signal("burst", "parameters"), NoiseSettings::default());
    assert_eq!(row.numbers("band_Hz"), vec![ours.band_low_hz, ours.band_high_hz]);
    row.check("hop_samples", (ours.hop_s * FS).floor(), 0.0);
    row.check("frame_samples", 2.0 * (ours.hop_s * FS).floor(), 0.0);
    for (key, value) in [
        ("floor_window_s", ours.floor_window_s),
        ("on_dB", ours.on_db),
        ("off_dB", ours.off_db),
        ("lockout_s", ours.lockout_s),
        ("longest_burst_s", ours.longest_burst_s),
        ("masked_dB", ours.masked_db),
        ("quiet_percentile", ours.quiet_percentile),
    ] {
        row.check(key, value, 0.0);
    }
}

fn matched(heard: &Bursts, case: &Row) -> usize {
    if !content(case.text("name")).bursts {
        return 0;
    }
    let truth = signal("burst", "generator").table("bursts");
    let hit = |t: f64| heard.bursts.iter().any(|b| (b.span.start_s - t).abs() < 0.02);
    truth.iter().filter(|row| hit(row[0])).count()
}

/// Counts in the five synthetic recordings: 24/24, 0/0, 0/0, 24/24, and 16/16 outside the masked time.
#[test]
fn known_bursts_are_counted() {
    let cases = signal("burst", "results").cases();
    assert_eq!(cases.len(), 5);
    for case in cases {
        let name = case.text("name");
        let heard = detect(&synthesise(content(name)), FS, &NoiseSettings::default()).unwrap();
        case.check("expected", heard.bursts.len() as f64, 0.0);
        case.check("detected", heard.bursts.len() as f64, 0.0);
        case.check("matched_within_20ms", matched(&heard, &case) as f64, 0.0);
        case.check("masked_fraction", heard.masked_share, 5e-5);
        let cycles: Vec<Span> = (0..6)
            .map(|i| Span { start_s: 5.0 * f64::from(i), end_s: 5.0 * f64::from(i + 1) - 0.01 })
            .collect();
        let count = count_per_cycle(&heard, &cycles).unwrap();
        let answer = if case.text("answer") == "count valid" {
            NoiseAnswer::CountValid
        } else {
            NoiseAnswer::CannotTellMasked
        };
        assert_eq!(count.answer, answer, "{name}");
        let first_cycle = heard.bursts.iter().filter(|b| b.span.start_s < 5.0).count();
        assert_eq!(count.bursts as usize, heard.bursts.len() - first_cycle, "{name}");
        assert!((count.exposure_cycles - 5.0 * (1.0 - count.masked_share)).abs() < 1e-12);
    }
}

/// The same count from a file as a recorder writes it: 24 bit, two channels.
#[test]
fn a_file_is_counted_like_its_samples() {
    let samples = synthesise(content("24 bursts and thumps"));
    let spec = hound::WavSpec {
        channels: 2,
        sample_rate: FS as u32,
        bits_per_sample: 24,
        sample_format: hound::SampleFormat::Int,
    };
    let mut bytes = std::io::Cursor::new(Vec::new());
    let mut writer = hound::WavWriter::new(&mut bytes, spec).unwrap();
    for sample in &samples {
        for _ in 0..2 {
            writer.write_sample((sample * 8_388_608.0) as i32).unwrap();
        }
    }
    writer.finalize().unwrap();
    let recording = spanwise::measure::wav::read(&bytes.into_inner()[..]).unwrap();
    recording.check_quality().unwrap();
    assert_eq!(recording.samples, samples);
    let heard = detect(&recording.samples, recording.sample_rate_hz, &NoiseSettings::default()).unwrap();
    assert_eq!(heard.bursts.len(), 24);
}
