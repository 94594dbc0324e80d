//! One point of a tap test: dominant frequency and decay of each tap, and the point's value.
//!
//! The tapper's mass and tip, a damping hand and paint change the tone; a flag asks for a second look, it is no finding.

use super::input::InputError;
use super::robust::median;
use super::spectrum::{Band, SpectrumError, strongest};
use std::f64::consts::PI;

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "tap/1";

/// Choices of the method, shown in reports.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct TapSettings {
    pub band: Band,
    /// Length taken after the impact, s; less if the next tap comes.
    pub window_s: f64,
    /// Least height of the tone above the band's median, dB.
    pub min_prominence_db: f64,
    /// Largest spread of the taps of one point, as a share of their median.
    pub max_spread: f64,
    pub min_taps: usize,
}

impl Default for TapSettings {
    fn default() -> Self {
        Self {
            band: Band { low_hz: 200.0, high_hz: 6_000.0 },
            window_s: 0.1,
            min_prominence_db: 10.0,
            max_spread: 0.10,
            min_taps: 3,
        }
    }
}

/// Frame of the decay fit, s.
const FRAME_S: f64 = 0.002;
const MIN_FRAMES: usize = 4;

/// One tap. `tau_s` is the decay time of the amplitude in s, where enough frames allow a fit.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Tap {
    pub frequency_hz: f64,
    /// Another mode nearly as strong, Hz.
    pub second_hz: Option<f64>,
    pub tau_s: Option<f64>,
    pub frames_used: usize,
    pub prominence_db: f64,
}

impl Tap {
    /// Damping ratio `1 / (2 pi f tau)`.
    pub fn damping_ratio(&self) -> Option<f64> {
        self.tau_s.map(|tau| 1.0 / (2.0 * PI * self.frequency_hz * tau))
    }
}

/// Least-squares slope of `y` on equally spaced times.
fn slope(y: &[f64], step: f64) -> f64 {
    let n = y.len() as f64;
    let mean_y = y.iter().sum::<f64>() / n;
    let mean_i = (n - 1.0) / 2.0;
    let (mut sxy, mut sxx) = (0.0, 0.0);
    for (i, value) in y.iter().enumerate() {
        let x = i as f64 - mean_i;
        sxy += x * (value - mean_y);
        sxx += x * x;
    }
    sxy / sxx / step
}

/// Decay time in s by least squares of ln(rms) of frames (`frame` samples) on time, and the frames used.
///
/// From the first frame down to 20 dB below it, or 6 dB above the floor (median of the last quarter), whichever
/// comes first. `None` with fewer than 4 frames, or when nothing decays.
pub fn decay_time_s(samples: &[f64], sample_rate_hz: f64, frame: usize) -> (Option<f64>, usize) {
    if frame == 0 {
        return (None, 0);
    }
    let rms = |c: &[f64]| (c.iter().map(|x| x * x).sum::<f64>() / c.len() as f64).sqrt();
    let levels: Vec<f64> = samples.chunks_exact(frame).map(rms).collect();
    let Some(first) = levels.first().copied() else { return (None, 0) };
    let floor = median(&levels[levels.len() - levels.len().div_ceil(4)..]).unwrap_or(0.0);
    let end = (first * 0.1).max(floor * 2.0);
    let used = levels.iter().take_while(|level| **level > end).count();
    if used < MIN_FRAMES {
        return (None, used);
    }
    let logs: Vec<f64> = levels[..used].iter().map(|level| level.ln()).collect();
    let slope = slope(&logs, frame as f64 / sample_rate_hz);
    ((slope < 0.0).then(|| -1.0 / slope), used)
}

/// Frequency and decay of one tap; `samples` start at the impact and end before the next.
///
/// # Errors
/// As [`strongest`], and a tone that does not stand out.
pub fn analyse(samples: &[f64], sample_rate_hz: f64, settings: &TapSettings) -> Result<Tap, SpectrumError> {
    let window = (settings.window_s * sample_rate_hz).round() as usize;
    let samples = &samples[..samples.len().min(window)];
    let peak = strongest(samples, sample_rate_hz, settings.band)?;
    if peak.prominence_db < settings.min_prominence_db {
        return Err(SpectrumError::Faint { prominence_db: peak.prominence_db });
    }
    let mean = samples.iter().sum::<f64>() / samples.len() as f64;
    let centred: Vec<f64> = samples.iter().map(|x| x - mean).collect();
    let (tau_s, frames_used) =
        decay_time_s(&centred, sample_rate_hz, (FRAME_S * sample_rate_hz).round() as usize);
    let (frequency_hz, second_hz) = (peak.frequency_hz, peak.second_hz);
    Ok(Tap { frequency_hz, second_hz, tau_s, frames_used, prominence_db: peak.prominence_db })
}

/// Where the taps of a recording begin: the largest |x| of each group louder than a quarter of the loudest.
///
/// Groups are parted by the window length without such a sample, so taps that follow faster count as one.
pub fn impacts(samples: &[f64], sample_rate_hz: f64, settings: &TapSettings) -> Vec<usize> {
    let loudest = samples.iter().fold(0.0f64, |most, x| most.max(x.abs()));
    let gap = (settings.window_s * sample_rate_hz).round() as usize;
    let mut groups: Vec<(usize, usize)> = Vec::new();
    for (i, x) in samples.iter().enumerate() {
        if loudest > 0.0 && x.abs() > loudest / 4.0 {
            match groups.last_mut() {
                Some((top, last)) if i - *last <= gap => {
                    *last = i;
                    if x.abs() > samples[*top].abs() {
                        *top = i;
                    }
                }
                _ => groups.push((i, i)),
            }
        }
    }
    groups.into_iter().map(|(top, _)| top).collect()
}

/// What a point of the grid gives.
#[derive(Clone, Debug, PartialEq)]
pub enum TapPoint {
    /// Medians over the usable taps; the second mode over those taps that show one.
    Tone { frequency_hz: f64, second_hz: Option<f64>, tau_s: Option<f64>, taps: usize },
    /// The taps of the point differ by more than the allowed spread.
    NoClearTone { lowest_hz: f64, highest_hz: f64 },
    /// An empty cell; it is not filled in from its neighbours.
    TooFewTaps { usable: usize, needed: usize },
}

impl TapPoint {
    /// The frequency, where the point has one.
    pub fn frequency_hz(&self) -> Option<f64> {
        match self {
            Self::Tone { frequency_hz, .. } => Some(*frequency_hz),
            _ => None,
        }
    }
}

/// The value of a point from its usable taps.
pub fn point(taps: &[Tap], settings: &TapSettings) -> TapPoint {
    let frequencies: Vec<f64> = taps.iter().map(|t| t.frequency_hz).collect();
    let middle = match median(&frequencies) {
        Some(middle) if taps.len() >= settings.min_taps => middle,
        _ => return TapPoint::TooFewTaps { usable: taps.len(), needed: settings.min_taps },
    };
    let lowest_hz = frequencies.iter().copied().fold(f64::INFINITY, f64::min);
    let highest_hz = frequencies.iter().copied().fold(0.0, f64::max);
    if highest_hz - lowest_hz > settings.max_spread * middle {
        return TapPoint::NoClearTone { lowest_hz, highest_hz };
    }
    let decays: Vec<f64> = taps.iter().filter_map(|t| t.tau_s).collect();
    let seconds: Vec<f64> = taps.iter().filter_map(|t| t.second_hz).collect();
    TapPoint::Tone {
        frequency_hz: middle,
        second_hz: median(&seconds),
        tau_s: median(&decays),
        taps: taps.len(),
    }
}

/// The value of a point from one recording of all its taps (mono, any unit).
///
/// Taps without a clear tone are left out, and counted as missing.
///
/// # Errors
/// A recording or settings that cannot be used at all.
pub fn point_from_recording(
    samples: &[f64],
    sample_rate_hz: f64,
    settings: &TapSettings,
) -> Result<TapPoint, InputError> {
    let starts = impacts(samples, sample_rate_hz, settings);
    let mut taps = Vec::with_capacity(starts.len());
    for (i, start) in starts.iter().enumerate() {
        let end = starts.get(i + 1).copied().unwrap_or(samples.len());
        match analyse(&samples[*start..end], sample_rate_hz, settings) {
            Ok(tap) => taps.push(tap),
            Err(SpectrumError::Input(error)) => return Err(error),
            Err(_) => {}
        }
    }
    Ok(point(&taps, settings))
}

#[cfg(test)]
mod tests {
    use super::*;

    const FS: f64 = 44_100.0;

    fn recording(frequencies: &[f64]) -> Vec<f64> {
        let mut samples = vec![0.0; (FS * 0.3) as usize * frequencies.len()];
        for (k, f) in frequencies.iter().enumerate() {
            let start = (FS * 0.3) as usize * k + 2_000;
            for i in 0..4_410 {
                let t = i as f64 / FS;
                samples[start + i] += (-t / 0.01).exp() * (2.0 * PI * f * t).sin();
            }
        }
        samples
    }

    #[test]
    fn a_recording_of_three_taps_gives_their_median() {
        let point =
            point_from_recording(&recording(&[1000.0, 1010.0, 1040.0]), FS, &TapSettings::default()).unwrap();
        let TapPoint::Tone { frequency_hz, second_hz: None, tau_s: Some(tau), taps: 3 } = point else {
            panic!("{point:?}")
        };
        assert!((frequency_hz - 1010.0).abs() < 2.0, "{frequency_hz}");
        assert!((tau / 0.01 - 1.0).abs() < 0.05, "{tau}");
    }

    #[test]
    fn taps_that_differ_are_no_clear_tone_and_two_are_too_few() {
        let settings = TapSettings::default();
        let spread = point_from_recording(&recording(&[1000.0, 1300.0, 1010.0]), FS, &settings).unwrap();
        assert!(matches!(spread, TapPoint::NoClearTone { .. }), "{spread:?}");
        let two = point_from_recording(&recording(&[1000.0, 1000.0]), FS, &settings).unwrap();
        assert_eq!(two, TapPoint::TooFewTaps { usable: 2, needed: 3 });
        let silent = point_from_recording(&[0.0; 44_100], FS, &settings).unwrap();
        assert_eq!(silent, TapPoint::TooFewTaps { usable: 0, needed: 3 });
    }

    #[test]
    fn what_does_not_decay_has_no_decay_time() {
        let steady: Vec<f64> = (0..4_410).map(|i| (i as f64 * 0.2).sin()).collect();
        assert_eq!(decay_time_s(&steady, FS, 88).0, None);
        assert_eq!(decay_time_s(&[], FS, 88), (None, 0));
        assert_eq!(decay_time_s(&[1.0], FS, 0), (None, 0));
    }
}
