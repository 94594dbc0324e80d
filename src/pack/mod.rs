//! A checklist pack: some issued editions in one text file, each by its hash, signed as a whole by their author.
//!
//! The header is one line of canonical JSON (RFC 8785) that holds every hash and length; the signature is made over
//! that line with its line end. Any byte outside the editions is either fixed or follows from the header, so that no
//! byte of a pack can be changed unseen. Bytes in, bytes out: no file, no clock.

mod contents;
mod fault;
mod header;
mod read;
mod standing;
mod write;

pub use contents::checklists;
pub use fault::PackFault;
pub use header::{Author, FORMAT, Header, Listed, is_pack_name};
pub use read::{Pack, open};
pub use standing::{Standing, standing};
pub use write::{Draft, make};

/// The first line of every pack.
pub const FIRST_LINE: &str = "spanwise pack 1";
/// A pack is read whole into memory, up to this size.
pub const MAX_BYTES: u64 = 16 * 1024 * 1024;
/// One edition; the largest that is built in has about a tenth of it.
pub const MAX_EDITION_BYTES: u64 = 1024 * 1024;
pub const MAX_EDITIONS: usize = 256;
/// The header's line.
pub const MAX_HEADER_BYTES: usize = 128 * 1024;
