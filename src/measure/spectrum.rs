//! The dominant frequency in a recording: Hann window, parabola through the logarithms of three bins.
//!
//! Source: quadratic peak interpolation after J. O. Smith, Spectral Audio Signal Processing; noise bound after Kay,
//! Fundamentals of Statistical Signal Processing I, chapter 3 (from memory). A microphone's or telephone's true
//! sampling frequency has to be checked against a clock: its error goes straight into the result.

use super::input::{InputError, finite, positive};
use crate::words::figure;
use realfft::RealFftPlanner;
use std::f64::consts::{LN_2, PI};
use std::fmt;

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "spectrum/1";

/// Longest record that is transformed, samples.
pub const MAX_SAMPLES: usize = 1 << 23;
const MIN_SAMPLES: usize = 32;
/// Largest bias of the interpolation for a steady tone, bins.
const INTERPOLATION_BIAS_BINS: f64 = 0.016;
/// The lowest bins hold drift and the window's own skirt.
const LOWEST_BIN: usize = 3;
const MIN_PROMINENCE_DB: f64 = 10.0;
const MIN_CYCLES: f64 = 8.0;

/// The frequencies among which the peak is sought, Hz.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Band {
    pub low_hz: f64,
    pub high_hz: f64,
}

/// The strongest line in a band.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Peak {
    pub frequency_hz: f64,
    /// Distance of two bins, Hz.
    pub bin_hz: f64,
    pub bin: usize,
    /// Place between bins, -0.5 to 0.5.
    pub fraction: f64,
    /// Amplitude of a steady tone of this height, in the unit of the samples; the parabola is up to 4 % too high.
    pub amplitude: f64,
    /// Rms of white noise that gives the band's median, in the unit of the samples.
    pub noise_rms: f64,
    /// Height above the band's median, dB.
    pub prominence_db: f64,
    /// Width 3 dB below the top, bins.
    pub width_bins: f64,
    /// A second maximum within 3 dB and nearer than 4 bins.
    pub unresolved: bool,
    /// The next strongest maximum in the band at least 4 bins away, Hz, if within 6 dB: another mode.
    pub second_hz: Option<f64>,
    /// Standard uncertainty of the frequency from interpolation and noise, Hz. Repeats add to it.
    pub u_hz: f64,
}

/// Why a recording gives no frequency.
#[derive(Clone, Debug, PartialEq)]
pub enum SpectrumError {
    Input(InputError),
    Length {
        samples: usize,
    },
    /// The band holds fewer than three bins between the lowest usable one and 0.4 of the sampling frequency.
    Band {
        low_hz: f64,
        high_hz: f64,
        usable_hz: f64,
    },
    Silent,
    EdgeOfBand {
        frequency_hz: f64,
    },
    Faint {
        prominence_db: f64,
    },
    Unresolved {
        frequency_hz: f64,
    },
    FewCycles {
        cycles: f64,
    },
    MainsHum {
        frequency_hz: f64,
    },
}

impl fmt::Display for SpectrumError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Input(error) => error.fmt(f),
            Self::Length { samples } => f.write_str(&say!("the record has {samples} samples; cut it to between {MIN_SAMPLES} and {MAX_SAMPLES} around the vibration", samples, MIN_SAMPLES, MAX_SAMPLES)),
            Self::Band { low_hz, high_hz, usable_hz } => f.write_str(&say!("band \"{low_hz} to {high_hz} Hz\" holds too little of this record (usable up to {usable_hz} Hz); \
                 widen it or record longer", low_hz = figure(low_hz), high_hz = figure(high_hz), usable_hz = figure(usable_hz))),
            Self::Silent => f.write_str(say!("the record holds no vibration; check the microphone and record again")),
            Self::EdgeOfBand { frequency_hz } => f.write_str(&say!("the strongest part, \"{frequency_hz} Hz\", lies at the edge of the band; move the band or remove the disturbance", frequency_hz = figure(format_args!("{:.3}", frequency_hz)))),
            Self::Faint { prominence_db } => f.write_str(&say!("the peak stands only {prominence_db} dB above the rest of the band, 10 dB are needed; excite more strongly", prominence_db = figure(format_args!("{:.1}", prominence_db)))),
            Self::Unresolved { frequency_hz } => f.write_str(&say!("two vibrations lie close together near \"{frequency_hz} Hz\" and cannot be told apart; record longer", frequency_hz = figure(format_args!("{:.3}", frequency_hz)))),
            Self::FewCycles { cycles } => f.write_str(&say!("only {cycles} cycles lie in the record before it dies away, 8 are needed; record longer or excite again", cycles = figure(format_args!("{:.1}", cycles)))),
            Self::MainsHum { frequency_hz } => f.write_str(&say!("the peak at \"{frequency_hz} Hz\" is as steady as mains hum; switch the source off or narrow the band", frequency_hz = figure(format_args!("{:.3}", frequency_hz)))),
        }
    }
}

impl std::error::Error for SpectrumError {}

impl From<InputError> for SpectrumError {
    fn from(error: InputError) -> Self {
        Self::Input(error)
    }
}

/// Magnitudes of the Hann-windowed record, mean removed: `n / 2 + 1` bins.
fn magnitudes(samples: &[f64]) -> Result<Vec<f64>, SpectrumError> {
    let n = samples.len();
    let mean = samples.iter().sum::<f64>() / n as f64;
    finite(mark!("a sample of the record"), mean)?;
    let hann = |i: usize| 0.5 - 0.5 * (2.0 * PI * i as f64 / n as f64).cos();
    let mut windowed: Vec<f64> = samples.iter().enumerate().map(|(i, x)| (x - mean) * hann(i)).collect();
    let transform = RealFftPlanner::<f64>::new().plan_fft_forward(n);
    let mut spectrum = transform.make_output_vec();
    let failed = |_| SpectrumError::Length { samples: n };
    transform.process(&mut windowed, &mut spectrum).map_err(failed)?;
    Ok(spectrum.iter().map(|z| z.norm()).collect())
}

fn median(values: &[f64]) -> f64 {
    super::robust::median(values).unwrap_or(0.0)
}

fn db(ratio: f64) -> f64 {
    20.0 * ratio.max(f64::MIN_POSITIVE).log10()
}

/// Where the spectrum falls 3 dB below the top, both sides together, in bins; straight lines between bins in dB.
fn width_bins(magnitude: &[f64], top: usize) -> f64 {
    let limit = db(magnitude[top]) - 3.0;
    let side = |step: isize| {
        let (mut at, mut distance) = (top, 0.0);
        loop {
            let Some(next) = at.checked_add_signed(step).filter(|i| *i < magnitude.len()) else {
                return distance;
            };
            let (here, there) = (db(magnitude[at]), db(magnitude[next]));
            if there < limit {
                return distance + (here - limit) / (here - there);
            }
            (at, distance) = (next, distance + 1.0);
        }
    };
    side(-1) + side(1)
}

fn has_close_rival(magnitude: &[f64], top: usize) -> bool {
    let near = top.saturating_sub(3).max(1)..(top + 4).min(magnitude.len() - 1);
    near.filter(|i| i.abs_diff(top) >= 2).any(|i| {
        let is_maximum = magnitude[i] > magnitude[i - 1] && magnitude[i] >= magnitude[i + 1];
        is_maximum && db(magnitude[top]) - db(magnitude[i]) < 3.0
    })
}

/// Place of the top between bins, from the logarithms of a bin and its neighbours.
fn parabola(magnitude: &[f64], top: usize) -> f64 {
    let ln = |i: usize| magnitude.get(i).copied().unwrap_or(0.0).max(f64::MIN_POSITIVE).ln();
    let (a, b, c) = (ln(top - 1), ln(top), ln(top + 1));
    let curvature = a - 2.0 * b + c;
    if curvature == 0.0 { 0.0 } else { 0.5 * (a - c) / curvature }
}

/// The strongest local maximum from bin `low` on, at least 4 bins from `top` and at most 6 dB below it.
fn second_peak(magnitude: &[f64], low: usize, top: usize) -> Option<(usize, f64)> {
    let is_maximum = |i: &usize| magnitude[*i] > magnitude[i - 1] && magnitude[*i] >= magnitude[i + 1];
    let candidates = (low..magnitude.len() - 1).filter(|i| i.abs_diff(top) >= 4).filter(is_maximum);
    let best = candidates.max_by(|a, b| magnitude[*a].total_cmp(&magnitude[*b]))?;
    (db(magnitude[top]) - db(magnitude[best]) <= 6.0).then(|| (best, parabola(magnitude, best)))
}

/// The strongest line of `samples` (any unit) within `band`, without judging whether it is good enough.
///
/// # Errors
/// A record that is too short, too long or silent; a band with no usable bins; a maximum at the edge of the band.
pub fn strongest(samples: &[f64], sample_rate_hz: f64, band: Band) -> Result<Peak, SpectrumError> {
    positive(mark!("sampling frequency"), sample_rate_hz, "Hz")?;
    let n = samples.len();
    if !(MIN_SAMPLES..=MAX_SAMPLES).contains(&n) {
        return Err(SpectrumError::Length { samples: n });
    }
    let bin_hz = sample_rate_hz / n as f64;
    let usable_hz = 0.4 * sample_rate_hz;
    let bins = |hz: f64| hz.clamp(0.0, usable_hz) / bin_hz;
    let low = (bins(finite(mark!("lower end of the band"), band.low_hz)?).ceil() as usize).max(LOWEST_BIN);
    let high = bins(finite(mark!("upper end of the band"), band.high_hz)?).floor() as usize;
    if high < low + 2 {
        return Err(SpectrumError::Band { low_hz: band.low_hz, high_hz: band.high_hz, usable_hz });
    }
    let magnitude = magnitudes(samples)?;
    let top = (low..=high).fold(low, |best, i| if magnitude[i] > magnitude[best] { i } else { best });
    let (a, b, c) = (magnitude[top - 1], magnitude[top], magnitude[top + 1]);
    if b <= 0.0 || !b.is_finite() {
        return Err(SpectrumError::Silent);
    }
    if a > b || c > b {
        return Err(SpectrumError::EdgeOfBand { frequency_hz: top as f64 * bin_hz });
    }
    let fraction = parabola(&magnitude, top);
    let [ln_a, ln_b, ln_c] = [a, b, c].map(|m| m.max(f64::MIN_POSITIVE).ln());
    let middle = median(&magnitude[low..=high]);
    // For white noise |X|^2 is exponential with mean sigma^2 sum(w^2) = sigma^2 3N/8, and its median is ln 2 of that.
    let noise_rms = middle / (LN_2 * 0.375 * n as f64).sqrt();
    let amplitude = 4.0 / n as f64 * (ln_b - 0.25 * (ln_a - ln_c) * fraction).exp();
    Ok(Peak {
        frequency_hz: (top as f64 + fraction) * bin_hz,
        bin_hz,
        bin: top,
        fraction,
        amplitude,
        noise_rms,
        prominence_db: db(b / middle.max(f64::MIN_POSITIVE)),
        width_bins: width_bins(&magnitude, top),
        unresolved: has_close_rival(&magnitude, top),
        second_hz: second_peak(&magnitude[..=high], low, top)
            .map(|(bin, fraction)| (bin as f64 + fraction) * bin_hz),
        u_hz: (INTERPOLATION_BIAS_BINS * bin_hz / 3f64.sqrt())
            .hypot(2.0 * noise_bound_hz(amplitude, noise_rms, n, sample_rate_hz)),
    })
}

/// Smallest standard uncertainty in Hz that any estimate from `samples` values of one tone in white noise can have.
///
/// Cramér-Rao bound. The estimate used here scatters about twice as much, hence the factor 2 in [`Peak::u_hz`].
pub fn noise_bound_hz(amplitude: f64, noise_rms: f64, samples: usize, sample_rate_hz: f64) -> f64 {
    let n = samples as f64;
    sample_rate_hz / (2.0 * PI) * (24.0 * noise_rms.powi(2) / (amplitude.powi(2) * n * (n * n - 1.0))).sqrt()
}

/// Time in s around the loudest frame in which the rms stays within 20 dB of it.
fn time_within_20_db(samples: &[f64], sample_rate_hz: f64, frame: usize) -> f64 {
    // A last incomplete frame is left out: a part of a period can look louder than whole ones.
    let mean_square = |c: &[f64]| c.iter().map(|x| x * x).sum::<f64>() / c.len() as f64;
    let powers: Vec<f64> = samples.chunks_exact(frame).map(mean_square).collect();
    let loudest = (0..powers.len()).fold(0, |best, i| if powers[i] > powers[best] { i } else { best });
    let loud = |power: &&f64| **power > powers[loudest] * 0.01;
    // Forwards and backwards: in a steady tone any frame can be the loudest.
    let frames = powers.iter().skip(loudest).take_while(loud).count()
        + powers.iter().take(loudest).rev().take_while(loud).count();
    (frames * frame) as f64 / sample_rate_hz
}

/// Whether a line is as narrow as a steady tone and stands on a multiple of 50 or 60 Hz.
fn is_mains_hum(peak: &Peak) -> bool {
    // With coarse bins nearly every frequency is near some multiple, so that nothing could be said.
    let tolerance_hz = peak.bin_hz.min(0.5);
    let near = |mains: f64| {
        let multiple = (peak.frequency_hz / mains).round();
        multiple >= 1.0 && (peak.frequency_hz - multiple * mains).abs() <= tolerance_hz
    };
    peak.bin_hz <= 5.0 && peak.width_bins < 2.0 && (near(50.0) || near(60.0))
}

/// The natural frequency in a recording of a free vibration, refused where the record does not support it.
///
/// `samples` in any unit, from the excitation on; `band` as on the test card.
///
/// # Errors
/// As [`strongest`]; a faint or doubled peak; fewer than 8 cycles before the vibration has fallen by 20 dB; mains hum.
pub fn natural_frequency(samples: &[f64], sample_rate_hz: f64, band: Band) -> Result<Peak, SpectrumError> {
    let peak = strongest(samples, sample_rate_hz, band)?;
    let frequency_hz = peak.frequency_hz;
    if peak.prominence_db < MIN_PROMINENCE_DB {
        return Err(SpectrumError::Faint { prominence_db: peak.prominence_db });
    }
    if peak.unresolved {
        return Err(SpectrumError::Unresolved { frequency_hz });
    }
    let frame = ((sample_rate_hz / frequency_hz).round() as usize).max(1);
    let mean = samples.iter().sum::<f64>() / samples.len() as f64;
    let centred: Vec<f64> = samples.iter().map(|x| x - mean).collect();
    let cycles = time_within_20_db(&centred, sample_rate_hz, frame) * frequency_hz;
    if cycles < MIN_CYCLES {
        return Err(SpectrumError::FewCycles { cycles });
    }
    if is_mains_hum(&peak) {
        return Err(SpectrumError::MainsHum { frequency_hz });
    }
    Ok(peak)
}

#[cfg(test)]
#[path = "spectrum_tests.rs"]
mod tests;
