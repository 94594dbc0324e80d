//! Signals: the first that asks to end lets the loop finish what it is at, the second ends at once.

use std::io;
use std::sync::mpsc::Sender;

use super::run::Wake;

#[cfg(unix)]
mod imp {
    use signal_hook::consts::{SIGHUP, SIGINT, SIGTERM, SIGTSTP, SIGWINCH};
    use signal_hook::iterator::Signals;
    use signal_hook::low_level::emulate_default_handler;

    use super::{Sender, Wake, io};

    pub fn listen(sender: Sender<Wake>) -> io::Result<()> {
        let mut signals = Signals::new([SIGTERM, SIGHUP, SIGINT, SIGTSTP, SIGWINCH])?;
        std::thread::spawn(move || {
            let mut has_asked = false;
            for number in &mut signals {
                if number == SIGWINCH {
                    // The terminal library hears of a new size only once it waits for keys; a size that changes
                    // right after the start would be lost, and the screen stay blank until the next key.
                    if sender.send(Wake::Resized).is_err() {
                        return;
                    }
                    continue;
                }
                let ends = number != SIGTSTP;
                if sender.send(Wake::Signal(number)).is_err() || (ends && has_asked) {
                    super::super::terminal::give_back();
                    let _ = emulate_default_handler(number);
                }
                has_asked |= ends;
            }
        });
        Ok(())
    }

    pub fn is_stop(number: i32) -> bool {
        number == SIGTSTP
    }

    /// Stops the process; returns when it is continued.
    pub fn stop_here() -> io::Result<()> {
        emulate_default_handler(SIGTSTP)
    }
}

#[cfg(not(unix))]
mod imp {
    use super::{Sender, Wake, io};

    /// Elsewhere the terminal itself reports the end.
    pub fn listen(_sender: Sender<Wake>) -> io::Result<()> {
        Ok(())
    }

    pub fn is_stop(_number: i32) -> bool {
        false
    }

    pub fn stop_here() -> io::Result<()> {
        Ok(())
    }
}

pub(super) fn listen(sender: Sender<Wake>) -> io::Result<()> {
    imp::listen(sender)
}

pub(super) fn is_stop(number: i32) -> bool {
    imp::is_stop(number)
}

pub(super) fn stop_here() -> io::Result<()> {
    imp::stop_here()
}
