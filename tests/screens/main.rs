//! The screens against a desk in memory: pictures of every screen, and what keys do.

mod fake;
mod files;
mod flows;
mod hand;
mod pictures;
mod readings;
mod registers;
mod replay;
mod terminal;
