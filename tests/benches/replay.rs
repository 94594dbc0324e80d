//! Going to any entry of a record of 20,000 against folding it whole, and against the 30 ms after which a person
//! feels a key lag. `cargo bench --bench replay`.
#![allow(clippy::disallowed_methods, reason = "a benchmark reads the clock")]

#[path = "../long_record/mod.rs"]
mod long_record;
mod ratio;
#[path = "../support/mod.rs"]
mod support;

use std::hint::black_box;
use std::time::{Duration, Instant};

use long_record::{Long, stamped};
use spanwise::audit::replay::Timeline;
use spanwise::plan::Plans;
use spanwise::state::replay;
use support::Bench;

const COUNT: usize = 20_000;
/// One series in so many entries: 200 of them.
const SERIES_EVERY: u64 = 100;
const FOLDS: usize = 10;
const JUMPS: usize = 400;
const BUDGET_MS: f64 = 30.0;

fn main() {
    let module = include_str!("replay_module.toml");
    let bench = Bench::with(module, support::AIRFRAME_WITHOUT_REPORTS);
    let people = vec![bench.actor("ada"), bench.actor("bo")];
    let long = Long { plan: &bench.plan, people, seed: 3, series_every: SERIES_EVERY };
    let opened = bench.entries[0].event.clone();
    let entries = stamped(std::iter::once(opened).chain(long.events(1, COUNT as u64 - 1)).collect());
    let plans = Plans::new(bench.plan.clone());
    let folded = replay(&plans, &entries).expect("it folds");
    let line = Timeline::over(&plans, &entries, &folded);
    println!("a jump in {COUNT} entries with {} series", COUNT as u64 / SERIES_EVERY - 1);
    let mut at = 0;
    let fold = || timed(|| drop(black_box(replay(&plans, &entries))));
    let jump = || timed(|| drop(black_box(line.moment(next(&mut at)))));
    ratio::in_turns(FOLDS, jump, fold).tell("a jump", "a full fold");
    let open = || timed(|| drop(black_box(Timeline::over(&plans, &entries, &folded))));
    let fold = || timed(|| drop(black_box(replay(&plans, &entries))));
    ratio::in_turns(FOLDS, open, fold).tell("opening the replay of an open session", "a full fold");
    slowest(&line);
}

/// The slowest of many jumps, each away from where the last one ended.
fn slowest(line: &Timeline) {
    let (mut at, mut moment) = (0, line.moment(0));
    let times: Vec<f64> =
        (0..JUMPS).map(|_| timed(|| line.go(&mut moment, next(&mut at))).as_secs_f64() * 1e3).collect();
    let worst = times.iter().copied().fold(0.0, f64::max);
    let verdict = if worst <= BUDGET_MS { "within" } else { "OVER" };
    println!("  slowest of {JUMPS} jumps: {worst:.2} ms, {verdict} the budget of {BUDGET_MS} ms");
}

/// Far apart and over the whole record; 7919 is a prime.
fn next(at: &mut usize) -> usize {
    *at = (*at + 7_919) % COUNT;
    *at
}

fn timed(act: impl FnOnce()) -> Duration {
    let started = Instant::now();
    act();
    started.elapsed()
}
