//! The peers that are programs: this one, called with a word, is the smallest program with the same terminal library.

use std::io;
use std::path::PathBuf;

use portable_pty::CommandBuilder;
use ratatui::crossterm::event::{self, Event, KeyCode};
use ratatui::widgets::{List, ListState, Paragraph};

const EMPTY: &str = "--empty";
const LIST: &str = "--list";
/// What the empty program draws.
pub const LINE: &str = "an empty program";
/// What the last row of the list begins with.
pub const ROW: &str = "row ";

/// Runs the peer that the arguments name.
pub fn asked_for() -> Option<io::Result<()>> {
    let args: Vec<String> = std::env::args().collect();
    if args.iter().any(|arg| arg == EMPTY) {
        return Some(run_empty());
    }
    let at = args.iter().position(|arg| arg == LIST)?;
    args.get(at + 1)?.parse().ok().map(run_list)
}

/// One line, then it waits for a key.
pub fn empty() -> CommandBuilder {
    peer(&[EMPTY])
}

/// A list of so many rows, of which Down and Up select the next one.
pub fn list(rows: usize) -> CommandBuilder {
    peer(&[LIST, &rows.to_string()])
}

fn peer(args: &[&str]) -> CommandBuilder {
    let own: PathBuf = std::env::current_exe().expect("this program");
    let mut command = CommandBuilder::new(own);
    command.args(args);
    command.env_clear();
    command
}

fn run_empty() -> io::Result<()> {
    let mut terminal = ratatui::try_init()?;
    terminal.draw(|frame| frame.render_widget(Paragraph::new(LINE), frame.area()))?;
    let waited = event::read();
    ratatui::try_restore()?;
    waited.map(drop)
}

fn run_list(rows: usize) -> io::Result<()> {
    let rows: Vec<String> =
        (1..=rows).map(|row| format!("{ROW}{row}: skin and joint at this place")).collect();
    let mut state = ListState::default().with_selected(Some(0));
    let mut terminal = ratatui::try_init()?;
    loop {
        terminal.draw(|frame| {
            let list = List::new(rows.iter().map(String::as_str)).highlight_symbol("> ");
            frame.render_stateful_widget(list, frame.area(), &mut state);
        })?;
        match event::read()? {
            Event::Key(key) if key.code == KeyCode::Down => state.select_next(),
            Event::Key(key) if key.code == KeyCode::Up => state.select_previous(),
            Event::Key(key) if key.code == KeyCode::Char('q') => break,
            _ => {}
        }
    }
    ratatui::try_restore()
}
