//! Stepping through a record: how everything stood after any of its entries, and how it came about.
//!
//! [`Timeline`] folds the record once and keeps a few states on the way and every judgement, so that going to any
//! entry costs a copy and some hundred cheap steps. Nothing is judged twice and nothing is written.

mod elapsed;
mod find;
mod mark;
mod story;
mod summary;
mod timeline;

pub use elapsed::{By, Elapsed};
pub use mark::Mark;
pub use story::{Happening, PlanChange, Story};
pub use summary::{Change, Held, Summary};
pub use timeline::{Moment, Timeline};
