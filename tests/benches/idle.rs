//! The program left alone: how often anything in it wakes up.

use std::time::Duration;

use super::binary::INSPECTOR;
use super::hangars::{ADA, demo, long};
use super::peers;
use super::table::Table;
use super::watched::{Watched, spanwise};

/// What a start still has to do is done by then.
const SETTLED: Duration = Duration::from_secs(5);
const LEFT_ALONE: Duration = Duration::from_secs(60);

pub fn measure(table: &mut Table) {
    let ((demo_place, glider), (long_place, airframe)) = (demo(), long(2_000));
    let mut hangar = Watched::start(spanwise(&demo_place, &["--by", INSPECTOR]));
    let mut work = Watched::start(spanwise(&long_place, &["--by", ADA, "work", airframe]));
    let mut started = Watched::start(spanwise(&demo_place, &["--by", INSPECTOR, "work", glider]));
    let mut empty = Watched::start(peers::empty());
    hangar.until("? help");
    work.until("? help");
    // A step answered and a form with something typed in it: what is typed is kept.
    started.until("? help").press(b"n");
    started.press(b"x");
    empty.until(peers::LINE);
    std::thread::sleep(SETTLED);
    let all = [&hangar, &started, &work, &empty];
    let before = all.map(Watched::switches);
    std::thread::sleep(LEFT_ALONE);
    let minutes = LEFT_ALONE.as_secs_f64() / 60.0;
    let after = all.map(Watched::switches);
    let [hangar, started, work, empty] = [0, 1, 2, 3].map(|at| (after[at] - before[at]) as f64 / minutes);
    for (what, count) in [
        ("wake-ups of all threads, left alone: hangar", hangar),
        ("the same: a form with typed text lies open", started),
        ("the same: worksheet of 2,000 steps", work),
    ] {
        table.counts(what, "an empty ratatui program that waits for a key", "a minute", (count, empty));
    }
}
