//! Two ways of doing the same, measured in turns in one run, so that a busy machine troubles both alike.

use std::time::Duration;

/// Times of both, in milliseconds, sorted.
pub struct Pair {
    ours: Vec<f64>,
    peer: Vec<f64>,
    /// One ratio for each turn.
    ratios: Vec<f64>,
}

/// Runs both `turns` times, one after the other, after one turn each that does not count.
pub fn in_turns(
    turns: usize,
    mut ours: impl FnMut() -> Duration,
    mut peer: impl FnMut() -> Duration,
) -> Pair {
    let _ = (ours(), peer());
    let mut pair = Pair { ours: Vec::new(), peer: Vec::new(), ratios: Vec::new() };
    for _ in 0..turns {
        let (a, b) = (ours().as_secs_f64() * 1e3, peer().as_secs_f64() * 1e3);
        pair.ours.push(a);
        pair.peer.push(b);
        pair.ratios.push(a / b);
    }
    for times in [&mut pair.ours, &mut pair.peer, &mut pair.ratios] {
        times.sort_by(f64::total_cmp);
    }
    pair
}

/// The value below which this share of the sorted values lies.
fn quantile(sorted: &[f64], share: f64) -> f64 {
    let last = sorted.len().saturating_sub(1);
    sorted.get((last as f64 * share).round() as usize).copied().unwrap_or(f64::NAN)
}

impl Pair {
    pub fn tell(&self, ours: &str, peer: &str) {
        for (name, times) in [(ours, &self.ours), (peer, &self.peer)] {
            println!(
                "  {name}: median {:.2} ms, middle half {:.2} to {:.2} ms",
                quantile(times, 0.5),
                quantile(times, 0.25),
                quantile(times, 0.75)
            );
        }
        println!(
            "  ratio turn by turn: median {:.2}, middle half {:.2} to {:.2} ({} turns)",
            quantile(&self.ratios, 0.5),
            quantile(&self.ratios, 0.25),
            quantile(&self.ratios, 0.75),
            self.ratios.len()
        );
    }
}
