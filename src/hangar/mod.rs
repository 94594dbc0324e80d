//! Joins the parts: a folder of airframes, registers, checklists and sessions, and one session at work.
//!
//! Everything above the store that needs files comes through here; screens and commands both call it.

mod begin;
mod error;
mod evidence;
mod examine;
mod folder;
mod leaning;
mod sessions;
mod work;

pub use begin::{Begun, begin, preview};
pub use error::HangarError;
pub use evidence::EvidenceTarget;
pub use examine::{Examined, ExaminedFolder, examine, examine_folders, read_bytes};
pub use folder::{AirframeFile, Hangar, PROGRAMME};
pub use leaning::leaned_on;
pub use sessions::{SessionSummary, find_session, summaries, unfinished_annual};
pub use work::{Recorded, Viewing, Work};
