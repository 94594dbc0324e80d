//! Going to any entry of a record of 20,000 against folding it whole, and against the 30 ms after which a person
//! feels a key lag.

use std::hint::black_box;

use spanwise::audit::replay::Timeline;
use spanwise::plan::Plans;
use spanwise::state::replay;

use super::long_record::{Long, stamped};
use super::ratio::{in_turns, timed};
use super::support::{self, Bench};
use super::table::Table;

const COUNT: usize = 20_000;
/// One series in so many entries: 200 of them.
const SERIES_EVERY: u64 = 100;
const FOLDS: usize = 10;
const JUMPS: usize = 400;
const BUDGET_MS: f64 = 30.0;

pub fn measure(table: &mut Table) {
    let module = include_str!("replay_module.toml");
    let bench = Bench::with(module, support::AIRFRAME_WITHOUT_REPORTS);
    let people = vec![bench.actor("ada"), bench.actor("bo")];
    let long = Long { plan: &bench.plan, people, seed: 3, series_every: SERIES_EVERY };
    let opened = bench.entries[0].event.clone();
    let entries = stamped(std::iter::once(opened).chain(long.events(1, COUNT as u64 - 1)).collect());
    let plans = Plans::new(bench.plan.clone());
    let folded = replay(&plans, &entries).expect("it folds");
    let line = Timeline::over(&plans, &entries, &folded);
    let mut at = 0;
    let fold = || timed(|| drop(black_box(replay(&plans, &entries))));
    let jump = || timed(|| drop(black_box(line.moment(next(&mut at)))));
    let what = format!("replay: a jump in {COUNT} entries with {} series", COUNT as u64 / SERIES_EVERY - 1);
    table.row(&what, "a fold of the whole record", "ms", &in_turns(FOLDS, jump, fold));
    let open = || timed(|| drop(black_box(Timeline::over(&plans, &entries, &folded))));
    let fold = || timed(|| drop(black_box(replay(&plans, &entries))));
    let pair = in_turns(FOLDS, open, fold);
    table.row("opening the replay of an open session", "a fold of the whole record", "ms", &pair);
    let what = format!("the slowest of {JUMPS} jumps");
    let peer_is = "what a person feels as lag (common practice, no source)";
    table.counts(&what, peer_is, "ms", (slowest(&line), BUDGET_MS));
}

/// The slowest of many jumps, each away from where the last one ended.
fn slowest(line: &Timeline) -> f64 {
    let (mut at, mut moment) = (0, line.moment(0));
    (0..JUMPS).map(|_| timed(|| line.go(&mut moment, next(&mut at)))).fold(0.0, f64::max)
}

/// Far apart and over the whole record; 7919 is a prime.
fn next(at: &mut usize) -> usize {
    *at = (*at + 7_919) % COUNT;
    *at
}
