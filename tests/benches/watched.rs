//! A program in a pseudo-terminal of 24 lines and 80 columns: its frames, and what the system counts of it.

use std::io::{Read, Write};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use vt100::Parser;

use super::binary::Place;

const SIZE: PtySize = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
/// Every drawing of the terminal library ends by hiding or showing the cursor.
const END: &[u8] = b"\x1b[?25";

pub struct Watched {
    child: Box<dyn Child + Send + Sync>,
    output: Box<dyn Read + Send>,
    keys: Box<dyn Write + Send>,
    screen: Parser,
    /// The end of what was read: the mark of a frame's end may lie across two reads.
    tail: Vec<u8>,
    /// Else the terminal would be gone.
    _master: Box<dyn MasterPty + Send>,
}

/// Spanwise on the hangar of this place, with these arguments behind `--hangar`.
pub fn spanwise(place: &Place, args: &[&str]) -> CommandBuilder {
    let mut command = CommandBuilder::new(env!("CARGO_BIN_EXE_spanwise"));
    command.env_clear();
    for (name, value) in place.environment() {
        command.env(name, value);
    }
    command.cwd(place.root());
    command.arg("--hangar");
    command.arg(place.root());
    command.args(args);
    command
}

impl Watched {
    pub fn start(mut command: CommandBuilder) -> Watched {
        let pair = native_pty_system().openpty(SIZE).expect("a pseudo-terminal");
        command.env("TERM", "xterm-256color");
        let output = pair.master.try_clone_reader().expect("a reader");
        let keys = pair.master.take_writer().expect("a writer");
        let child = pair.slave.spawn_command(command).expect("it starts");
        let (rows, columns) = (SIZE.rows.try_into(), SIZE.cols.try_into());
        let screen = Parser::new(rows.expect("lines"), columns.expect("columns"), 0);
        Watched { child, output, keys, screen, tail: Vec::new(), _master: pair.master }
    }

    pub fn picture(&self) -> String {
        self.screen.screen().contents()
    }

    /// Reads on; true where a frame ended in what was read.
    fn read(&mut self) -> bool {
        let mut bytes = [0; 16 * 1024];
        let read = self.output.read(&mut bytes).unwrap_or(0);
        assert!(read > 0, "it ended: {}", self.picture());
        self.screen.process(&bytes[..read]);
        self.tail.extend_from_slice(&bytes[..read]);
        let has_end = self.tail.windows(END.len()).any(|window| window == END);
        let kept = if has_end { 0 } else { END.len() - 1 };
        self.tail.drain(..self.tail.len().saturating_sub(kept));
        has_end
    }

    /// Waits for a whole frame that holds the text.
    pub fn until(&mut self, wanted: &str) -> &mut Watched {
        while !self.read() || !self.picture().contains(wanted) {}
        self
    }

    /// Waits for the text only, whether or not its frame has ended.
    pub fn until_seen(&mut self, wanted: &str) {
        while !self.picture().contains(wanted) {
            self.read();
        }
    }

    /// From the key to the end of the frame that it leads to.
    pub fn press(&mut self, key: &[u8]) -> Duration {
        let started = Instant::now();
        self.keys.write_all(key).expect("typed");
        self.keys.flush().expect("typed");
        while !self.read() {}
        started.elapsed()
    }

    /// Times its threads went to sleep and were woken, or had to give way, since it began.
    pub fn switches(&self) -> u64 {
        let tasks = format!("/proc/{}/task", self.id());
        let tasks = std::fs::read_dir(tasks).expect("its threads");
        let status = |task: std::io::Result<std::fs::DirEntry>| {
            std::fs::read_to_string(task.expect("a thread").path().join("status")).expect("its counters")
        };
        tasks.map(|task| sum(&status(task), "ctxt_switches:")).sum()
    }

    /// The most memory that was ever resident, in MiB.
    pub fn peak_mib(&self) -> f64 {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.id())).expect("its counters");
        sum(&status, "VmHWM:") as f64 / 1024.0
    }

    fn id(&self) -> u32 {
        self.child.process_id().expect("it runs")
    }
}

impl Drop for Watched {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// The numbers of all lines with this key.
fn sum(status: &str, key: &str) -> u64 {
    let numbers = status.lines().filter_map(|line| line.split_once(key)?.1.split_whitespace().next());
    numbers.map(|number| number.parse::<u64>().expect("a number")).sum()
}
