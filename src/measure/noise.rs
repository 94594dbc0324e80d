//! Creaks and crackles in a recording: bursts above a running floor, with masked time set aside.
//!
//! **Experimental.** The detector is proved on synthetic recordings only; its parameters were not yet judged against
//! recordings counted by two people independently. A count is no size of a defect, and the bursts of one crack are not
//! independent of each other. Show no count without [`LABEL`].

use super::filter::BandPass;
use super::input::{InputError, positive};
use super::robust::median;

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "noise-bursts/1";
/// Stands beside every count that is shown.
pub const LABEL: &str = mark!("experimental");

/// Choices of the method, shown in reports.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct NoiseSettings {
    pub band_low_hz: f64,
    /// Lowered to 0.4 of the sampling frequency where that is less.
    pub band_high_hz: f64,
    /// Step of the level frames, s; a frame is two steps long.
    pub hop_s: f64,
    pub floor_window_s: f64,
    pub on_db: f64,
    pub off_db: f64,
    /// Bursts closer than this are one.
    pub lockout_s: f64,
    /// Longer ones are no crackle.
    pub longest_burst_s: f64,
    pub masked_db: f64,
    /// Per cent of the frames that are quieter than the quiet level.
    pub quiet_percentile: f64,
}

impl Default for NoiseSettings {
    fn default() -> Self {
        Self {
            band_low_hz: 1_500.0,
            band_high_hz: 12_000.0,
            hop_s: 0.0025,
            floor_window_s: 2.0,
            on_db: 10.0,
            off_db: 5.0,
            lockout_s: 0.025,
            longest_burst_s: 0.20,
            masked_db: 6.0,
            quiet_percentile: 10.0,
        }
    }
}

/// The floor is renewed after this many frames and held in between.
const FLOOR_EVERY: usize = 40;
/// Keeps the logarithm of silence finite: -120 dB.
const SMALLEST_POWER: f64 = 1e-12;

/// A span of time, s from the start of the recording.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Span {
    pub start_s: f64,
    pub end_s: f64,
}

impl Span {
    pub fn length_s(&self) -> f64 {
        self.end_s - self.start_s
    }

    /// How much of this span lies in `other`, s.
    fn overlap_s(&self, other: &Self) -> f64 {
        (self.end_s.min(other.end_s) - self.start_s.max(other.start_s)).max(0.0)
    }
}

#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Burst {
    pub span: Span,
    /// Greatest height above the floor, dB.
    pub height_db: f64,
}

/// What is heard in a recording.
#[derive(Clone, Debug, PartialEq)]
pub struct Bursts {
    pub bursts: Vec<Burst>,
    /// Time in which the floor was too high to hear a burst; not counted, and left out of the exposure.
    pub masked: Vec<Span>,
    /// Share of the recording that is masked.
    pub masked_share: f64,
    /// Level of the quiet tenth, dB of full scale, for judging whether two recordings are comparable.
    pub quiet_db: f64,
    pub duration_s: f64,
    /// Highest level of each of [`ENVELOPE_STRETCHES`] equal stretches (fewer in a short recording), dB, for a picture.
    pub envelope_db: Vec<f64>,
}

/// Stretches of the envelope: more than any terminal or page shows.
pub const ENVELOPE_STRETCHES: usize = 240;

/// Levels in dB of full scale of frames two hops long, filtered while reading, so that no filtered copy is kept.
fn levels(samples: &[f32], filter: &mut BandPass, hop: usize) -> Vec<f64> {
    let mut powers = samples
        .chunks_exact(hop)
        .map(|chunk| chunk.iter().map(|x| filter.step(f64::from(*x)).powi(2)).sum::<f64>());
    let Some(mut before) = powers.next() else { return Vec::new() };
    powers
        .map(|power| {
            let mean_square = (before + power) / (2 * hop) as f64;
            before = power;
            10.0 * (mean_square + SMALLEST_POWER).log10()
        })
        .collect()
}

/// Running median over `half` frames either way, cut short at the ends.
fn floor(levels: &[f64], half: usize) -> Vec<f64> {
    let mut floor = Vec::with_capacity(levels.len());
    for at in (0..levels.len()).step_by(FLOOR_EVERY) {
        let window = &levels[at.saturating_sub(half)..(at + half + 1).min(levels.len())];
        let value = median(window).unwrap_or(f64::NEG_INFINITY);
        floor.extend(std::iter::repeat_n(value, FLOOR_EVERY.min(levels.len() - at)));
    }
    floor
}

/// Linear interpolation between the sorted values.
fn percentile(values: &[f64], per_cent: f64) -> f64 {
    let mut sorted = values.to_vec();
    sorted.sort_by(f64::total_cmp);
    let place = (per_cent / 100.0).clamp(0.0, 1.0) * (sorted.len() - 1) as f64;
    let (below, share) = (place.floor() as usize, place.fract());
    let above = (below + 1).min(sorted.len() - 1);
    sorted[below] + (sorted[above] - sorted[below]) * share
}

/// Frames from rising above the floor by `on` to falling below it by `off`, joined when closer than `lockout` frames.
fn loud_spans(levels: &[f64], floor: &[f64], settings: &NoiseSettings, frame_s: f64) -> Vec<(usize, usize)> {
    let mut spans: Vec<(usize, usize)> = Vec::new();
    let mut close = |start: usize, end: usize| match spans.last_mut() {
        Some(last) if (start - last.1) as f64 * frame_s < settings.lockout_s => last.1 = end,
        _ => spans.push((start, end)),
    };
    let mut begun = None;
    for (j, (level, floor)) in levels.iter().zip(floor).enumerate() {
        match begun {
            None if *level > floor + settings.on_db => begun = Some(j),
            Some(start) if *level < floor + settings.off_db => {
                close(start, j);
                begun = None;
            }
            _ => {}
        }
    }
    if let Some(start) = begun {
        close(start, levels.len());
    }
    spans
}

fn masked_spans(masked: &[bool], frame_s: f64) -> Vec<Span> {
    let mut spans: Vec<Span> = Vec::new();
    for (j, _) in masked.iter().enumerate().filter(|(_, m)| **m) {
        let (start_s, end_s) = (j as f64 * frame_s, (j + 1) as f64 * frame_s);
        match spans.last_mut() {
            Some(last) if j > 0 && masked[j - 1] => last.end_s = end_s,
            _ => spans.push(Span { start_s, end_s }),
        }
    }
    spans
}

/// Finds the bursts in a mono recording (-1 to 1).
///
/// Check the recording first (`wav::Recording::check_quality`): clipping and noise gates spoil the count.
///
/// # Errors
/// A recording shorter than the floor window; a sampling frequency too low for the band; unusable settings.
pub fn detect(samples: &[f32], sample_rate_hz: f64, settings: &NoiseSettings) -> Result<Bursts, InputError> {
    positive(mark!("sampling frequency"), sample_rate_hz, "Hz")?;
    let high_hz = settings.band_high_hz.min(0.4 * sample_rate_hz);
    let mut filter = BandPass::new(settings.band_low_hz, high_hz, sample_rate_hz)?;
    let hop = (positive(mark!("step of the frames"), settings.hop_s, "s")? * sample_rate_hz) as usize;
    let duration_s = samples.len() as f64 / sample_rate_hz;
    if hop == 0 || hop > samples.len() / 2 || duration_s < settings.floor_window_s {
        let reason = mark!("it is shorter than the 2 s over which the background is found; record longer");
        return Err(InputError::Unusable { what: mark!("the recording"), reason });
    }
    let frame_s = hop as f64 / sample_rate_hz;
    let levels = levels(samples, &mut filter, hop);
    if levels.iter().any(|level| level.is_nan()) || levels.is_empty() {
        return Err(InputError::NotFinite { what: mark!("a sample of the recording") });
    }
    let floor = floor(&levels, (settings.floor_window_s / 2.0 / frame_s) as usize);
    let quiet_db = percentile(&levels, settings.quiet_percentile);
    let masked: Vec<bool> = floor.iter().map(|level| *level > quiet_db + settings.masked_db).collect();
    let bursts = loud_spans(&levels, &floor, settings, frame_s)
        .into_iter()
        .filter(|(start, end)| (end - start) as f64 * frame_s <= settings.longest_burst_s && !masked[*start])
        .map(|(start, end)| Burst {
            span: Span { start_s: start as f64 * frame_s, end_s: end as f64 * frame_s },
            height_db: (start..end).map(|j| levels[j] - floor[j]).fold(0.0, f64::max),
        })
        .collect();
    let masked_share = masked.iter().filter(|m| **m).count() as f64 / masked.len() as f64;
    let envelope_db = levels
        .chunks(levels.len().div_ceil(ENVELOPE_STRETCHES))
        .map(|stretch| stretch.iter().copied().fold(f64::NEG_INFINITY, f64::max))
        .collect();
    Ok(Bursts {
        bursts,
        masked: masked_spans(&masked, frame_s),
        masked_share,
        quiet_db,
        duration_s,
        envelope_db,
    })
}

/// Recordings whose quiet levels differ by more cannot be compared by their counts: another gain, distance or hall.
pub const MAX_QUIET_DIFFERENCE_DB: f64 = 6.0;

/// Whether the quiet levels (dB) of two recordings are close enough for a comparison of their counts.
pub fn comparable_quiet(one: &Bursts, other: &Bursts) -> bool {
    (one.quiet_db - other.quiet_db).abs() <= MAX_QUIET_DIFFERENCE_DB
}

/// More than this share of the load time masked: no count.
pub const MAX_MASKED_SHARE: f64 = 0.25;

/// One load cycle.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct CycleCount {
    pub cycle: Span,
    pub bursts: u64,
    pub masked_s: f64,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoiseAnswer {
    CountValid,
    CannotTellMasked,
}

/// Bursts per load cycle, ready for a comparison of rates.
#[derive(Clone, Debug, PartialEq)]
pub struct NoiseCount {
    /// The cycles that count: all but the first, which settles the structure.
    pub cycles: Vec<CycleCount>,
    pub bursts: u64,
    /// Cycles times the unmasked share of their time.
    pub exposure_cycles: f64,
    /// Masked share of the load time.
    pub masked_share: f64,
    pub answer: NoiseAnswer,
}

fn check_cycles(cycles: &[Span], duration_s: f64) -> Result<(), InputError> {
    if cycles.len() < 2 {
        return Err(InputError::TooFew {
            what: mark!("load cycles (the first is left out)"),
            given: cycles.len(),
            needed: 2,
        });
    }
    let inside = |c: &Span| c.start_s >= 0.0 && c.end_s > c.start_s && c.end_s <= duration_s;
    if !cycles.iter().all(inside) || cycles.windows(2).any(|pair| pair[1].start_s < pair[0].end_s) {
        let reason =
            mark!("each has to end after it starts, within the recording and before the next one starts");
        return Err(InputError::Unusable { what: mark!("the marked load cycles"), reason });
    }
    Ok(())
}

/// Counts the bursts that start in each marked load cycle; the first cycle is left out.
///
/// # Errors
/// Fewer than two cycles; cycles that overlap or lie outside the recording.
pub fn count_per_cycle(heard: &Bursts, cycles: &[Span]) -> Result<NoiseCount, InputError> {
    check_cycles(cycles, heard.duration_s)?;
    let counted: Vec<CycleCount> = cycles[1..]
        .iter()
        .map(|cycle| {
            let starts = |b: &&Burst| (cycle.start_s..cycle.end_s).contains(&b.span.start_s);
            CycleCount {
                cycle: *cycle,
                bursts: heard.bursts.iter().filter(starts).count() as u64,
                masked_s: heard.masked.iter().map(|m| m.overlap_s(cycle)).sum(),
            }
        })
        .collect();
    let load_s: f64 = counted.iter().map(|c| c.cycle.length_s()).sum();
    let masked_share = counted.iter().map(|c| c.masked_s).sum::<f64>() / load_s;
    let answer =
        if masked_share > MAX_MASKED_SHARE { NoiseAnswer::CannotTellMasked } else { NoiseAnswer::CountValid };
    Ok(NoiseCount {
        bursts: counted.iter().map(|c| c.bursts).sum(),
        exposure_cycles: counted.len() as f64 * (1.0 - masked_share),
        cycles: counted,
        masked_share,
        answer,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn span(start_s: f64, end_s: f64) -> Span {
        Span { start_s, end_s }
    }

    fn heard() -> Bursts {
        let burst = |at| Burst { span: span(at, at + 0.01), height_db: 20.0 };
        Bursts {
            bursts: [1.0, 11.0, 12.0, 25.0, 35.0].map(burst).to_vec(),
            masked: vec![span(15.0, 22.0)],
            masked_share: 0.175,
            quiet_db: -60.0,
            duration_s: 40.0,
            envelope_db: vec![-60.0],
        }
    }

    #[test]
    fn the_first_cycle_and_masked_time_are_left_out() {
        let cycles = [span(0.0, 10.0), span(10.0, 20.0), span(20.0, 30.0), span(30.0, 40.0)];
        let count = count_per_cycle(&heard(), &cycles).unwrap();
        assert_eq!(count.bursts, 4);
        assert_eq!(count.cycles.iter().map(|c| c.bursts).collect::<Vec<_>>(), vec![2, 1, 1]);
        assert!((count.masked_share - 7.0 / 30.0).abs() < 1e-12);
        assert!((count.exposure_cycles - 3.0 * 23.0 / 30.0).abs() < 1e-12);
        assert_eq!(count.answer, NoiseAnswer::CountValid);
        let masked = count_per_cycle(&heard(), &cycles[..3]).unwrap();
        assert_eq!(masked.answer, NoiseAnswer::CannotTellMasked);
    }

    #[test]
    fn recordings_of_another_gain_are_not_comparable() {
        let louder = |quiet_db| Bursts { quiet_db, ..heard() };
        assert!(comparable_quiet(&heard(), &louder(-54.0)));
        assert!(!comparable_quiet(&heard(), &louder(-53.9)));
    }

    #[test]
    fn marks_that_cannot_be_are_refused() {
        let refused = |cycles: &[Span]| count_per_cycle(&heard(), cycles).is_err();
        assert!(refused(&[span(0.0, 10.0)]));
        assert!(refused(&[span(0.0, 10.0), span(9.0, 20.0)]));
        assert!(refused(&[span(0.0, 10.0), span(30.0, 41.0)]));
        assert!(refused(&[span(0.0, 10.0), span(30.0, f64::NAN)]));
    }

    #[test]
    fn short_slow_or_broken_recordings_are_refused() {
        let settings = NoiseSettings::default();
        assert!(detect(&[0.0; 1000], 44_100.0, &settings).is_err());
        assert!(detect(&[0.0; 10_000], 3_000.0, &settings).is_err());
        assert!(detect(&[f32::NAN; 100_000], 44_100.0, &settings).is_err());
    }

    #[test]
    fn silence_has_no_bursts() {
        let silent = detect(&[0.0; 200_000], 44_100.0, &NoiseSettings::default()).unwrap();
        assert!(silent.bursts.is_empty() && silent.masked.is_empty());
    }
}
