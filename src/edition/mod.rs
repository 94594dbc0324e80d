//! Editions of a checklist: what one changes against another, which step of the version that demands, and the
//! register of those that were issued. Pure.

mod change_text;
mod compare;
mod head;
mod insert;
mod measures;
mod nature;
mod of_type;
mod register;
mod steps;
mod supplement;
mod wording;
mod write;
mod written;

pub use change_text::with_value;
pub use compare::{EditionDifference, Group, Part, compare_editions};
pub use insert::{Insertion, insert_step};
pub use nature::{Nature, VersionStep};
pub use register::{
    DRAFT, Issued, Kept, REGISTER, check_kept, file_hash, is_draft, kept, read_register, with_entry,
};
pub use steps::{FieldChange, compare_steps};
pub use wording::reworded;
pub use write::{NewEvidence, NewMeasure, NewStep, UNWRITTEN, new_module, parse_evidence, parse_measure};
