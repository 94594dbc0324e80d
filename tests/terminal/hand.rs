//! The program in a pseudo-terminal, its picture in an emulated one. Tests look at the picture alone.

use std::collections::BTreeSet;
use std::io::{Read, Write};
use std::sync::{Arc, Condvar, Mutex, MutexGuard};
use std::time::{Duration, Instant};

use portable_pty::{Child, CommandBuilder, ExitStatus, MasterPty, PtySize, native_pty_system};
use vt100::Parser;

use crate::binary::Place;

/// Long, because two slow cores may be busy with other tests; a passing test never waits for it.
const PATIENCE: Duration = Duration::from_secs(40);

/// What has reached the terminal so far.
struct Seen {
    parser: Parser,
    /// The program's side of the terminal is closed.
    is_over: bool,
    /// Entries that a person could have read as saved.
    saved: BTreeSet<u64>,
}

pub struct Terminal {
    child: Box<dyn Child + Send + Sync>,
    master: Box<dyn MasterPty + Send>,
    keys: Box<dyn Write + Send>,
    seen: Arc<(Mutex<Seen>, Condvar)>,
}

/// 24 lines of 80 columns.
pub const SIZE: PtySize = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };

impl Terminal {
    /// Starts the program on the hangar of `place`, with these arguments after `--hangar`.
    pub fn open(place: &Place, args: &[&str]) -> Terminal {
        Terminal::open_with(place, args, &[])
    }

    pub fn open_with(place: &Place, args: &[&str], variables: &[(&str, &str)]) -> Terminal {
        Terminal::open_under(&[], place, args, variables)
    }

    /// Under another program, such as one that traces its system calls: its name and its arguments.
    pub fn open_under(under: &[&str], place: &Place, args: &[&str], variables: &[(&str, &str)]) -> Terminal {
        let pair = native_pty_system().openpty(SIZE).expect("a pseudo-terminal");
        let program = env!("CARGO_BIN_EXE_spanwise");
        let mut command = CommandBuilder::new(under.first().unwrap_or(&program));
        if !under.is_empty() {
            command.args(&under[1..]);
            command.arg(program);
        }
        command.env_clear();
        for (name, value) in place.environment() {
            command.env(name, value);
        }
        command.env("TERM", "xterm-256color");
        for (name, value) in variables {
            command.env(name, value);
        }
        command.cwd(place.root());
        command.arg("--hangar");
        command.arg(place.root());
        command.args(args);
        let child = pair.slave.spawn_command(command).expect("the program starts");
        // Else the terminal would stay open after the program has gone.
        drop(pair.slave);
        let seen = Arc::new((
            Mutex::new(Seen { parser: parser(SIZE), is_over: false, saved: BTreeSet::new() }),
            Condvar::new(),
        ));
        watch(pair.master.try_clone_reader().expect("a reader"), Arc::clone(&seen));
        let keys = pair.master.take_writer().expect("a writer");
        Terminal { child, master: pair.master, keys, seen }
    }

    fn lock(&self) -> MutexGuard<'_, Seen> {
        self.seen.0.lock().expect("the reader is sound")
    }

    /// Types; see [`bytes_of`] for named keys.
    pub fn keys(&mut self, keys: &str) -> &mut Terminal {
        self.keys.write_all(&bytes_of(keys)).expect("typed");
        self.keys.flush().expect("typed");
        self
    }

    /// Waits until the picture holds the text.
    #[track_caller]
    pub fn see(&mut self, text: &str) -> &mut Terminal {
        self.wait(&format!("\"{text}\""), |seen| picture(seen).contains(text));
        self
    }

    /// Waits until the picture does not hold the text.
    #[track_caller]
    pub fn see_no(&mut self, text: &str) -> &mut Terminal {
        self.wait(&format!("no \"{text}\""), |seen| !picture(seen).contains(text));
        self
    }

    #[track_caller]
    fn wait(&self, what: &str, is_there: impl Fn(&Seen) -> bool) {
        let deadline = Instant::now() + PATIENCE;
        let mut seen = self.lock();
        while !is_there(&seen) {
            let left = deadline.saturating_duration_since(Instant::now());
            assert!(
                !left.is_zero() && !seen.is_over,
                "waited in vain for {what} ({}); the screen shows:\n{}",
                if seen.is_over { "the program has ended" } else { "the program still runs" },
                picture(&seen)
            );
            seen = self.seen.1.wait_timeout(seen, left).expect("the reader is sound").0;
        }
    }

    pub fn picture(&self) -> String {
        picture(&self.lock())
    }

    /// Looks at the emulated screen itself: colours, cursor, modes.
    pub fn look<T>(&self, at: impl Fn(&vt100::Screen) -> T) -> T {
        at(self.lock().parser.screen())
    }

    /// Waits until the emulated screen is as wanted.
    #[track_caller]
    pub fn wait_look(&self, what: &str, is_so: impl Fn(&vt100::Screen) -> bool) {
        self.wait(what, |seen| is_so(seen.parser.screen()));
    }

    /// The highest number that was shown as saved; 0 when none was.
    pub fn last_saved(&self) -> u64 {
        self.lock().saved.last().copied().unwrap_or(0)
    }

    /// Waits for "saved, entry N" with a number above `after`, and gives it.
    #[track_caller]
    pub fn see_saved_after(&mut self, after: u64) -> u64 {
        self.wait(&format!("an entry saved after {after}"), |seen| seen.saved.last() > Some(&after));
        self.last_saved()
    }

    /// Presses the digit that stands before the option with this text.
    #[track_caller]
    pub fn choose(&mut self, option: &str) -> &mut Terminal {
        self.see(option);
        let picture = self.picture();
        let line = picture.lines().find(|line| line.contains(option)).unwrap_or_default();
        let digit = line.split_whitespace().find(|word| word.len() == 1 && word.parse::<u8>().is_ok());
        let digit = digit.unwrap_or_else(|| panic!("\"{option}\" has no digit in:\n{picture}")).to_string();
        self.keys(&digit)
    }

    pub fn resize(&mut self, rows: u16, cols: u16) {
        let size = PtySize { rows, cols, ..SIZE };
        // A real terminal forgets what it showed, too: the program must draw anew.
        self.lock().parser = alternate(size);
        self.master.resize(size).expect("resized");
    }

    /// Presses and lets go of the left button; column and line counted from 0.
    pub fn click(&mut self, row: u16, column: u16) {
        let (x, y) = (column + 1, row + 1);
        self.keys.write_all(format!("\x1b[<0;{x};{y}M\x1b[<0;{x};{y}m").as_bytes()).expect("clicked");
        self.keys.flush().expect("clicked");
    }

    /// Line on which the text stands, counted from 0.
    #[track_caller]
    pub fn row_of(&self, text: &str) -> u16 {
        let picture = self.picture();
        let row = picture.lines().position(|line| line.contains(text));
        u16::try_from(row.unwrap_or_else(|| panic!("no \"{text}\" in:\n{picture}"))).expect("a line")
    }

    /// Sends a signal, by the name that `kill` knows, such as TERM.
    pub fn signal(&self, name: &str) {
        let id = self.child.process_id().expect("it runs").to_string();
        let sent = std::process::Command::new("kill").args([&format!("-{name}"), &id]).status();
        assert!(sent.expect("kill is at hand").success(), "SIG{name} to {id}");
    }

    /// kill -9 at once, then every entry that was ever on the screen as saved.
    pub fn kill(mut self) -> BTreeSet<u64> {
        self.signal("KILL");
        self.child.wait().expect("it ended");
        self.drain();
        std::mem::take(&mut self.lock().saved)
    }

    /// As [`Terminal::kill`], with the last picture.
    pub fn kill_and_look(mut self) -> (BTreeSet<u64>, String) {
        self.signal("KILL");
        self.child.wait().expect("it ended");
        self.drain();
        let picture = self.picture();
        (std::mem::take(&mut self.lock().saved), picture)
    }

    /// Waits for the program to end by itself.
    #[track_caller]
    pub fn ended(&mut self) -> ExitStatus {
        let status = self.child.wait().expect("it ended");
        self.drain();
        status
    }

    /// Everything that the program wrote has been read.
    fn drain(&self) {
        let deadline = Instant::now() + PATIENCE;
        let mut seen = self.lock();
        while !seen.is_over && Instant::now() < deadline {
            seen = self.seen.1.wait_timeout(seen, Duration::from_secs(1)).expect("the reader is sound").0;
        }
    }
}

impl Drop for Terminal {
    /// A failed test must not leave the program behind.
    fn drop(&mut self) {
        if matches!(self.child.try_wait(), Ok(None)) {
            let _ = self.child.kill();
            let _ = self.child.wait();
        }
    }
}

fn parser(size: PtySize) -> Parser {
    Parser::new(
        std::num::NonZeroU16::new(size.rows).expect("lines"),
        std::num::NonZeroU16::new(size.cols).expect("columns"),
        0,
    )
}

/// An empty terminal that shows the alternate screen, as after a resize.
fn alternate(size: PtySize) -> Parser {
    let mut parser = parser(size);
    parser.process(b"\x1b[?1049h\x1b[?25l");
    parser
}

fn watch(mut output: Box<dyn Read + Send>, seen: Arc<(Mutex<Seen>, Condvar)>) {
    std::thread::spawn(move || {
        let mut bytes = [0; 16 * 1024];
        loop {
            let read = output.read(&mut bytes).unwrap_or(0);
            let Ok(mut now) = seen.0.lock() else { return };
            if read == 0 {
                now.is_over = true;
                seen.1.notify_all();
                return;
            }
            for frame in frames(&bytes[..read]) {
                now.parser.process(frame);
                if !is_inside_a_number(now.parser.screen()) {
                    let numbers = saved_numbers(&picture(&now));
                    now.saved.extend(numbers);
                }
            }
            seen.1.notify_all();
        }
    });
}

/// A burst of keys draws many pictures, and each of them counts as seen: every drawing ends by showing or hiding the
/// cursor.
fn frames(mut bytes: &[u8]) -> Vec<&[u8]> {
    const END: &[u8] = b"\x1b[?25";
    let mut frames = Vec::new();
    while let Some(at) = bytes.windows(END.len() + 1).position(|window| window.starts_with(END)) {
        let (frame, rest) = bytes.split_at(at + END.len() + 1);
        frames.push(frame);
        bytes = rest;
    }
    frames.push(bytes);
    frames
}

/// The output may be cut anywhere: a number half overwritten by the next one was never meant to be read.
fn is_inside_a_number(screen: &vt100::Screen) -> bool {
    let (row, column) = screen.cursor_position();
    let is_digit = |column: u16| {
        screen.cell(row, column).is_some_and(|cell| cell.contents().chars().all(|c| c.is_ascii_digit()))
            && screen.cell(row, column).is_some_and(vt100::Cell::has_contents)
    };
    column > 0 && is_digit(column) && is_digit(column - 1)
}

fn picture(seen: &Seen) -> String {
    seen.parser.screen().contents()
}

fn saved_numbers(picture: &str) -> Vec<u64> {
    picture
        .split("saved, entry ")
        .skip(1)
        .filter_map(|rest| {
            let digits: String = rest.chars().take_while(char::is_ascii_digit).collect();
            digits.parse().ok()
        })
        .collect()
}

/// Plain characters stand for themselves; `<Enter>`, `<Esc>`, `<Tab>`, `<Down>`, `<C-s>` … are keys.
fn bytes_of(keys: &str) -> Vec<u8> {
    let mut bytes = Vec::new();
    let mut rest = keys;
    while let Some(c) = rest.chars().next() {
        let named = rest.strip_prefix('<').and_then(|inner| inner.split_once('>'));
        if let Some((name, after)) = named {
            bytes.extend_from_slice(key_named(name));
            rest = after;
        } else {
            bytes.extend_from_slice(c.to_string().as_bytes());
            rest = &rest[c.len_utf8()..];
        }
    }
    bytes
}

fn key_named(name: &str) -> &'static [u8] {
    match name {
        "Enter" => b"\r",
        "Esc" => b"\x1b",
        "Tab" => b"\t",
        "Backspace" => b"\x7f",
        "Up" => b"\x1b[A",
        "Down" => b"\x1b[B",
        "Home" => b"\x1b[H",
        "End" => b"\x1b[F",
        "PageDown" => b"\x1b[6~",
        "C-c" => b"\x03",
        "C-f" => b"\x06",
        "C-r" => b"\x12",
        "C-s" => b"\x13",
        "C-x" => b"\x18",
        "C-z" => b"\x1a",
        _ => panic!("no key {name}"),
    }
}
