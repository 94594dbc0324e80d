//! From the start of the process to the first frame on the terminal: the program on the demo's hangar, against
//! the smallest program with the same terminal library. `cargo bench --bench first_frame`.
#![allow(clippy::disallowed_methods, reason = "a benchmark reads the clock")]

mod empty;
mod ratio;

use std::io::Read;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

use portable_pty::{CommandBuilder, PtySize, native_pty_system};

const TURNS: usize = 40;
/// Given to this program, it is the peer.
const EMPTY: &str = "--empty";

fn main() {
    if std::env::args().any(|arg| arg == EMPTY) {
        return empty::run().expect("the empty program runs");
    }
    let place = tempfile::tempdir().expect("a temporary folder");
    let hangar = place.path().join("hangar");
    demo(&hangar);
    let own = std::env::current_exe().expect("this program");
    let pair = ratio::in_turns(
        TURNS,
        || {
            let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_spanwise"));
            command.arg("--hangar");
            command.arg(&hangar);
            first_frame(command, "? help")
        },
        || {
            let mut command = CommandBuilder::new(&own);
            command.arg(EMPTY);
            first_frame(command, empty::LINE)
        },
    );
    println!("first frame");
    pair.tell("spanwise on the demo's hangar", "an empty program");
}

fn demo(hangar: &Path) {
    let made = Command::new(env!("CARGO_BIN_EXE_spanwise"))
        .args(["demo", "--into"])
        .arg(hangar)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .status();
    assert!(made.expect("the program starts").success(), "the demo's hangar is made");
}

/// Starts it in a pseudo-terminal; the time until `wanted`, which stands at the end of its frame, is there.
fn first_frame(mut command: CommandBuilder, wanted: &str) -> Duration {
    let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
    let pair = native_pty_system().openpty(size).expect("a pseudo-terminal");
    command.env("TERM", "xterm-256color");
    let mut output = pair.master.try_clone_reader().expect("a reader");
    let mut screen = vt100::Parser::new(24.try_into().expect("lines"), 80.try_into().expect("columns"), 0);
    let mut bytes = [0; 16 * 1024];
    let started = Instant::now();
    let mut child = pair.slave.spawn_command(command).expect("it starts");
    drop(pair.slave);
    let took = loop {
        let read = output.read(&mut bytes).expect("it draws");
        assert!(read > 0, "it ended without \"{wanted}\": {}", screen.screen().contents());
        screen.process(&bytes[..read]);
        if screen.screen().contents().contains(wanted) {
            break started.elapsed();
        }
    };
    child.kill().expect("ended");
    child.wait().expect("ended");
    took
}
