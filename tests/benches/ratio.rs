//! Two ways of doing the same, measured in turns in one run, so that a busy machine troubles both alike.

use std::time::{Duration, Instant};

/// Samples of both in one unit, sorted.
pub struct Pair {
    pub ours: Vec<f64>,
    pub peer: Vec<f64>,
    /// One ratio for each turn.
    pub ratios: Vec<f64>,
}

/// Takes `turns` samples of each, one after the other, after one turn that does not count.
pub fn in_turns(turns: usize, mut ours: impl FnMut() -> f64, mut peer: impl FnMut() -> f64) -> Pair {
    let _ = (ours(), peer());
    let mut pair = Pair { ours: Vec::new(), peer: Vec::new(), ratios: Vec::new() };
    for _ in 0..turns {
        let (a, b) = (ours(), peer());
        pair.ours.push(a);
        pair.peer.push(b);
        pair.ratios.push(a / b);
    }
    for samples in [&mut pair.ours, &mut pair.peer, &mut pair.ratios] {
        samples.sort_by(f64::total_cmp);
    }
    pair
}

/// The value below which this share of the sorted values lies.
pub fn quantile(sorted: &[f64], share: f64) -> f64 {
    let last = sorted.len().saturating_sub(1);
    sorted.get((last as f64 * share).round() as usize).copied().unwrap_or(f64::NAN)
}

/// Milliseconds.
pub fn ms(duration: Duration) -> f64 {
    duration.as_secs_f64() * 1e3
}

/// Milliseconds that it takes.
pub fn timed(act: impl FnOnce()) -> f64 {
    let started = Instant::now();
    act();
    ms(started.elapsed())
}
