//! A short run of the fuzzing of every parser; `tests/fuzz/README.md` tells how to run it long.

mod harness;
mod keep;
mod mutate;
mod targets;

#[path = "../screens/fake.rs"]
#[allow(dead_code, reason = "the screens' tests use the rest")]
mod fake;
#[path = "../screens/registers.rs"]
mod registers;
#[path = "../support/mod.rs"]
mod support;

use std::sync::{Mutex, PoisonError};

#[global_allocator]
static MEMORY: peak_alloc::PeakAlloc = peak_alloc::PeakAlloc;

/// One at a time: the allocator counts for the whole process.
static ONE: Mutex<()> = Mutex::new(());

fn short(prefix: &str) {
    let _one = ONE.lock().unwrap_or_else(PoisonError::into_inner);
    let targets: Vec<_> =
        targets::all().into_iter().filter(|target| target.name.split('-').next() == Some(prefix)).collect();
    assert!(!targets.is_empty(), "no target begins with {prefix}");
    for target in targets {
        let told = harness::run(&target, harness::Until::Inputs(target.short), 1);
        assert!(told.findings.is_empty(), "{told}");
        assert!(told.accepted > 0, "{}: no seed was accepted, so nothing deep was reached", target.name);
    }
}

macro_rules! short_runs {
    ($($name:ident)*) => {
        $(#[test]
        fn $name() {
            short(stringify!($name));
        })*

        #[test]
        fn every_target_has_a_short_run() {
            for target in targets::all() {
                let prefix = target.name.split('-').next().unwrap_or_default();
                assert!([$(stringify!($name)),*].contains(&prefix), "{} is never run", target.name);
            }
        }
    };
}

short_runs!(journal register replay plan event checklist compose record compute wav typed code openssh pack unsaved hash);
