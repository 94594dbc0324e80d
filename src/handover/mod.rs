//! What a composite repairer gets from the inspector: the brief, and whether a proposed opening would be clear.
//!
//! The inspector's part stops here. Nothing of it is repair data; [`CAUTION`], as it is said in the chosen language, stands on
//! every part of it.

mod brief;
mod check;
mod check_words;
mod layout;
mod opening;
mod picture;
mod questions;
mod record;
mod rect;
mod related;
mod steps;
mod text;

pub use brief::{
    Brief, BriefDefect, BriefEvidence, Material, NotChosen, Proposal, brief, brief_of, choose_defects,
    is_chosen_at_first,
};
pub use check::{Check, Conflict, DEFAULT_MARGIN_MM, Margin, Nearest, Outcome, Unmapped, check_opening};
pub use check_words::{check_text, check_words, others_words};
pub use opening::{HEIGHT_RANGE, OPENING_FORM, Opening, OpeningError};
pub use picture::check_plot;
pub use record::{brief_sha256, handover_note, is_handover_note};
pub use rect::Rect;
pub use steps::{BriefReading, BriefStep, reading_words, verdict_words};
pub use text::{brief_text, brief_text_within};

/// Stands on every part of what is handed over.
pub const CAUTION: &str = mark!(
    "For an approved composite repairer. The drawings, the type's repair manual and the part itself decide; this is not \
     repair data."
);

/// When it was recorded, to the minute, as the language writes it; the recorded text where it cannot be read.
fn when(stamp: &crate::state::Stamp) -> String {
    crate::state::instant(&stamp.wall)
        .map_or_else(|| stamp.wall.clone(), |wall| crate::words::date_and_time(&wall))
}
