//! The fault campaign as a command: `cargo run --release --example campaign -- --points 1000000 --seed 1`, and
//! `-- --mutants` for the faults sown on purpose. Ends with 1 when an invariant breaks or a mutant lives.

#[path = "mod.rs"]
mod campaign;

use std::process::ExitCode;
use std::sync::Arc;

use campaign::mutants::{MUTANTS, hunt};
use clap::Parser;
use spanwise::store::{SharedDisk, SimDisk};

/// Power cuts and failing disks against whole sessions on a simulated disk.
#[derive(Parser)]
struct Arguments {
    /// Crash points to try, at least
    #[arg(long, default_value_t = 50_000)]
    points: u64,
    /// The same seed gives the same figures
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Show that each fault sown into the way of writing is caught
    #[arg(long)]
    mutants: bool,
}

fn main() -> ExitCode {
    let Arguments { points, seed, mutants } = Arguments::parse();
    let fine = if mutants { hunt_all(points, seed) } else { run(points, seed) };
    if fine { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}

fn run(points: u64, seed: u64) -> bool {
    let plain = |disk: &SimDisk| -> SharedDisk { Arc::new(disk.clone()) };
    let figures = campaign::run(points, seed, &plain);
    println!("seed {seed}\n{figures}");
    for words in &figures.breaks {
        println!("BROKEN {words}");
    }
    let fine = figures.broken() == 0;
    println!("{}", if fine { "every invariant held" } else { "an invariant broke" });
    fine
}

fn hunt_all(points: u64, seed: u64) -> bool {
    let mut fine = true;
    println!("{:55}{:>14}  by", "mutant", "caught after");
    for (mutant, words) in MUTANTS {
        match hunt(mutant, seed, points) {
            Some(caught) => println!("{words:55}{:>14}  {}", caught.points, caught.by),
            None => {
                fine = false;
                println!("{words:55}{:>14}  not in {points} crash points", "LIVES");
            }
        }
    }
    fine
}
