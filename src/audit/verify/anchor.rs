//! Codes on paper: which entries a session offers to be written down, and which one a typed code belongs to.

use serde::Serialize;

use crate::event::Event;
use crate::journal::short_code::TypingSlip;
use crate::journal::{Entry, ShortCode};

/// One entry with its code and what happened there.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Anchor {
    pub entry: u64,
    pub wall: String,
    pub by: String,
    pub what: &'static str,
    pub code: String,
}

/// Why a typed code belongs to no entry.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoAnchor {
    Slip(TypingSlip),
    /// Typed rightly; no entry of this session has it.
    Nowhere(ShortCode),
}

fn anchor(entry: &Entry) -> Anchor {
    let event = Event::from_parts(&entry.kind, &entry.body).ok();
    let by = event
        .as_ref()
        .and_then(|event| event.actor())
        .map_or(say!("the program").to_string(), |actor| actor.name.clone());
    let what = match event {
        Some(Event::Opened(_)) => mark!("beginning"),
        Some(Event::Paused { .. }) => mark!("pause"),
        Some(Event::SignedOff(_)) => mark!("sign-off"),
        Some(Event::Countersigned(_)) => mark!("countersignature"),
        _ => mark!("entry"),
    };
    Anchor {
        entry: entry.seq,
        wall: entry.wall.clone(),
        by,
        what,
        code: ShortCode::of(&entry.hash).to_string(),
    }
}

/// The pauses, the sign-off, the countersignatures, and the last entry as it stands now.
pub fn anchors(entries: &[Entry]) -> Vec<Anchor> {
    let last = entries.len().saturating_sub(1);
    let worth = |kind: &str| matches!(kind, "paused" | "signed_off" | "countersigned");
    let chosen = entries.iter().enumerate().filter(|(at, entry)| *at == last || worth(&entry.kind));
    chosen.map(|(_, entry)| anchor(entry)).collect()
}

/// Finds the entry of a code typed from paper. Any entry may have been the last one when it was written down.
///
/// # Errors
/// A slip of the pen or key, or a code of another record.
pub fn match_code(typed: &str, entries: &[Entry]) -> Result<Anchor, NoAnchor> {
    let on_paper: ShortCode = typed.parse().map_err(NoAnchor::Slip)?;
    let found = entries.iter().find(|entry| ShortCode::of(&entry.hash) == on_paper);
    found.map(anchor).ok_or(NoAnchor::Nowhere(on_paper))
}

/// The code of an entry's hash as the record keeps it (64 lower-case hexadecimal characters).
pub fn paper_code(hash: &str) -> Option<String> {
    ShortCode::of_text(hash).map(|code| code.to_string())
}
