//! The loop in a pseudo-terminal: it starts, waits without waking, and gives the terminal back however it ends.
//!
//! The test program starts itself again inside the pseudo-terminal and runs only [`child`] there.

#![allow(clippy::disallowed_methods, reason = "a test waits by the clock and ends its own child")]

use std::io::{Read, Write};
use std::sync::{Arc, Mutex};
use std::time::{Duration, Instant};

use chrono::NaiveDate;
use portable_pty::{Child, CommandBuilder, MasterPty, PtySize, native_pty_system};
use spanwise::airframe::Person;
use spanwise::screen::desk::{Desk, HangarView, SessionView, Told, Wish};
use spanwise::screen::{ScreenError, Start, run};

use crate::fake::FakeDesk;

const MODE: &str = "SPANWISE_TEST_CHILD";
const PATIENCE: Duration = Duration::from_secs(20);

/// A desk that panics when something is to be recorded.
struct Panicking(FakeDesk);

impl Desk for Panicking {
    fn hangar(&self) -> &HangarView {
        self.0.hangar()
    }
    fn session(&self) -> Option<SessionView<'_>> {
        self.0.session()
    }
    fn person(&self) -> Option<&Person> {
        self.0.person()
    }
    fn today(&self) -> NaiveDate {
        self.0.today()
    }
    fn carry_out(&mut self, _wish: Wish) -> Told {
        panic!("the desk fell over");
    }
}

#[test]
#[ignore = "runs inside the pseudo-terminal of the other tests"]
fn child() {
    let ended = match std::env::var(MODE).as_deref() {
        Ok("panics") => run(&mut Panicking(FakeDesk::at_work()), Start::Worksheet),
        _ => run(&mut FakeDesk::at_work(), Start::Worksheet),
    };
    println!("the child ended");
    std::process::exit(match ended {
        Ok(()) => 0,
        Err(ScreenError::Signal(number)) => 64 + number,
        Err(ScreenError::Terminal(_)) => 3,
    });
}

struct Pty {
    parser: Arc<Mutex<vt100::Parser>>,
    writer: Box<dyn Write + Send>,
    master: Box<dyn MasterPty + Send>,
    child: Box<dyn Child + Send + Sync>,
}

impl Pty {
    fn start(mode: &str) -> Pty {
        let size = PtySize { rows: 24, cols: 80, pixel_width: 0, pixel_height: 0 };
        let pair = native_pty_system().openpty(size).expect("a pseudo-terminal");
        let mut command = CommandBuilder::new(std::env::current_exe().expect("this program"));
        command.args(["terminal::child", "--exact", "--nocapture", "--ignored"]);
        command.env(MODE, mode);
        command.env("TERM", "xterm-256color");
        command.env("RUST_BACKTRACE", "0");
        let child = pair.slave.spawn_command(command).expect("started");
        let mut reader = pair.master.try_clone_reader().expect("a reader");
        let rows = std::num::NonZero::new(24).expect("not zero");
        let columns = std::num::NonZero::new(80).expect("not zero");
        let parser = Arc::new(Mutex::new(vt100::Parser::new(rows, columns, 0)));
        let fed = Arc::clone(&parser);
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            while let Ok(count @ 1..) = reader.read(&mut bytes) {
                fed.lock().expect("no panic").process(&bytes[..count]);
            }
        });
        let writer = pair.master.take_writer().expect("a writer");
        let mut pty = Pty { parser, writer, master: pair.master, child };
        pty.wait("the first picture", |screen| {
            screen.alternate_screen() && screen.contents().contains("? help")
        });
        pty
    }

    fn wait(&mut self, what: &str, holds: impl Fn(&vt100::Screen) -> bool) {
        let begun = Instant::now();
        while !holds(self.parser.lock().expect("no panic").screen()) {
            let contents = self.parser.lock().expect("no panic").screen().contents();
            assert!(begun.elapsed() < PATIENCE, "waited in vain for {what}:\n{contents}");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    fn send(&mut self, text: &str) {
        self.writer.write_all(text.as_bytes()).expect("written");
        self.writer.flush().expect("written");
    }

    fn signal(&self, name: &str) {
        let pid = self.child.process_id().expect("running").to_string();
        let status = std::process::Command::new("kill").args([name, &pid]).status().expect("kill runs");
        assert!(status.success());
    }

    fn ended(&mut self) -> u32 {
        let begun = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().expect("asked") {
                return status.exit_code();
            }
            assert!(begun.elapsed() < PATIENCE, "it does not end");
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    fn assert_given_back(&mut self) {
        self.wait("the terminal given back", |screen| {
            !screen.alternate_screen()
                && screen.mouse_protocol_mode() == vt100::MouseProtocolMode::None
                && !screen.bracketed_paste()
                && !screen.hide_cursor()
        });
        let modes = format!("{:?}", self.master.get_termios().expect("modes"));
        assert!(modes.contains("ICANON") && modes.contains("ECHO"), "raw mode is left: {modes}");
    }
}

#[test]
fn a_key_is_drawn_and_leaving_gives_the_terminal_back() {
    let mut pty = Pty::start("plain");
    pty.send("p");
    pty.wait("the saved pass", |screen| screen.contents().contains("saved, entry 1"));
    pty.send("q2");
    assert_eq!(pty.ended(), 0);
    pty.assert_given_back();
    pty.wait("the last line", |screen| screen.contents().contains("the child ended"));
}

#[test]
fn a_mouse_click_and_a_resize_arrive() {
    let mut pty = Pty::start("plain");
    // SGR report of a press at column 4, row 7: the third step.
    pty.send("\u{1b}[<0;4;7M");
    pty.wait("the clicked step", |screen| screen.contents().contains("3 of 6"));
    let size = PtySize { rows: 24, cols: 60, pixel_width: 0, pixel_height: 0 };
    pty.master.resize(size).expect("resized");
    // The rule between list and details now ends at the sixtieth column.
    pty.wait("the narrower picture", |screen| {
        let rule: Vec<String> = screen.rows(0, 80).filter(|row| row.starts_with("──")).collect();
        rule.iter().any(|row| row.trim_end().chars().count() <= 60)
    });
}

#[test]
fn signals_give_the_terminal_back_first() {
    for (name, number) in [("-TERM", 15), ("-HUP", 1), ("-INT", 2)] {
        let mut pty = Pty::start("plain");
        pty.signal(name);
        assert_eq!(pty.ended(), 64 + number, "{name}");
        pty.assert_given_back();
    }
}

#[test]
fn a_panic_is_told_on_the_restored_terminal() {
    let mut pty = Pty::start("panics");
    pty.send("p");
    assert_ne!(pty.ended(), 0);
    pty.assert_given_back();
    pty.wait("the message", |screen| screen.contents().contains("the desk fell over"));
}

#[cfg(target_os = "linux")]
fn process_state(pid: u32) -> char {
    let stat = std::fs::read_to_string(format!("/proc/{pid}/stat")).unwrap_or_default();
    stat.rsplit(')').next().and_then(|rest| rest.trim().chars().next()).unwrap_or('?')
}

#[cfg(target_os = "linux")]
#[test]
fn suspended_and_brought_back() {
    let mut pty = Pty::start("plain");
    let pid = pty.child.process_id().expect("running");
    pty.send("\u{1a}");
    pty.assert_given_back();
    let begun = Instant::now();
    while process_state(pid) != 'T' {
        assert!(begun.elapsed() < PATIENCE, "it does not stop");
        std::thread::sleep(Duration::from_millis(20));
    }
    pty.signal("-CONT");
    pty.wait("the picture again", |screen| screen.alternate_screen() && screen.contents().contains("? help"));
    pty.send("p");
    pty.wait("the saved pass", |screen| screen.contents().contains("saved, entry 1"));
    pty.send("q2");
    assert_eq!(pty.ended(), 0);
}

#[cfg(target_os = "linux")]
#[test]
fn it_sleeps_while_nothing_happens() {
    let pty = Pty::start("plain");
    let pid = pty.child.process_id().expect("running");
    let switches = || -> u64 {
        let tasks = std::fs::read_dir(format!("/proc/{pid}/task")).expect("tasks");
        let status = |task: std::fs::DirEntry| std::fs::read_to_string(task.path().join("status"));
        let of_task = |text: String| -> u64 {
            let line = text.lines().find(|line| line.starts_with("voluntary_ctxt_switches"));
            line.and_then(|line| line.split_whitespace().nth(1)?.parse().ok()).expect("a number")
        };
        tasks.map(|task| of_task(status(task.expect("a task")).expect("its status"))).sum()
    };
    std::thread::sleep(Duration::from_millis(300));
    let before = switches();
    std::thread::sleep(Duration::from_millis(1200));
    assert_eq!(switches(), before, "something wakes it up");
}

impl Drop for Pty {
    fn drop(&mut self) {
        // Already ended in most tests; then there is nobody to end.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
