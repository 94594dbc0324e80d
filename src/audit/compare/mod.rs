//! Two annuals of one airframe, or two editions of a plan, step by step.

mod measures;
mod plans;
mod steps;
mod wording;

pub use plans::{EditionChange, PlanDifference, SectionChange, StepChange, compare_plans, step_change};
pub use steps::{FieldChange, compare_steps};
pub use wording::reworded;
