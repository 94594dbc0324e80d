//! One session at work: the journal's writer, the state that follows from it, and what may be recorded next.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use chrono::NaiveDate;

use super::{Hangar, HangarError, evidence};
use crate::airframe::Person;
use crate::completion::{Context, EvidenceFile, Verdict, verdict};
use crate::event::{Actor, Event, Outcome, RunStarted};
use crate::journal::Entry;
use crate::plan::{Plan, plan_hash};
use crate::session::{Declined, Facts, Request, decide};
use crate::signoff::sign_off;
use crate::state::{Stamped, State};
use crate::store::{Clock, RealDisk, SystemClock, Writer, open_reader, open_writer};

/// The program's name and version, as the record keeps it.
pub const PROGRAM: &str = concat!("spanwise ", env!("CARGO_PKG_VERSION"));

/// A record read and folded, whether or not it can be written.
pub struct Viewing {
    pub sid: String,
    pub dir: PathBuf,
    pub plan: Plan,
    pub plan_hash: String,
    pub state: State,
    pub entries: Vec<Stamped>,
    /// Problems found by reading it; empty when it is sound.
    pub integrity: Vec<String>,
}

/// A session open for writing.
pub struct Work {
    pub view: Viewing,
    pub notices: Vec<String>,
    writer: Writer<RealDisk>,
    clock: SystemClock,
}

/// What was appended, once it is durable.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Recorded {
    pub entry: u64,
}
