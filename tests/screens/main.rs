//! The screens against a desk in memory: pictures of every screen, and what keys do.

mod airframe;
mod big;
mod clicks;
mod colours;
mod due;
mod everyday;
mod fake;
mod files;
mod flows;
mod hand;
mod handover;
mod intake;
mod order;
mod paper;
mod pictures;
mod readings;
mod registers;
mod replay;
mod terminal;
mod themes;
mod walk;
