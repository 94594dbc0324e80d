//! Joins the parts: a folder of airframes, registers, checklists and sessions, and one session at work.
//!
//! Everything above the store that needs files comes through here; screens and commands both call it.

mod begin;
mod beside;
mod bring_forward;
mod continuing;
mod earlier;
mod editions;
mod error;
mod evidence;
mod examine;
mod first_lines;
mod folder;
mod grounded;
mod issue;
mod judge;
pub mod keys;
mod leaning;
mod opening_entry;
pub mod packs;
pub mod paper;
pub mod records;
mod reports;
mod rescue;
mod sample;
mod seal_files;
mod sessions;
mod take_up;
mod work;

pub use begin::{Begun, begin, preview};
pub use beside::look_beside;
pub use bring_forward::{Brought, NotBrought, bring_forward, not_brought_forward};
pub use continuing::{continue_session, neighbours};
pub use earlier::{earlier_annual, last_annual_of, plan_in_force};
pub use editions::{OwnChecklists, begin_draft, find_edition, issued_as, own_checklists};
pub use error::HangarError;
pub use evidence::EvidenceTarget;
pub use examine::{Examined, ExaminedFolder, examine, examine_all, read_bytes};
pub use folder::{AirframeFile, Hangar, PROGRAMME};
pub use grounded::airframe_grounding;
pub use issue::{IssueDone, IssueRequest, issue};
pub use judge::{hangar_above, is_hangar, judge_draft, library_beside};
pub use leaning::leaned_on;
pub use reports::{NewReport, add_report};
pub use rescue::{Rescued, make_room, rescue};
pub use sample::{SampleAirframe, sample_airframe, try_out};
pub use seal_files::{SealFile, seal_files};
pub use sessions::{SessionSummary, find_session, summaries, unfinished_annual};
pub use take_up::Offer;
pub use work::{Recorded, Viewing, Work};
