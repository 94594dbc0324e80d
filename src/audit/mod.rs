//! What an auditor asks of a record: is it whole, how did it come about, what is worth a look, what differs.
//!
//! Pure: bytes, entries and plans are passed in. Nothing here accuses; it observes.

pub mod compare;
pub mod findings;
pub mod replay;
pub mod verify;

use chrono::NaiveDateTime;

/// A moment, told to the minute as the record writes it (`2026-03-09 10:41`), as the chosen language writes it.
pub(crate) fn moment(neutral: &str) -> String {
    match NaiveDateTime::parse_from_str(neutral, "%Y-%m-%d %H:%M") {
        Ok(moment) => crate::words::date_and_time(&moment.and_utc()),
        Err(_) => neutral.to_string(),
    }
}
