//! What an auditor asks of a record: is it whole, how did it come about, what is worth a look, what differs.
//!
//! Pure: bytes, entries and plans are passed in. Nothing here accuses; it observes.

pub mod compare;
pub mod findings;
pub mod replay;
pub mod verify;
