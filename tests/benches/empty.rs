//! The smallest program with the same terminal library: one line, then it waits for a key.

use std::io;

use ratatui::widgets::Paragraph;

/// What it draws.
pub const LINE: &str = "an empty program";

pub fn run() -> io::Result<()> {
    let mut terminal = ratatui::try_init()?;
    terminal.draw(|frame| frame.render_widget(Paragraph::new(LINE), frame.area()))?;
    let waited = ratatui::crossterm::event::read();
    ratatui::try_restore()?;
    waited.map(drop)
}
