//! The most memory that was ever resident, after a walk through the screens.

use portable_pty::CommandBuilder;

use super::binary::INSPECTOR;
use super::hangars::{ADA, demo, long};
use super::peers;
use super::ratio::in_turns;
use super::table::Table;
use super::watched::{Watched, spanwise};

const TURNS: usize = 5;
/// Down the list, its end, then every screen of a session once, and back.
const WALK: [&[u8]; 14] =
    [b"\x1b[B", b"\x1b[B", b"\x1b[F", b"\x1b[H", b"2", b"3", b"4", b"5", b"6", b"7", b"8", b"9", b"0", b"1"];

pub fn measure(table: &mut Table) {
    let ((demo_place, glider), (long_place, airframe)) = (demo(), long(2_000));
    let peer_is = "an empty ratatui program";
    for (what, place, by, registration) in [
        ("peak memory, the demo's annual, every screen", &demo_place, INSPECTOR, glider),
        ("peak memory, 2,000 steps, every screen", &long_place, ADA, airframe),
    ] {
        let command = || spanwise(place, &["--by", by, "work", registration]);
        let pair =
            in_turns(TURNS, || peak(command(), "? help", &WALK), || peak(peers::empty(), peers::LINE, &[]));
        table.row(what, peer_is, "MiB", &pair);
    }
}

fn peak(command: CommandBuilder, wanted: &str, keys: &[&[u8]]) -> f64 {
    let mut program = Watched::start(command);
    program.until(wanted);
    for key in keys {
        program.press(key);
    }
    program.peak_mib()
}
