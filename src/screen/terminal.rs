//! The terminal taken over and given back, also on a panic and for a while on Ctrl-Z.

use std::io::{self, Stdout, stdout};
use std::sync::Once;

use crossterm::event::{
    DisableBracketedPaste, DisableMouseCapture, EnableBracketedPaste, EnableMouseCapture,
};
use crossterm::execute;
use crossterm::terminal::{EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode};
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;

/// The terminal while the program has it. Dropping gives it back.
pub(super) struct Screen {
    pub terminal: Terminal<CrosstermBackend<Stdout>>,
}

impl Screen {
    pub fn enter() -> io::Result<Screen> {
        restore_on_panic();
        take()?;
        let made = Terminal::new(CrosstermBackend::new(stdout()));
        match made {
            Ok(terminal) => Ok(Screen { terminal }),
            Err(error) => {
                give_back();
                Err(error)
            }
        }
    }

    /// Gives the terminal to the shell until the program is brought back.
    pub fn suspend(&mut self) -> io::Result<()> {
        give_back();
        super::signals::stop_here()?;
        take()?;
        // A new one takes nothing as drawn. To clear the old one would ask the terminal for its cursor, and the
        // thread that waits for keys would keep the answer: the program ended there.
        self.terminal = Terminal::new(CrosstermBackend::new(stdout()))?;
        Ok(())
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        give_back();
    }
}

fn take() -> io::Result<()> {
    enable_raw_mode()?;
    let entered = execute!(stdout(), EnterAlternateScreen, EnableMouseCapture, EnableBracketedPaste);
    if entered.is_err() {
        give_back();
    }
    entered
}

/// Best effort: there is nobody left to tell when it fails.
pub(super) fn give_back() {
    let _ = execute!(
        stdout(),
        DisableBracketedPaste,
        DisableMouseCapture,
        LeaveAlternateScreen,
        crossterm::cursor::Show
    );
    let _ = disable_raw_mode();
}

/// A panic message on the alternate screen would vanish with it.
fn restore_on_panic() {
    static ONCE: Once = Once::new();
    ONCE.call_once(|| {
        let before = std::panic::take_hook();
        std::panic::set_hook(Box::new(move |info| {
            give_back();
            before(info);
        }));
    });
}
