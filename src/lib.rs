//! Spanwise runs, judges, signs and later defends a targeted annual inspection of a composite glider.
//!
//! The modules follow the data's way; see DEVELOPERS.md.

// First: its macros are in sight of all that follow.
#[macro_use]
pub mod words;

pub mod airframe;
pub mod audit;
pub mod bench;
pub mod checklist;
pub mod cli;
pub mod columns;
pub mod command;
pub mod completion;
pub mod compute;
pub mod coverage;
pub mod diagnostic;
pub mod due;
pub mod edition;
pub mod embedded;
pub mod event;
pub mod forward;
pub mod handover;
pub mod hangar;
pub mod journal;
pub mod measure;
pub mod order;
pub mod pack;
pub mod paper;
pub mod plan;
pub mod plot;
pub mod quantity;
pub mod report;
pub mod screen;
pub mod seal;
pub mod session;
pub mod settings;
pub mod signoff;
pub mod sketch;
pub mod source;
pub mod state;
pub mod store;
pub mod vocabulary;
