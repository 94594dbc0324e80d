//! What the program costs, as ratios to named peers measured in turns in the same run; never a timed test.
//!
//! `cargo bench --bench ratios` prints one table. Names behind `--` choose from it: `cargo bench --bench ratios -- idle`.
#![allow(
    clippy::disallowed_methods,
    reason = "a benchmark reads the clock, the system's counters and its own files"
)]

mod append;
#[path = "../binary/mod.rs"]
mod binary;
mod check;
mod first_frame;
mod hand_out;
mod hangars;
mod idle;
mod key;
#[path = "../long_record/mod.rs"]
mod long_record;
mod memory;
mod peers;
mod ratio;
mod replay;
#[path = "../support/mod.rs"]
mod support;
mod table;
mod verify;
mod watched;

use table::Table;

/// Puts its rows into the table.
type Measure = fn(&mut Table);

/// By name, in the order of the table.
const ALL: &[(&str, Measure)] = &[
    ("first-frame", first_frame::measure),
    ("key", key::measure),
    ("idle", idle::measure),
    ("memory", memory::measure),
    ("append", append::measure),
    ("replay", replay::measure),
    ("verify", verify::measure),
    ("check", check::measure),
    ("hand-out", hand_out::measure),
];

fn main() {
    // Called by itself, it is a peer.
    if let Some(done) = peers::asked_for() {
        return done.expect("the peer runs");
    }
    let names: Vec<String> = std::env::args().skip(1).filter(|arg| !arg.starts_with("--")).collect();
    let known: Vec<&str> = ALL.iter().map(|(name, _)| *name).collect();
    if let Some(name) = names.iter().find(|name| !known.contains(&name.as_str())) {
        eprintln!("there is no \"{name}\"; there are {}", known.join(", "));
        std::process::exit(2);
    }
    let mut table = Table::new();
    for (name, measure) in ALL {
        if names.is_empty() || names.iter().any(|wanted| wanted == name) {
            eprintln!("measuring: {name}");
            measure(&mut table);
        }
    }
    table.print();
}
