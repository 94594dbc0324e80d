//! Power cuts and failing disks against whole sessions: see `campaign/mod.rs` for what is tried and what must hold.
//! The same campaign runs longer as a command: `cargo run --release --example campaign`.

mod campaign;

use std::io::Write as _;
use std::sync::Arc;

use campaign::mutants::{MUTANTS, hunt};
use spanwise::store::{SharedDisk, SimDisk};

/// Shown by every run: the tests' own output is caught unless something fails.
fn say(figures: &str) {
    let _ = writeln!(std::io::stderr(), "{figures}");
}

fn plain(disk: &SimDisk) -> SharedDisk {
    Arc::new(disk.clone())
}

#[test]
fn fifty_thousand_crashes() {
    let figures = campaign::run(50_000, 1, &plain);
    say(&figures.to_string());
    assert!(figures.broken() == 0, "{figures}\n{}", figures.breaks.join("\n"));
    assert!(figures.points() >= 50_000, "only {} crash points", figures.points());
    let all = figures.total();
    // Each picture that recovery knows was met, and many calls failed; else the disk was too kind.
    for met in [all.absent, all.clean, all.healed, all.set_aside, all.damaged, all.faults] {
        assert!(met > 300, "{figures}");
    }
    assert!(figures.rows.iter().all(|row| row.points > 300 && row.faults > 20), "{figures}");
}

#[test]
fn the_same_seed_gives_the_same_figures() {
    let [one, again, other] = [7, 7, 8].map(|seed| campaign::random_sessions(1_000, seed, &plain));
    assert_eq!(one.rows, again.rows);
    assert_ne!(one.rows, other.rows);
}

/// The campaign can fail: every fault sown into the way of writing is found out.
#[test]
fn every_mutant_is_caught() {
    let hunt = |(mutant, words)| (words, hunt(mutant, 1, 20_000));
    for (words, caught) in MUTANTS.map(hunt) {
        match caught {
            Some(caught) => println!("{words:55}{:>8}  {}", caught.points, caught.by),
            None => panic!("not caught: {words}"),
        }
    }
}
