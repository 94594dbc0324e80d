//! Long runs: `cargo run --release --example fuzz -- --seconds 600 --seed 7 [--target NAME]`.

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

use std::path::PathBuf;
use std::process::ExitCode;

use clap::Parser;

#[global_allocator]
static MEMORY: peak_alloc::PeakAlloc = peak_alloc::PeakAlloc;

/// Feeds changed inputs to every parser of the program, and keeps what makes one panic, swell or hang.
#[derive(Parser)]
#[command(name = "fuzz")]
struct Arguments {
    /// Time for all targets together, s
    #[arg(long, default_value_t = 60)]
    seconds: u64,
    /// The same seed makes the same inputs
    #[arg(long, default_value_t = 1)]
    seed: u64,
    /// Only the targets whose name begins so
    #[arg(long)]
    target: Option<String>,
    /// Run one kept file through the target and stop
    #[arg(long, requires = "target")]
    replay: Option<PathBuf>,
}

fn main() -> ExitCode {
    let arguments = Arguments::parse();
    let wanted = |name: &str| arguments.target.as_deref().is_none_or(|prefix| name.starts_with(prefix));
    let targets: Vec<_> = targets::all().into_iter().filter(|target| wanted(target.name)).collect();
    if targets.is_empty() {
        let known: Vec<&str> = targets::all().iter().map(|target| target.name).collect();
        eprintln!("there is no such target; the targets are: {}", known.join(", "));
        return ExitCode::from(2);
    }
    if let Some(path) = &arguments.replay {
        return harness::replay(&targets[0], path);
    }
    let share = std::time::Duration::from_secs(arguments.seconds) / targets.len() as u32;
    let mut clean = true;
    println!("{}", harness::HEADING);
    for target in &targets {
        let told = harness::run(target, harness::Until::Time(share), arguments.seed);
        println!("{told}");
        clean &= told.findings.is_empty();
    }
    if clean { ExitCode::SUCCESS } else { ExitCode::FAILURE }
}
