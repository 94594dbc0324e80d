//! The only place for files, locks, flushing, the clock and folders.
pub mod texts;
