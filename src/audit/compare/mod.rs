//! Two annuals of one airframe, or two editions of a plan, step by step.

mod account;
mod defects;
mod last_time;
mod moved;
mod moved_series;
mod plans;
mod readings;
mod sessions;

pub use crate::edition::{FieldChange, compare_steps, reworded};
pub use account::{Account, TimeTaken, account, time_taken};
pub use defects::DefectThen;
pub use last_time::last_time;
pub use moved::{Moved, Part, Toward, moved};
pub use plans::{EditionChange, PlanDifference, SectionChange, StepChange, compare_plans, step_change};
pub use readings::ReadingComparison;
pub use sessions::{SessionDifference, Side, SideName, StepComparison, Turn, compare_sessions};
