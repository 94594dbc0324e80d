//! Bursts of one airframe against those of another: what two recordings allow to be said.
//!
//! Every reason to doubt the recordings comes before the test; the test itself is in [`super::rates`].

use super::rates::{
    Clustering, Count, RateError, RateRatio, clustered_ratio, clustering, fewest_events, p_not_above,
    rate_ratio,
};
use std::fmt;

/// Version of this computation, recorded with each result.
pub const METHOD: &str = "burst-comparison/1";

/// More masked load time than this share, and the count is not used.
const MOST_MASKED: f64 = 0.25;
/// Quiet floors further apart than this, dB, are different recordings.
const MOST_FLOOR_DIFFERENCE_DB: f64 = 6.0;
/// Events clustered more than this allow no statement.
const MOST_CLUSTERED: f64 = 5.0;
const ALPHA: f64 = 0.05;

/// One recording as counted.
#[derive(Debug, Clone, PartialEq)]
pub struct Recording {
    /// Bursts in each unmasked load cycle; the first cycle (settling) already left out.
    pub counts_per_cycle: Vec<u64>,
    /// Unmasked load cycles; may be a broken number.
    pub exposure_cycles: f64,
    /// Masked share of the load time, 0 to 1.
    pub masked_share: f64,
    /// Level of the quiet seconds, dB.
    pub quiet_floor_db: f64,
    /// Microphone, sample rate, place and distance in one text.
    pub set_up: String,
    /// The same movements without load: bursts and cycles.
    pub control: Option<Count>,
}

impl Recording {
    fn count(&self) -> Count {
        Count {
            events: self.counts_per_cycle.iter().fold(0, |sum, x| sum.saturating_add(*x)),
            exposure: self.exposure_cycles,
        }
    }
}

/// The answer.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Answer {
    More,
    Fewer,
    /// No difference shown; ratios outside the interval are excluded.
    NoDifferenceShown,
    CannotTell(Doubt),
}

/// Why two recordings allow no statement.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Doubt {
    Masked,
    RecordingsDiffer,
    /// Fewer events than could ever give p < 0.05.
    TooFew {
        found: u64,
        needed: u64,
    },
    /// The control is not clearly quieter than the test.
    Background,
    Clustered,
}

impl fmt::Display for Answer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::More => f.write_str(say!("more bursts")),
            Self::Fewer => f.write_str(say!("fewer bursts")),
            Self::NoDifferenceShown => f.write_str(say!("no difference shown")),
            Self::CannotTell(doubt) => match doubt {
                Doubt::Masked => f.write_str(say!(
                    "cannot tell (masked): more than a quarter of the load time; record again"
                )),
                Doubt::RecordingsDiffer => f.write_str(say!(
                    "cannot tell (recordings differ): use the same microphone, place and distance"
                )),
                Doubt::TooFew { found, needed } => f.write_str(&say!(
                    "cannot tell (too few): {found} bursts, at least {needed} are needed; more load cycles",
                    found,
                    needed
                )),
                Doubt::Background => f.write_str(say!(
                    "cannot tell (background): the control without load is not clearly quieter"
                )),
                Doubt::Clustered => f.write_str(say!("cannot tell (clustered): the bursts come in trains")),
            },
        }
    }
}

/// Two recordings compared. The numbers stand beside a "cannot tell" too, as far as they can be given.
#[derive(Debug, Clone, PartialEq)]
pub struct BurstComparison {
    pub method: &'static str,
    pub first: Count,
    pub second: Count,
    pub ratio: RateRatio,
    /// Clustering of each recording, where it could be checked.
    pub clustering: [Option<Clustering>; 2],
    /// Factor by which the interval was widened; 1 without clustering.
    pub phi: f64,
    pub answer: Answer,
}

/// Compares the first recording with the second (95 %).
pub fn compare_bursts(first: &Recording, second: &Recording) -> Result<BurstComparison, RateError> {
    let (a, b) = (first.count(), second.count());
    for r in [first, second] {
        if !(0.0..=1.0).contains(&r.masked_share) {
            return Err(RateError::Setting { name: mark!("masked share"), value: r.masked_share });
        }
        if !r.quiet_floor_db.is_finite() {
            return Err(RateError::Setting { name: mark!("quiet floor"), value: r.quiet_floor_db });
        }
    }
    let clusters = [clustering(&first.counts_per_cycle).ok(), clustering(&second.counts_per_cycle).ok()];
    let phi = widening(&clusters);
    let exact = rate_ratio(a, b, 1.0 - ALPHA)?;
    // A side without events has no logarithm; there the exact interval stays and clustering is doubted instead.
    let widened = if phi > 1.0 { clustered_ratio(a, b, phi, 1.0 - ALPHA).ok() } else { Some(exact) };
    let ratio = widened.unwrap_or(exact);
    // The quieter recording may be as quiet as its control: a sound airframe is.
    let louder = if a.rate() >= b.rate() { first } else { second };
    let needed = fewest_events(a.exposure, b.exposure, ALPHA)?;
    let found = a.events.saturating_add(b.events);
    let doubt = if first.masked_share.max(second.masked_share) > MOST_MASKED {
        Some(Doubt::Masked)
    } else if recordings_differ(first, second) {
        Some(Doubt::RecordingsDiffer)
    } else if found < needed {
        Some(Doubt::TooFew { found, needed })
    } else if background(louder)? {
        Some(Doubt::Background)
    } else if phi > MOST_CLUSTERED || widened.is_none() {
        Some(Doubt::Clustered)
    } else {
        None
    };
    let answer = match doubt {
        Some(doubt) => Answer::CannotTell(doubt),
        None if ratio.p_value >= ALPHA => Answer::NoDifferenceShown,
        None if a.rate() > b.rate() => Answer::More,
        None => Answer::Fewer,
    };
    Ok(BurstComparison { method: METHOD, first: a, second: b, ratio, clustering: clusters, phi, answer })
}

/// phi when clustering is shown in a recording: mean of both, at least 1.
fn widening(clusters: &[Option<Clustering>; 2]) -> f64 {
    let known: Vec<&Clustering> = clusters.iter().flatten().collect();
    if !known.iter().any(|c| c.p_value < ALPHA) {
        return 1.0;
    }
    (known.iter().map(|c| c.phi).sum::<f64>() / known.len() as f64).max(1.0)
}

fn recordings_differ(first: &Recording, second: &Recording) -> bool {
    (first.quiet_floor_db - second.quiet_floor_db).abs() > MOST_FLOOR_DIFFERENCE_DB
        || first.set_up.trim() != second.set_up.trim()
}

/// True if the control of a recording, where there is one, is not clearly below the test.
fn background(recording: &Recording) -> Result<bool, RateError> {
    match recording.control {
        Some(control) => Ok(p_not_above(recording.count(), control)? > ALPHA),
        None => Ok(false),
    }
}
