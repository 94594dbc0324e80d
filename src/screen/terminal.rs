//! The terminal taken over and given back, also on a panic and for a while on Ctrl-Z.

use std::io::{self, Stdout, stdout};
use std::sync::Once;
use std::sync::atomic::{AtomicBool, Ordering};

use crossterm::event::{
    DisableBracketedPaste, DisableMouseCapture, EnableBracketedPaste, EnableMouseCapture,
};
use crossterm::execute;
use crossterm::terminal::{EnterAlternateScreen, LeaveAlternateScreen, disable_raw_mode, enable_raw_mode};
use ratatui::Terminal;
use ratatui::backend::CrosstermBackend;

/// True while the program has the terminal: giving it back twice would move the shell's cursor over what was
/// printed in between, such as the message of a panic.
static TAKEN: AtomicBool = AtomicBool::new(false);

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
        // `Terminal::clear` would ask the terminal for its cursor, and the reading thread would take the answer.
        self.terminal = Terminal::new(CrosstermBackend::new(stdout()))?;
        execute!(stdout(), crossterm::terminal::Clear(crossterm::terminal::ClearType::All))
    }
}

impl Drop for Screen {
    fn drop(&mut self) {
        give_back();
    }
}

fn take() -> io::Result<()> {
    enable_raw_mode()?;
    TAKEN.store(true, Ordering::SeqCst);
    let entered = execute!(stdout(), EnterAlternateScreen, EnableMouseCapture, EnableBracketedPaste);
    if entered.is_err() {
        give_back();
    }
    entered
}

/// Best effort: there is nobody left to tell when it fails.
pub(super) fn give_back() {
    if !TAKEN.swap(false, Ordering::SeqCst) {
        return;
    }
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
