//! The register of acknowledgements: for a finished session each of its bytes has one valid value.

use super::report::{Fault, Found, KEEP, Report};
use super::{REGISTER, SessionFiles};
use crate::journal::Entry;
use crate::journal::recover::{Judged, Verdict};
use crate::journal::register::{REGISTER_LEN, SLOT_LEN, Slot, decode_slot, highest_valid};
use crate::words::said;

const NAME: &str = mark!("register");

/// How one of the two slots was found.
enum SlotState {
    /// The one valid value for this journal.
    Right,
    /// Nothing but line feeds: a session just begun, or a copy made by a rescue.
    Blank,
    /// Whole, and about an entry that stands in the journal; an older one than it should be.
    Older { seq: u64 },
    /// Whole, and about an entry that the journal does not have.
    Foreign { seq: u64 },
    /// No slot at all.
    Torn,
}

pub(super) fn check(report: &mut Report, files: &SessionFiles<'_>, judged: &Judged<'_>, signed: bool) {
    let Some(register) = files.register else {
        return lost(report, say!("the file is missing").to_string());
    };
    if register.len() != REGISTER_LEN {
        let at = register.len().min(REGISTER_LEN);
        let words = say!(
            "it has {} bytes, and {REGISTER_LEN} are the only right number",
            register.len(),
            REGISTER_LEN
        );
        return report.bad(
            NAME,
            words,
            fault(at, say!("{} bytes", register.len()), say!("{REGISTER_LEN} bytes", REGISTER_LEN)),
        );
    }
    if highest_valid(register).is_none() {
        let words = say!("none of its two notes can be read, so nobody can show that no entry was cut off");
        return report.bad(
            NAME,
            words.to_string(),
            fault(
                0,
                say!("no note that can be read").to_string(),
                say!("the number and hash of the last entry").to_string(),
            ),
        );
    }
    let entries = &judged.verified.entries;
    if matches!(judged.verdict, Verdict::Damaged(_)) {
        // The chain's fault is told by its own check; against a cut journal no slot can be held.
        let words = say!("it names an entry that the journal does not have in this form; see the chain");
        return report.add(NAME, Found::Unknown, words.to_string());
    }
    let Some(last) = entries.last() else { return };
    slots(report, register, entries, last, signed);
}

fn lost(report: &mut Report, stands: String) {
    let words = say!("{stands}: nobody can show that no entry was cut off at the end", stands);
    report.bad(NAME, words, fault(0, stands, say!("the number and hash of the last entry").to_string()));
}

fn fault(byte: usize, stands: String, should: String) -> Fault {
    Fault {
        file: REGISTER.to_string(),
        entry: None,
        byte: Some(byte),
        stands,
        should,
        next: said(KEEP).to_string(),
    }
}

/// Holds both slots to the values that the journal's last two entries give them.
fn slots(report: &mut Report, register: &[u8], entries: &[Entry], last: &Entry, signed: bool) {
    let mut noted = Vec::new();
    for back in 0..2u64 {
        let Some(seq) = last.seq.checked_sub(back) else {
            first_entry_alone(report, register, signed);
            continue;
        };
        let entry = &entries[seq as usize];
        let right = Slot { seq, hash: entry.hash };
        let at = right.offset() as usize;
        let found = &register[at..at + SLOT_LEN];
        let state = state_of(found, &right, entries);
        let Some(words) = words_of(&state, seq, back == 0) else { continue };
        let hard = match state {
            SlotState::Right => false,
            SlotState::Foreign { .. } => true,
            SlotState::Torn | SlotState::Older { .. } => signed && !(back == 0 && unconfirmed(&state, seq)),
            SlotState::Blank => signed && back == 0,
        };
        if !hard {
            noted.push(words);
            continue;
        }
        let byte = at + first_difference(found, &right.encode());
        let mut wrong =
            fault(byte, words.clone(), say!("the note of entry {seq} with the hash {}", entry.hash, seq));
        if back == 0 {
            wrong.next = say!(
                "if the machine stopped in the moment of signing, taking the session up once on the inspector's machine confirms the entry; \
                 if it was taken up since, {KEEP}",
                KEEP = said(KEEP)
            );
        }
        report.bad(NAME, words, wrong);
    }
    if report.check(NAME).is_none() {
        match noted.is_empty() {
            true => report.add(
                NAME,
                Found::Good,
                say!("entry {} was confirmed as saved; nothing is cut off", last.seq),
            ),
            false => report.add(NAME, Found::Noted, noted.join("; ")),
        }
    }
}

/// With one entry only, the other slot was never written.
fn first_entry_alone(report: &mut Report, register: &[u8], signed: bool) {
    let other = &register[SLOT_LEN..];
    if let Some(at) = other.iter().position(|byte| *byte != b'\n') {
        let words = say!("its second note should be empty and is not; an interrupted write could leave this")
            .to_string();
        match signed {
            true => report.bad(
                NAME,
                words,
                fault(SLOT_LEN + at, say!("other bytes").to_string(), say!("line feeds").to_string()),
            ),
            false => report.add(NAME, Found::Noted, words),
        }
    }
}

/// The last entry stands in the journal and its note still names the one two before: the crash between the two writes.
fn unconfirmed(state: &SlotState, seq: u64) -> bool {
    matches!(state, SlotState::Older { seq: older } if older + 2 == seq)
}

fn state_of(found: &[u8], right: &Slot, entries: &[Entry]) -> SlotState {
    if found == right.encode() {
        return SlotState::Right;
    }
    if found.iter().all(|byte| *byte == b'\n') {
        return SlotState::Blank;
    }
    match decode_slot(found, right.seq % 2) {
        None => SlotState::Torn,
        Some(slot) => {
            let known = usize::try_from(slot.seq).ok().and_then(|at| entries.get(at));
            match known {
                Some(entry) if entry.hash == slot.hash => SlotState::Older { seq: slot.seq },
                _ => SlotState::Foreign { seq: slot.seq },
            }
        }
    }
}

fn words_of(state: &SlotState, seq: u64, newest: bool) -> Option<String> {
    let which = if newest { say!("note" => "newer") } else { say!("note" => "older") };
    Some(match state {
        SlotState::Right => return None,
        SlotState::Blank if newest => {
            say!("entry {seq} was written and is not confirmed as saved: the work was interrupted there", seq)
        }
        SlotState::Blank => say!(
            "its older note is empty: the folder was written in one go, as by a rescue or a continued session"
        )
        .to_string(),
        SlotState::Older { seq: older } if newest => say!(
            "entry {seq} was written and is not confirmed as saved (the note still names entry {older}): the work was interrupted there",
            seq,
            older
        ),
        SlotState::Older { seq: older } => {
            say!("its {which} note names entry {older} instead of entry {seq}", which, older, seq)
        }
        SlotState::Foreign { seq: other } => {
            say!(
                "its {which} note names an entry {other} that this journal does not have: it belongs to another record",
                which,
                other
            )
        }
        SlotState::Torn => {
            say!(
                "its {which} note, about entry {seq}, is not as it was written; an interrupted write could leave this",
                which,
                seq
            )
        }
    })
}

fn first_difference(found: &[u8], right: &[u8]) -> usize {
    found.iter().zip(right).position(|(a, b)| a != b).unwrap_or(0)
}
