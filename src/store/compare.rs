//! Two copies of a session beside each other, such as a rescue copy and the session after a restart.

use std::fmt;
use std::path::Path;

use super::disk::{Disk, DiskResult};
use super::session_dir::open_reader;

/// What two copies are to each other. Lines are numbered from 0; only lines that verify are compared.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Compared {
    Same {
        lines: u64,
    },
    /// The first holds `lines` lines, the second the same and `further` more.
    FirstIsOlder {
        lines: u64,
        further: u64,
    },
    SecondIsOlder {
        lines: u64,
        further: u64,
    },
    /// Equal up to `line`, where they differ: both were worked on.
    Fork {
        line: u64,
        first: String,
        second: String,
    },
    NotTheSameSession {
        first: String,
        second: String,
    },
    /// One of the two holds no line that verifies.
    NothingToCompare,
}

/// Compares two session folders line by line. Nothing is written.
///
/// # Errors
/// A folder that cannot be read.
pub fn compare_copies(disk: &dyn Disk, a: &Path, b: &Path) -> DiskResult<Compared> {
    let (a, b) = (open_reader(disk, a)?.entries, open_reader(disk, b)?.entries);
    let (Some(first), Some(second)) = (a.first(), b.first()) else { return Ok(Compared::NothingToCompare) };
    if first.sid != second.sid {
        let (first, second) = (first.sid.clone(), second.sid.clone());
        return Ok(Compared::NotTheSameSession { first, second });
    }
    let same = a.iter().zip(&b).take_while(|(x, y)| x.hash == y.hash).count();
    if let (Some(x), Some(y)) = (a.get(same), b.get(same)) {
        let words = |e: &crate::journal::Entry| format!("{} at {}", e.kind, e.wall);
        return Ok(Compared::Fork { line: same as u64, first: words(x), second: words(y) });
    }
    let (lines, further) = (same as u64, (a.len().max(b.len()) - same) as u64);
    Ok(match a.len().cmp(&b.len()) {
        std::cmp::Ordering::Equal => Compared::Same { lines },
        std::cmp::Ordering::Less => Compared::FirstIsOlder { lines, further },
        std::cmp::Ordering::Greater => Compared::SecondIsOlder { lines, further },
    })
}

impl fmt::Display for Compared {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Compared::Same { lines } => write!(f, "The same session, equal in all lines ({lines})."),
            Compared::FirstIsOlder { lines, further } => write!(
                f,
                "The first is an older copy of the second: it ends before line {lines}; {further} more follow there."
            ),
            Compared::SecondIsOlder { lines, further } => write!(
                f,
                "The second is an older copy of the first: it ends before line {lines}; {further} more follow there."
            ),
            Compared::Fork { line, first, second } => write!(
                f,
                "The two went apart at line {line}: the first has {first}, the second {second}. Keep both; neither is \
                 merged into the other."
            ),
            Compared::NotTheSameSession { first, second } => {
                write!(f, "Not the same session: the first is {first}, the second {second}.")
            }
            Compared::NothingToCompare => {
                f.write_str("One of the two holds no line that verifies; there is nothing to compare.")
            }
        }
    }
}
