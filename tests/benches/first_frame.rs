//! From the start of the process to the first frame on the terminal.

use std::time::Instant;

use portable_pty::CommandBuilder;

use super::binary::Place;
use super::peers;
use super::ratio::{in_turns, ms};
use super::table::Table;
use super::watched::{Watched, spanwise};

const TURNS: usize = 40;

pub fn measure(table: &mut Table) {
    let place = Place::demo();
    let pair = in_turns(
        TURNS,
        || first_frame(spanwise(&place, &[]), "? help"),
        || first_frame(peers::empty(), peers::LINE),
    );
    table.row(
        "cold start to the first frame, the demo's hangar",
        "an empty ratatui program: one line, then it waits for a key",
        "ms",
        &pair,
    );
}

/// The time until `wanted`, which stands at the end of its frame, is there.
fn first_frame(command: CommandBuilder, wanted: &str) -> f64 {
    let started = Instant::now();
    Watched::start(command).until_seen(wanted);
    ms(started.elapsed())
}
