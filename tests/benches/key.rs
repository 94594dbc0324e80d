//! From a key to the end of the frame that it leads to, in a plan of 2,000 steps.
//!
//! Two peers: a bare list of as many rows tells what terminal, pseudo-terminal and drawing cost anyway; the same key in a plan of
//! the built-in length tells how the work grows with the plan.

use super::hangars::{ADA, long};
use super::peers;
use super::ratio::{in_turns, ms};
use super::table::Table;
use super::watched::{Watched, spanwise};

const LONG: usize = 2_000;
/// Steps of the demo's glider, whose plan comes from the built-in checklists.
const BUILT_IN: usize = 121;
const TURNS: usize = 100;
/// Within the first section, where no step asks for a configuration.
const ANSWERS: usize = 40;

const UP: &[u8] = b"\x1b[A";
const DOWN: &[u8] = b"\x1b[B";
const HOME: &[u8] = b"\x1b[H";
const END: &[u8] = b"\x1b[F";

pub fn measure(table: &mut Table) {
    let ((long_place, airframe), (short_place, _)) = (long(LONG), long(BUILT_IN));
    let mut ours = Watched::start(spanwise(&long_place, &["--by", ADA, "work", airframe]));
    let mut short = Watched::start(spanwise(&short_place, &["--by", ADA, "work", airframe]));
    let mut list = Watched::start(peers::list(LONG));
    ours.until(&format!("1 of {LONG}"));
    short.until(&format!("1 of {BUILT_IN}"));
    list.until(peers::ROW);
    // From the far end, where whatever looks for the row from the beginning has the longest way.
    ours.press(END);
    short.press(END);
    for _ in 1..LONG {
        list.press(DOWN);
    }
    let pair = in_turns(TURNS, || ms(ours.press(UP)), || ms(list.press(UP)));
    table.row(
        "key (one row up) to frame, 2,000 steps",
        "a ratatui List of 2,000 rows that selects its next row",
        "ms",
        &pair,
    );
    let pair = in_turns(TURNS, || ms(ours.press(DOWN)), || ms(short.press(UP)));
    table.row(
        "the same, 2,000 steps",
        "the same program and key in a plan as long as the built-in one, 121 steps",
        "ms",
        &pair,
    );
    // It moved by as many rows as keys were pressed: each frame was its own.
    let moved = format!(" {LONG} of {LONG} ");
    assert!(ours.picture().contains(&moved), "no \"{moved}\": {}", ours.picture());
    ours.press(HOME);
    short.press(HOME);
    let pair = in_turns(ANSWERS, || answer(&mut ours), || answer(&mut short));
    table.row(
        "key (pass) to the frame that says saved, 2,000 steps",
        "the same program and key in a plan of 121 steps",
        "ms",
        &pair,
    );
}

/// Passes the selected step, then goes to the next one, which is not counted.
fn answer(program: &mut Watched) -> f64 {
    let took = program.press(b"p");
    assert!(program.picture().contains("saved, entry"), "{}", program.picture());
    program.press(DOWN);
    ms(took)
}
