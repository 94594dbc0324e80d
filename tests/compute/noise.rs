//! `compute noise` on the synthetic recording of the check values; its generator stands in `reference/signal-values.toml`.

use crate::common::{at, near};
use crate::handbook_values::signal;

/// SplitMix64 (Steele, Lea and Flood 2014, from memory) as the check values' generator uses it: -1 to 1.
fn split_mix_noise(seed: u64, n: usize) -> Vec<f64> {
    let mut state = seed;
    let mut next = || {
        state = state.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = state;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        2.0 * ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64 - 1.0
    };
    (0..n).map(|_| next()).collect()
}

/// The synthetic recording of the check values (`burst.generator`) as a 16 bit WAV file.
fn recording(with_bursts: bool) -> Vec<u8> {
    let row = signal("burst", "generator");
    let fs = row.number("fs");
    let n = (fs * row.number("duration_s")) as usize;
    let mut samples: Vec<f64> = split_mix_noise(1, n).iter().map(|x| 0.002 * 3f64.sqrt() * x).collect();
    let bursts = if with_bursts { row.table("bursts") } else { Vec::new() };
    for burst in bursts {
        let [t0, a, f, tau] = burst[..] else { panic!("four columns") };
        let start = (t0 * fs).round() as usize;
        for i in 0..((8.0 * tau * fs) as usize).min(n - start) {
            let t = i as f64 / fs;
            samples[start + i] += a * (-t / tau).exp() * (2.0 * std::f64::consts::PI * f * t).sin();
        }
    }
    let spec = hound::WavSpec {
        channels: 1,
        sample_rate: fs as u32,
        bits_per_sample: 16,
        sample_format: hound::SampleFormat::Int,
    };
    let mut file = std::io::Cursor::new(Vec::new());
    let mut writer = hound::WavWriter::new(&mut file, spec).expect("a WAV file");
    for x in samples {
        writer.write_sample((x * 32768.0).round().clamp(-32768.0, 32767.0) as i16).expect("a sample");
    }
    writer.finalize().expect("the file ends");
    file.into_inner()
}

/// 24 bursts by construction, found 24 by the reference detector (numpy, scipy); none where there is none.
#[test]
fn noise_counts_the_bursts_of_the_synthetic_recording() {
    let fetch = |name: &str| Ok(recording(name == "bursts.wav"));
    // The first cycle, which is left out, ends before the first burst at 0.7 s.
    let cycles = "start,end\n0 s,0.5 s\n0.5 s,10 s\n10 s,20 s\n20 s,30 s\n";
    let expected = &signal("burst", "results").cases()[0];
    for (file, bursts) in [("bursts.wav", expected.number("expected")), ("none.wav", 0.0)] {
        let text = format!("@recording,{file}\n{cycles}");
        let report = crate::common::run_with("noise", "n.csv", text.as_bytes(), &[], &fetch);
        let found = report.unwrap_or_else(|faults| panic!("{faults:?}")).json("n.csv");
        near(at(&found, "figures.counts.0.bursts"), bursts, 0.0);
        near(at(&found, "figures.counts.0.exposure_cycles"), 3.0, 1e-9);
        assert_eq!((&found["outcome"], &found["experimental"]), (&"computed".into(), &true.into()));
    }
    let text = format!("recording = \"bursts.wav\"\nreference_recording = \"none.wav\"\n{}", {
        let cycle = |table: &str| {
            format!(
                "[[{table}]]\nstart = \"0 s\"\nend = \"0.5 s\"\n[[{table}]]\nstart = \"0.5 s\"\nend = \"30 s\"\n"
            )
        };
        cycle("cycle") + &cycle("reference_cycle")
    });
    let report = crate::common::run_with("noise", "n.toml", text.as_bytes(), &[], &fetch);
    let found = report.unwrap_or_else(|faults| panic!("{faults:?}")).json("n.toml");
    assert_eq!(found["outcome"], "outside", "{}", found["verdict"]);
}
