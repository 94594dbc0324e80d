//! What a campaign of kills counts, and how a session looks right after one.

use std::fmt;
use std::path::Path;
use std::time::Duration;

use spanwise::journal::{Verdict, judge};

/// Rounds of each campaign; `SPANWISE_KILL_ROUNDS=2000` makes them long.
pub fn rounds() -> u64 {
    std::env::var("SPANWISE_KILL_ROUNDS").ok().and_then(|text| text.parse().ok()).unwrap_or(20)
}

/// Another seed gives other delays: `SPANWISE_KILL_SEED=7`.
pub fn seed() -> u64 {
    let given = std::env::var("SPANWISE_KILL_SEED").ok().and_then(|text| text.parse().ok());
    given.filter(|seed| *seed != 0).unwrap_or(0x5EED_0FFA_1100)
}

/// xorshift64 (G. Marsaglia, Xorshift RNGs, 2003; shifts 13, 7, 17).
fn next(state: &mut u64) -> u64 {
    *state ^= *state << 13;
    *state ^= *state >> 7;
    *state ^= *state << 17;
    *state
}

/// 0 to `most_ms`, and at once in every fourth round.
pub fn delay(random: &mut u64, round: u64, most_ms: u64) -> Duration {
    let micros = next(random) % (most_ms * 1000 + 1);
    Duration::from_micros(if round % 4 == 1 { 0 } else { micros })
}

#[derive(Debug, Default, Clone, Copy, PartialEq, Eq)]
pub struct Figures {
    pub rounds: u64,
    /// Entries that were seen as saved before the kill.
    pub saved_seen: u64,
    /// Of these, found again after it, with their content.
    pub found: u64,
    /// Entries found that nobody had seen as saved yet; at most one a round.
    pub one_more: u64,
    /// Typed text that was seen on the screen and not recorded, and how much of it was kept.
    pub typed_seen: u64,
    pub typed_kept: u64,
    /// Last line whole, its acknowledgement missing: healed at the next opening.
    pub healed: u64,
    /// Last line torn: set aside at the next opening.
    pub torn: u64,
    /// Kills that came after the program had ended by itself.
    pub too_late: u64,
}

impl Figures {
    /// Looks at what the kill left, before anything opens it for writing.
    #[track_caller]
    pub fn look(&mut self, session: &Path) {
        let journal = std::fs::read(session.join("journal.jsonl")).expect("a journal");
        let register = std::fs::read(session.join("acked.reg")).expect("a register");
        match judge(&journal, &register).verdict {
            Verdict::Clean { .. } => {}
            Verdict::HealRegister { .. } | Verdict::HealNewline { .. } => self.healed += 1,
            Verdict::SetAside { .. } => self.torn += 1,
            Verdict::Damaged(damage) => panic!("round {}: a kill left damage: {damage}", self.rounds),
        }
    }
}

impl fmt::Display for Figures {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let Figures { rounds, saved_seen, found, one_more, typed_seen, typed_kept, healed, torn, too_late } =
            self;
        write!(
            f,
            "{rounds} rounds; {saved_seen} entries seen as saved, {found} found again, {one_more} more found; \
             {typed_seen} unrecorded texts seen, {typed_kept} kept; {healed} healed, {torn} torn, 0 damaged; \
             {too_late} kills too late"
        )
    }
}
