//! Frequencies, the burst filter and detector, interpolated tables and weighted means.

use super::args::{Answer, Args, maybe, number, numbers, refused};
use serde_json::{Value, json};
use spanwise::measure::filter::BandPass;
use spanwise::measure::frequency::{Change, ChangeVerdict, Count, Frequency, change, from_counts};
use spanwise::measure::noise::{NoiseSettings, detect};
use spanwise::measure::spectrum::{Band, Peak, natural_frequency, noise_bound_hz, strongest};
use spanwise::measure::tension::TensionTable;
use spanwise::measure::weighing::{Support, weigh};

pub const ALL: &[super::Statistic] = &[
    ("spectrum_peak", |a| {
        strongest(&a.numbers("samples")?, a.number("fs")?, band(a)?).map(peak).map_err(refused)
    }),
    ("natural_frequency", |a| {
        let samples = a.numbers("samples")?;
        let found = natural_frequency(&samples, a.number("fs")?, band(a)?).map_err(refused)?;
        Ok(json!({ "hz": number(found.frequency_hz), "u": number(found.u_hz) }))
    }),
    ("noise_bound", |a| {
        let (amplitude, rms) = (a.number("amplitude")?, a.number("rms")?);
        Ok(number(noise_bound_hz(amplitude, rms, a.size("n")?, a.number("fs")?)))
    }),
    ("frequency_from_counts", |a| {
        let count =
            |row: Vec<f64>| Count { cycles: row[0], time_s: row[1], u_time_s: row[2], u_cycles: row[3] };
        let counts: Vec<Count> = a.rows("counts")?.into_iter().map(count).collect();
        let found = from_counts(&counts).map_err(refused)?;
        Ok(json!({ "hz": number(found.hz), "u": number(found.u_hz) }))
    }),
    ("frequency_change", |a| {
        let found = change(frequency(a, "new")?, frequency(a, "old")?, a.number("set_up")?, true);
        found.map(|c| changed(&c)).map_err(refused)
    }),
    ("band_pass", |a| {
        let mut filter =
            BandPass::new(a.number("low_hz")?, a.number("high_hz")?, a.number("fs")?).map_err(refused)?;
        let out: Vec<f64> = a.numbers("samples")?.into_iter().map(|x| filter.step(x)).collect();
        Ok(numbers(&out))
    }),
    ("bursts", bursts),
    ("tension", |a| {
        let rows = a.numbers("temperatures")?.into_iter().zip(a.numbers("tensions")?).collect();
        let table = TensionTable::new(rows).map_err(refused)?;
        table.at(a.number("at")?).map(number).map_err(refused)
    }),
    ("weighing", |a| {
        let (gross, tare, arm) = (a.numbers("gross")?, a.numbers("tare")?, a.numbers("arm")?);
        let support = |i: usize| Support { gross_kg: gross[i], tare_kg: tare[i], arm: arm[i] };
        let supports: Vec<Support> = (0..gross.len()).map(support).collect();
        let (_, balance) = weigh(&supports).map_err(refused)?;
        Ok(json!({ "mass": number(balance.mass_kg), "cg": number(balance.cg) }))
    }),
];

pub fn band(a: &Args) -> Result<Band, String> {
    Ok(Band { low_hz: a.number("low_hz")?, high_hz: a.number("high_hz")? })
}

fn peak(found: Peak) -> Value {
    json!({
        "hz": number(found.frequency_hz),
        "bin": found.bin,
        "fraction": number(found.fraction),
        "amplitude": number(found.amplitude),
        "noise_rms": number(found.noise_rms),
        "prominence_db": number(found.prominence_db),
        "width_bins": number(found.width_bins),
        "unresolved": found.unresolved,
        "second_hz": maybe(found.second_hz),
        "u": number(found.u_hz),
    })
}

fn frequency(a: &Args, key: &str) -> Result<Frequency, String> {
    match a.numbers(key)?[..] {
        [hz, u_hz] => Ok(Frequency { hz, u_hz, repeats: 3 }),
        _ => Err(format!("\"{key}\" needs a frequency and its uncertainty")),
    }
}

fn changed(c: &Change) -> Value {
    json!({
        "ln_ratio": number(c.ln_ratio),
        "u": number(c.u),
        "stiffness_change": number(c.stiffness_change),
        "verdict": match c.verdict {
            ChangeVerdict::Lower => "lower",
            ChangeVerdict::Higher => "higher",
            ChangeVerdict::NoneShown => "none",
            ChangeVerdict::CannotTellSetUpDiffers => "set-up differs",
        },
    })
}

fn bursts(a: &Args) -> Answer {
    let samples: Vec<f32> = a.numbers("samples")?.into_iter().map(|x| x as f32).collect();
    let found = detect(&samples, a.number("fs")?, &NoiseSettings::default()).map_err(refused)?;
    Ok(json!({
        "starts": found.bursts.iter().map(|b| number(b.span.start_s)).collect::<Vec<_>>(),
        "ends": found.bursts.iter().map(|b| number(b.span.end_s)).collect::<Vec<_>>(),
        "heights": found.bursts.iter().map(|b| number(b.height_db)).collect::<Vec<_>>(),
        "masked_share": number(found.masked_share),
        "quiet_db": number(found.quiet_db),
    }))
}
