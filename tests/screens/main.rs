//! The screens against a desk in memory: pictures of every screen, and what keys do.

mod fake;
mod flows;
mod hand;
mod intake;
mod pictures;
mod readings;
mod registers;
mod replay;
mod terminal;
