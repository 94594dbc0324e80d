//! Checklist packs and the hangar: made from its own checklists, installed into them, and where each edition came from.

mod export;
mod install;
mod origin;
mod refusal;
mod shelf;

pub use export::{Exported, Wanted, export};
pub use install::{Installed, Terms, install};
pub use origin::Origin;
pub use refusal::{Conflict, Refusal};
pub use shelf::{CameFrom, Shelf, Shelved, shelf};
