//! Joins the parts: a folder of airframes, registers, checklists and sessions, and one session at work.
//!
//! Everything above the store that needs files comes through here; screens and commands both call it.

mod begin;
mod beside;
mod continuing;
mod earlier;
mod editions;
mod error;
mod evidence;
mod examine;
mod folder;
mod issue;
pub mod keys;
mod leaning;
mod opening_entry;
pub mod packs;
pub mod records;
mod rescue;
mod sample;
mod seal_files;
mod sessions;
mod take_up;
mod work;

pub use begin::{Begun, begin, preview};
pub use beside::look_beside;
pub use continuing::{continue_session, neighbours};
pub use earlier::{earlier_annual, plan_in_force};
pub use editions::{OwnChecklists, begin_draft, find_edition, issued_as, own_checklists};
pub use error::HangarError;
pub use evidence::EvidenceTarget;
pub use examine::{Examined, ExaminedFolder, examine, examine_all, read_bytes};
pub use folder::{AirframeFile, Hangar, PROGRAMME};
pub use issue::{IssueDone, IssueRequest, issue};
pub use leaning::leaned_on;
pub use rescue::{Rescued, make_room, rescue};
pub use sample::{SampleAirframe, sample_airframe, try_out};
pub use seal_files::{SealFile, seal_files};
pub use sessions::{SessionSummary, find_session, summaries, unfinished_annual};
pub use take_up::Offer;
pub use work::{Recorded, Viewing, Work};
