//! The loop around the app: it waits for a key, the mouse, a resize or a signal, and draws only after one.

use std::io;
use std::sync::mpsc::{Receiver, RecvTimeoutError, Sender, channel};

use crossterm::event::{self, Event};

use super::app::{After, App, Start, Tone};
use super::desk::Desk;
use super::terminal::Screen;
use super::wanted::Wanted;
use super::watch;

/// Why the screens ended otherwise than by the person's wish.
#[derive(Debug)]
pub enum ScreenError {
    /// The terminal could not be read or written.
    Terminal(io::Error),
    /// The system asked the program to end; the number of the signal.
    Signal(i32),
}

impl std::fmt::Display for ScreenError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            ScreenError::Terminal(error) => f.write_str(&say!(
                "the terminal cannot be used: {error}; everything shown as saved is on the disk",
                error
            )),
            ScreenError::Signal(number) => f.write_str(&say!(
                "ended by signal {number}; everything shown as saved is on the disk",
                number
            )),
        }
    }
}

impl std::error::Error for ScreenError {}

impl From<io::Error> for ScreenError {
    fn from(error: io::Error) -> Self {
        ScreenError::Terminal(error)
    }
}

/// What wakes the loop.
pub(super) enum Wake {
    Terminal(Event),
    TerminalGone(io::Error),
    /// The size changed: to draw is all.
    Resized,
    /// The desk looked again and has something else to show.
    LookedAgain,
    /// A signal that asks to end, or to stop for a while.
    Signal(i32),
}

/// Runs the screens until the person leaves. Call it once in a process: the thread that reads the terminal
/// waits for the next key and cannot be called back.
///
/// # Errors
/// The terminal failed, or a signal asked to end. The terminal is restored in every case.
pub fn run(desk: &mut dyn Desk, start: Start) -> Result<(), ScreenError> {
    run_as(desk, start, Wanted::default())
}

/// As [`run`], looking as wanted.
///
/// # Errors
/// As [`run`].
pub fn run_as(desk: &mut dyn Desk, start: Start, wanted: Wanted) -> Result<(), ScreenError> {
    let (look, unknown) = wanted.look(variable, desk.kept_look().as_deref());
    let (sender, wakes) = channel();
    super::signals::listen(sender.clone())?;
    let mut screen = Screen::enter()?;
    read_terminal(sender);
    let mut app = App::new(start, look, desk);
    if !unknown.is_empty() {
        app.say(Tone::Bad, unknown.join("; "));
    }
    loop {
        let mut seen = None;
        screen.terminal.draw(|frame| match desk.instead() {
            Some(text) => watch::draw_instead(frame, text),
            None => seen = Some(app.draw(desk, frame)),
        })?;
        if let Some(seen) = seen {
            app.saw(seen);
        }
        let Some(wake) = next(desk, &wakes) else { return Ok(()) };
        match wake {
            Wake::LookedAgain => app.stay_within(desk),
            Wake::Terminal(Event::Key(key)) if desk.instead().is_some() => {
                if watch::leaves(&key) {
                    return Ok(());
                }
            }
            Wake::Terminal(_) if desk.instead().is_some() => {}
            Wake::Terminal(Event::Key(key)) => app.key(desk, key),
            Wake::Terminal(Event::Mouse(mouse)) => app.mouse(desk, mouse),
            Wake::Terminal(Event::Paste(text)) => app.paste(&text),
            Wake::Terminal(_) | Wake::Resized => {}
            Wake::TerminalGone(error) => return Err(error.into()),
            Wake::Signal(number) if super::signals::is_stop(number) => screen.suspend()?,
            Wake::Signal(number) => return Err(ScreenError::Signal(number)),
        }
        // Also what was pasted or clicked.
        app.keep_typed(desk);
        match app.take_after() {
            After::Goes => {}
            After::Quit => return Ok(()),
            After::Suspend => screen.suspend()?,
        }
    }
}

/// Waits; a desk that looks again by itself does so meanwhile. Nothing where nobody can wake the loop any more.
fn next(desk: &mut dyn Desk, wakes: &Receiver<Wake>) -> Option<Wake> {
    let Some(every) = desk.looks_every() else { return wakes.recv().ok() };
    loop {
        match wakes.recv_timeout(every) {
            Ok(wake) => return Some(wake),
            Err(RecvTimeoutError::Timeout) if desk.look_again() => return Some(Wake::LookedAgain),
            Err(RecvTimeoutError::Timeout) => {}
            Err(RecvTimeoutError::Disconnected) => return None,
        }
    }
}

#[expect(
    clippy::disallowed_methods,
    reason = "TERM and NO_COLOR tell about the terminal, which belongs here"
)]
fn variable(name: &str) -> Option<String> {
    std::env::var(name).ok()
}

fn read_terminal(sender: Sender<Wake>) {
    std::thread::spawn(move || {
        loop {
            let (wake, is_last) = match event::read() {
                Ok(event) => (Wake::Terminal(event), false),
                Err(error) => (Wake::TerminalGone(error), true),
            };
            if sender.send(wake).is_err() || is_last {
                return;
            }
        }
    });
}
