//! Taps: decay, one tap, and a point of the grid.

use super::args::{Answer, Args, maybe, number, refused};
use super::signal::band;
use serde_json::json;
use spanwise::measure::tap::{TapPoint, TapSettings, analyse, decay_time_s, point_from_recording};

pub const ALL: &[super::Statistic] = &[
    ("tap_decay", |a| {
        let (tau, frames) = decay_time_s(&a.numbers("samples")?, a.number("fs")?, a.size("frame")?);
        Ok(json!({ "tau": maybe(tau), "frames": frames }))
    }),
    ("tap", |a| {
        let settings = TapSettings { band: band(a)?, ..TapSettings::default() };
        let found = analyse(&a.numbers("samples")?, a.number("fs")?, &settings).map_err(refused)?;
        Ok(json!({
            "hz": number(found.frequency_hz),
            "tau": maybe(found.tau_s),
            "damping": maybe(found.damping_ratio()),
        }))
    }),
    ("tap_point", tap_point),
];

fn tap_point(a: &Args) -> Answer {
    let settings = TapSettings { band: band(a)?, ..TapSettings::default() };
    let found = point_from_recording(&a.numbers("samples")?, a.number("fs")?, &settings).map_err(refused)?;
    Ok(match found {
        TapPoint::Tone { frequency_hz, tau_s, taps, .. } => {
            json!({ "kind": "tone", "hz": number(frequency_hz), "tau": maybe(tau_s), "taps": taps })
        }
        TapPoint::NoClearTone { lowest_hz, highest_hz } => {
            json!({ "kind": "no clear tone", "lowest": number(lowest_hz), "highest": number(highest_hz) })
        }
        TapPoint::TooFewTaps { usable, .. } => json!({ "kind": "too few", "taps": usable }),
    })
}
