//! In tests alone: which key was asked of which kind of table, and by which line of which file.

use std::cell::RefCell;
use std::panic::Location;

#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Asked {
    /// What the table is called in messages: "a step".
    pub what: &'static str,
    pub key: &'static str,
    pub file: &'static str,
    pub line: u32,
}

thread_local! {
    static ASKED: RefCell<Vec<Asked>> = const { RefCell::new(Vec::new()) };
}

#[track_caller]
pub fn note(what: &'static str, key: &'static str) {
    let caller = Location::caller();
    let asked = Asked { what, key, file: caller.file(), line: caller.line() };
    ASKED.with_borrow_mut(|all| all.push(asked));
}

/// Everything asked on this thread since the last call.
pub fn take() -> Vec<Asked> {
    let mut all = ASKED.take();
    all.sort();
    all.dedup();
    all
}
