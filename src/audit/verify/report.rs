//! What a verification found, in words and as data.

use serde::Serialize;

use crate::event::Continues;
use crate::journal::{Entry, Hash, ShortCode};

/// How one check came out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Found {
    Good,
    /// Worth knowing; it shakes nothing.
    Noted,
    /// There is nothing of the kind to check.
    Absent,
    /// It could not be checked; the words say why.
    Unknown,
    Bad,
}

impl Found {
    pub const ALL: [Found; 5] = [Found::Good, Found::Noted, Found::Absent, Found::Unknown, Found::Bad];

    pub fn word(self) -> &'static str {
        match self {
            Found::Good => say!("check" => "good"),
            Found::Noted => say!("check" => "note"),
            Found::Absent => say!("check" => "none"),
            Found::Unknown => say!("check" => "unknown"),
            Found::Bad => say!("check" => "BAD"),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Check {
    pub name: &'static str,
    pub found: Found,
    pub words: String,
}

/// The first place that is wrong: where, what stands there, what should, what to do.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Fault {
    /// File within the session's folder.
    pub file: String,
    /// Number of the first bad entry, where the fault is in or about an entry.
    pub entry: Option<u64>,
    /// Offset in `file` at which the first bad entry begins, or of the first byte that is wrong.
    pub byte: Option<usize>,
    pub stands: String,
    pub should: String,
    pub next: String,
}

/// An entry as paper fixes it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Place {
    pub entry: u64,
    pub hash: Hash,
    /// The 25 characters and two check digits of the hash.
    pub code: String,
    pub wall: String,
}

impl Place {
    pub fn of(entry: &Entry) -> Place {
        Place {
            entry: entry.seq,
            hash: entry.hash,
            code: ShortCode::of(&entry.hash).to_string(),
            wall: entry.wall.clone(),
        }
    }
}

/// The verdict on one session.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Soundness {
    /// Whole, signed, sealed with a key that was the signer's on that day.
    Sealed,
    /// Whole, signed and sealed; nothing shows that the key is the signer's.
    SealedByUnknownKey,
    /// Whole and signed, without a seal.
    Unsealed,
    /// Whole so far, not signed.
    Unsigned,
    Damaged,
}

impl Soundness {
    pub fn word(self) -> &'static str {
        match self {
            Soundness::Sealed => say!("sound; sealed with the signer's key"),
            Soundness::SealedByUnknownKey => {
                say!("sound; SEALED BY A KEY THAT IS NOT SHOWN TO BE THE SIGNER'S")
            }
            Soundness::Unsealed => say!("sound; signed, NOT SEALED"),
            Soundness::Unsigned => say!("sound so far; NOT SIGNED"),
            Soundness::Damaged => say!("DAMAGED OR ALTERED"),
        }
    }

    pub fn is_damaged(self) -> bool {
        self == Soundness::Damaged
    }
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Report {
    pub sid: Option<String>,
    pub registration: Option<String>,
    pub type_id: Option<String>,
    pub serial: Option<String>,
    /// Running, paused, or the outcome with the day and the signer.
    pub standing: String,
    pub verdict: Soundness,
    /// Number of entries that verify from the beginning.
    pub entries: usize,
    /// The last of them.
    pub head: Option<Place>,
    pub sign_off: Option<Place>,
    pub continues: Option<Continues>,
    /// Why what comes after the verified entries cannot be told; `None` where nothing does.
    pub beyond: Option<String>,
    /// Bytes after the last entry that are no part of the record.
    pub trailing_bytes: usize,
    /// Good signatures of independent inspections and countersignatures.
    pub second_signatures: usize,
    /// Those of them by a key that is not shown to have been its person's on that day.
    pub second_unshown: usize,
    /// Sessions in the same folder that continue this one.
    pub continued_by: Vec<String>,
    pub checks: Vec<Check>,
    /// The first fault met, in the order of the checks.
    pub fault: Option<Fault>,
    /// Hashes of the verified entries, for comparing copies.
    #[serde(skip)]
    pub chain: Vec<Hash>,
    /// Entries carried over: number here, session, number and hash there.
    #[serde(skip)]
    pub carried: Vec<(usize, String, u64, String)>,
    /// Where the sign-off's seal stands; set by the seal check.
    #[serde(skip)]
    pub(super) seal: Option<Soundness>,
}

impl Report {
    pub(super) fn new(entries: &[Entry]) -> Report {
        Report {
            sid: entries.first().map(|first| first.sid.clone()),
            registration: None,
            type_id: None,
            serial: None,
            standing: String::new(),
            verdict: Soundness::Unsigned,
            entries: entries.len(),
            head: entries.last().map(Place::of),
            sign_off: None,
            continues: None,
            beyond: None,
            trailing_bytes: 0,
            second_signatures: 0,
            second_unshown: 0,
            continued_by: Vec::new(),
            checks: Vec::new(),
            fault: None,
            chain: entries.iter().map(|entry| entry.hash).collect(),
            carried: Vec::new(),
            seal: None,
        }
    }

    pub(super) fn add(&mut self, name: &'static str, found: Found, words: String) {
        self.checks.push(Check { name, found, words });
    }

    /// A failed check; the first of them is the report's fault.
    pub(super) fn bad(&mut self, name: &'static str, words: String, fault: Fault) {
        self.add(name, Found::Bad, words);
        self.fault.get_or_insert(fault);
    }

    /// The verdict, with the second signatures where they show less than the first.
    pub fn verdict_words(&self) -> String {
        let word = self.verdict.word();
        match (self.second_unshown, self.verdict.is_damaged()) {
            (0, _) | (_, true) => word.to_string(),
            (unshown, false) => say!(
                "{word}; {unshown} OF {} SECOND SIGNATURES BY KEYS THAT ARE NOT SHOWN TO BE THEIR PERSONS'",
                self.second_signatures,
                word,
                unshown
            ),
        }
    }

    /// Sealed by the signer, and no second signature by a key that is not shown to be its person's.
    pub fn is_sealed_throughout(&self) -> bool {
        self.verdict == Soundness::Sealed && self.second_unshown == 0
    }

    pub fn check(&self, name: &str) -> Option<&Check> {
        self.checks.iter().find(|check| check.name == name)
    }

    /// The verdict from the checks.
    pub(super) fn settle(&mut self, empty: bool) {
        let bad = empty || self.checks.iter().any(|check| check.found == Found::Bad);
        self.verdict = match (&self.sign_off, bad) {
            (_, true) => Soundness::Damaged,
            (None, false) => Soundness::Unsigned,
            (Some(_), false) => self.seal.unwrap_or(Soundness::Unsealed),
        };
    }
}

/// The advice that fits every fault of the files.
pub(super) const KEEP: &str = mark!(
    "change nothing; copy the whole folder as it is, then compare it with another copy and with the codes on \
the paper worksheet (spanwise anchor)"
);
