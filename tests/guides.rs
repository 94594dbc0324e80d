//! The guides in `docs/` are run: every command, file and screen that they show, in order, by the built program.
//!
//! How a guide is written, and what is put aside before comparing, is told in `docs/README.md`.
//! `SPANWISE_RENEW_GUIDES=1 cargo test --test guides` writes what the program says now into the guides.
#![cfg(unix)]
#![allow(clippy::disallowed_methods, reason = "a test reads the guides, and looks at the disk and the clock")]

mod binary;
#[allow(dead_code, reason = "the terminal tests use the rest")]
#[path = "terminal/hand.rs"]
mod hand;
mod guides {
    mod block;
    mod compare;
    mod look;
    mod told;
    pub mod world;

    pub use block::{Block, Kind, blocks};
    pub use compare::{matches, renewed};
    pub use look::picture;
    pub use told::Told;
    pub use world::World;
}

use guides::World;

/// The auditor gets the record that the inspector made, so both are one story.
#[test]
fn the_inspectors_and_the_auditors_guide() {
    let mut world = World::new();
    world.follow("docs/inspector.md");
    world.follow("docs/auditor.md");
    world.finish();
}

#[test]
fn the_authors_guide() {
    let mut world = World::new();
    world.follow("docs/author.md");
    world.finish();
}
