//! The built program in a terminal of 24 lines and 80 columns, on the invented hangar.
#![cfg(unix)]
#![allow(clippy::disallowed_methods, reason = "a test waits by the clock and looks at the disk")]

/// Figures are shown by every run: the tests' own output is caught unless something fails.
macro_rules! say {
    ($($words:tt)*) => {{
        use std::io::Write as _;
        let _ = writeln!(std::io::stderr(), $($words)*);
    }};
}

mod binary;
mod terminal {
    mod call_order;
    pub mod figures;
    mod full_disk;
    pub mod hand;
    mod killed_commands;
    mod modes;
    mod survives;
    mod whole_annual;
}
