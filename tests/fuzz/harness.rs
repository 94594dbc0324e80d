//! Tries inputs on one target: catches panics, bounds memory and time, keeps what fails.
#![allow(clippy::disallowed_methods, reason = "the watchdog needs a clock")]
#![allow(dead_code, reason = "the short and the long run each use a part")]

use std::fmt;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::path::{Path, PathBuf};
use std::process::ExitCode;
use std::sync::{Mutex, Once, PoisonError};
use std::time::{Duration, Instant};

use crate::keep::{self, InHand};
use crate::mutate::Mutator;
use crate::{MEMORY, targets::Target};

/// An input of n bytes may take this much and [`MEMORY_PER_BYTE`] times n more.
const MEMORY_BASE: usize = 64 << 20;
const MEMORY_PER_BYTE: usize = 2_000;
/// The watchdog ends the process here, before the machine suffers.
const MEMORY_HARD: usize = 1 << 30;
/// No run is endless because it is slow: this is far above any input's time even on a busy machine.
const TIME_HARD: Duration = Duration::from_secs(30);
/// The slowest input is kept in `target/fuzz-slowest` from here on.
const WORTH_A_LOOK: Duration = Duration::from_millis(300);
const MOST_FINDINGS: usize = 5;
const SHRINK_TRIES: usize = 300;

#[derive(Clone, Copy)]
pub enum Until {
    Inputs(usize),
    Time(Duration),
}

/// What one target did with all inputs.
#[derive(Default)]
pub struct Told {
    pub target: &'static str,
    pub tried: usize,
    pub accepted: usize,
    pub memory: usize,
    pub slowest: Duration,
    pub findings: Vec<String>,
}

pub const HEADING: &str =
    "target              inputs   accepted    refused  memory KiB  slowest ms  findings";

impl fmt::Display for Told {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let refused = self.tried - self.accepted;
        let (memory, slowest) = (self.memory / 1024, self.slowest.as_secs_f64() * 1e3);
        write!(f, "{:16} {:9} {:10} {refused:10} ", self.target, self.tried, self.accepted)?;
        write!(f, "{memory:11} {slowest:11.1} {:9}", self.findings.len())?;
        self.findings.iter().try_for_each(|finding| write!(f, "\n  {finding}"))
    }
}

/// What is tried just now, for the watchdog.
static IN_HAND: Mutex<Option<(&'static str, Instant, usize)>> = Mutex::new(None);
/// Place and words of the last panic.
static PANIC: Mutex<Option<String>> = Mutex::new(None);

fn locked<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

fn prepare() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let usual = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            if locked(&IN_HAND).is_some() {
                let place =
                    info.location().map_or(String::new(), |at| format!("{}:{}", at.file(), at.line()));
                let payload = info.payload();
                let words = payload.downcast_ref::<String>().map(String::as_str);
                let words = words.or(payload.downcast_ref::<&str>().copied()).unwrap_or("");
                let words = words.lines().next().unwrap_or("").to_string();
                *locked(&PANIC) = Some(format!("panic at {place}: {words}"));
            } else {
                usual(info);
            }
        }));
        std::thread::spawn(watch);
    });
}

/// Ends the process at an input without end; the input is kept in `target/fuzz` and the next run takes it up.
fn watch() {
    loop {
        std::thread::sleep(Duration::from_millis(20));
        let Some((target, since, before)) = *locked(&IN_HAND) else { continue };
        let memory = MEMORY.current_usage().saturating_sub(before);
        if since.elapsed() > TIME_HARD || memory > MEMORY_HARD {
            eprintln!(
                "{target}: the input in target/fuzz/{target} took {:?} and {} MiB so far; run again to keep it",
                since.elapsed(),
                memory >> 20
            );
            std::process::abort();
        }
    }
}

struct Runner<'t> {
    target: &'t Target,
    in_hand: InHand,
    told: Told,
    /// Where it failed before: one finding a place.
    places: Vec<String>,
}

/// Replays everything kept, then tries new inputs.
pub fn run(target: &Target, until: Until, seed: u64) -> Told {
    prepare();
    let (in_hand, died_at) = InHand::open(target.name);
    let told = Told { target: target.name, ..Told::default() };
    let mut runner = Runner { target, in_hand, told, places: Vec::new() };
    if let Some(input) = died_at {
        let path = keep::found(target.name, &input);
        eprintln!("{}: an earlier run ended at {}; it is tried again now", target.name, path.display());
    }
    let mut seeds = (target.seeds)();
    seeds.extend(keep::all("seeds", target.name));
    for input in keep::all("found", target.name).iter().chain(&seeds) {
        runner.one(input);
    }
    let mut mutator =
        Mutator { random: fastrand::Rng::with_seed(seed), tokens: &(target.tokens)(), seeds: &seeds };
    let began = Instant::now();
    for tried in 0.. {
        let is_done = match until {
            Until::Inputs(most) => tried >= most,
            Until::Time(most) => began.elapsed() >= most,
        };
        if is_done || runner.told.findings.len() >= MOST_FINDINGS {
            break;
        }
        runner.one(&mutator.next());
    }
    runner.told
}

/// Runs one kept file and says what came of it.
pub fn replay(target: &Target, path: &Path) -> ExitCode {
    prepare();
    let input = match std::fs::read(path) {
        Ok(input) => input,
        Err(why) => {
            eprintln!("{} cannot be read: {why}", path.display());
            return ExitCode::from(2);
        }
    };
    let tried = attempt(target, &input);
    let (memory, time) = (tried.memory / 1024, tried.time);
    match tried.fault(input.len()) {
        None => println!("{}: accepted {}, {memory} KiB, {time:?}", target.name, tried.accepted),
        Some(fault) => println!("{}: {fault}; {memory} KiB, {time:?}", target.name),
    }
    ExitCode::from(u8::from(tried.fault(input.len()).is_some()))
}

struct Tried {
    accepted: bool,
    panic: Option<String>,
    memory: usize,
    time: Duration,
}

impl Tried {
    /// What is wrong with it; the text is the same for the same place in the code.
    fn fault(&self, len: usize) -> Option<String> {
        let is_large = self.memory > MEMORY_BASE + MEMORY_PER_BYTE * len;
        self.panic.clone().or(is_large.then(|| "too much memory".to_string()))
    }
}

fn attempt(target: &Target, input: &[u8]) -> Tried {
    MEMORY.reset_peak_usage();
    let before = MEMORY.current_usage();
    let began = Instant::now();
    *locked(&IN_HAND) = Some((target.name, began, before));
    let made = catch_unwind(AssertUnwindSafe(|| (target.run)(input)));
    *locked(&IN_HAND) = None;
    let (time, memory) = (began.elapsed(), MEMORY.peak_usage().saturating_sub(before));
    let panic = made.is_err().then(|| locked(&PANIC).take().unwrap_or_default());
    Tried { accepted: made.unwrap_or(false), panic, memory, time }
}

impl Runner<'_> {
    fn one(&mut self, input: &[u8]) {
        self.in_hand.take(input);
        let tried = attempt(self.target, input);
        self.told.tried += 1;
        self.told.accepted += usize::from(tried.accepted);
        self.told.memory = self.told.memory.max(tried.memory);
        if tried.time > self.told.slowest {
            self.told.slowest = tried.time;
            if tried.time > WORTH_A_LOOK {
                keep::slowest(self.target.name, input);
            }
        }
        let Some(fault) = tried.fault(input.len()) else { return };
        let place = fault.split(": ").next().unwrap_or_default().to_string();
        if self.places.contains(&place) {
            return;
        }
        let small = self.shrink(input.to_vec(), &place);
        let path: PathBuf = keep::found(self.target.name, &small);
        self.places.push(place);
        self.told.findings.push(format!(
            "{}: {fault}\n    again: cargo run --example fuzz -- --target {} --replay {}",
            self.target.name,
            self.target.name,
            path.display()
        ));
    }

    /// Leaves blocks out as long as it fails at the same place.
    fn shrink(&mut self, mut input: Vec<u8>, place: &str) -> Vec<u8> {
        let mut size = input.len().div_ceil(2);
        let (mut at, mut tries) = (0, 0);
        while size > 0 && tries < SHRINK_TRIES {
            if at >= input.len() {
                (at, size) = (0, size / 2);
                continue;
            }
            let mut less = input.clone();
            less.drain(at..(at + size).min(input.len()));
            tries += 1;
            self.in_hand.take(&less);
            let fault = attempt(self.target, &less).fault(less.len());
            if fault.is_some_and(|fault| fault.starts_with(place)) {
                input = less;
            } else {
                at += size;
            }
        }
        input
    }
}
