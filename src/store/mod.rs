//! The only place for files, locks, flushing, the clock and folders.
