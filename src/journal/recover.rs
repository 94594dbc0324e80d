//! What to do with a journal found on disk: a pure decision over its bytes and the register's.
//!
//! With R the last acknowledged line, J the last verified line and F the bytes after it, only a few
//! pictures can come from a power cut. Every other picture is damage, and damage is never repaired in place.

use std::fmt;

use super::chain::{self, Verified, verify};
use super::entry::{Entry, MAX_LINE};
use super::register::{Slot, highest_valid};

/// The decision. Only [`Verdict::Damaged`] forbids going on.
#[derive(Debug, Clone, PartialEq)]
pub enum Verdict {
    /// Everything written was acknowledged.
    Clean {
        acked: Slot,
    },
    /// The last line is whole but its acknowledgement was not shown: keep it, advance the register.
    HealRegister {
        last: Entry,
    },
    /// As before, and only the line feed is missing.
    HealNewline {
        last: Entry,
    },
    /// A torn line, never acknowledged: set these bytes aside.
    SetAside {
        from: usize,
        len: usize,
    },
    Damaged(Damage),
}

/// Why a session is read-only from now on.
#[derive(Debug, Clone, PartialEq)]
pub struct Damage {
    pub reason: DamageReason,
    pub first_bad_seq: u64,
    pub byte_offset: usize,
    /// How many lines before that verify and can be shown.
    pub verified_lines: usize,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DamageReason {
    /// No valid register slot: whether lines were cut away cannot be told.
    RegisterLost,
    /// Lines up to `acked` were acknowledged; fewer verify. `why` says what stands there instead.
    AcknowledgedLinesMissing { acked: u64, why: Option<chain::FaultWhy> },
    /// The last acknowledged line is not the one that was acknowledged.
    LineAltered { seq: u64 },
    /// More unacknowledged content than one interrupted write leaves.
    TooMuchAfterAcknowledged { acked: u64, lines: u64, extra_bytes: usize },
}

/// A verdict with the verified lines it was made from.
#[derive(Debug, Clone, PartialEq)]
pub struct Judged<'a> {
    pub verified: Verified<'a>,
    pub verdict: Verdict,
}

/// Judges the bytes of a journal and of its register.
pub fn judge<'a>(journal: &'a [u8], register: &[u8]) -> Judged<'a> {
    let verified = verify(journal);
    let verdict = decide(&verified, highest_valid(register));
    Judged { verified, verdict }
}

fn decide(found: &Verified<'_>, acked: Option<Slot>) -> Verdict {
    let Some(acked) = acked else {
        return damaged(found, DamageReason::RegisterLost);
    };
    let lines = found.entries.len() as u64;
    if lines <= acked.seq {
        let why = found.fault.as_ref().map(|fault| fault.why.clone());
        return damaged(found, DamageReason::AcknowledgedLinesMissing { acked: acked.seq, why });
    }
    // In range: lines > acked.seq was just checked.
    if found.entries[acked.seq as usize].hash != acked.hash {
        return Verdict::Damaged(Damage {
            reason: DamageReason::LineAltered { seq: acked.seq },
            first_bad_seq: acked.seq,
            byte_offset: found.start_of(acked.seq).unwrap_or(0),
            verified_lines: found.entries.len(),
        });
    }
    let rest = found.rest.len();
    match lines - acked.seq - 1 {
        0 if rest == 0 => Verdict::Clean { acked },
        0 if rest <= MAX_LINE => unfinished(found),
        1 if rest == 0 => match found.last() {
            Some(last) => Verdict::HealRegister { last: last.clone() },
            None => damaged(found, DamageReason::RegisterLost),
        },
        beyond => damaged(
            found,
            DamageReason::TooMuchAfterAcknowledged { acked: acked.seq, lines: beyond, extra_bytes: rest },
        ),
    }
}

/// One fragment after the acknowledged lines: whole but for its LF, or torn. A fragment may contain line feeds
/// by chance (junk in a torn tail), so it is not searched for them.
fn unfinished(found: &Verified<'_>) -> Verdict {
    let terminated = [found.rest, b"\n"].concat();
    match chain::next(found.last(), &terminated) {
        Ok(last) => Verdict::HealNewline { last },
        Err(_) => Verdict::SetAside { from: found.verified_len, len: found.rest.len() },
    }
}

fn damaged(found: &Verified<'_>, reason: DamageReason) -> Verdict {
    Verdict::Damaged(Damage {
        reason,
        first_bad_seq: found.entries.len() as u64,
        byte_offset: found.verified_len,
        verified_lines: found.entries.len(),
    })
}

impl fmt::Display for Damage {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match &self.reason {
            DamageReason::RegisterLost => f.write_str(&say!(
                "The acknowledgement register is missing or unreadable, so nobody can show that no answer was cut \
                 off after line {}.",
                self.first_bad_seq.saturating_sub(1)
            ))?,
            DamageReason::AcknowledgedLinesMissing { acked, why } => {
                f.write_str(&say!(
                    "Answers that were shown as saved are missing: line {acked} was acknowledged, but the journal \
                     verifies only up to byte {}, where line {} should begin",
                    self.byte_offset,
                    self.first_bad_seq,
                    acked = acked
                ))?;
                match why {
                    Some(why) => write!(f, " ({why}).")?,
                    None => f.write_str(say!(" (the file ends there)."))?,
                }
            }
            DamageReason::LineAltered { seq } => f.write_str(&say!(
                "Line {seq} at byte {} is not the line that was acknowledged: it was altered or swapped.",
                self.byte_offset,
                seq = seq
            ))?,
            DamageReason::TooMuchAfterAcknowledged { acked, lines, extra_bytes } => f.write_str(&say!(
                "After the last acknowledged line {acked} stand {lines} whole lines and {extra_bytes} further bytes, \
                 from byte {}; no interruption leaves that much.",
                self.byte_offset,
                acked = acked,
                lines = lines,
                extra_bytes = extra_bytes
            ))?,
        }
        f.write_str(&say!(
            " The session can be read ({} verify), not continued or signed. Copy the folder before anything \
             else is tried.",
            match self.verified_lines {
                1 => say!("1 line").to_string(),
                lines => say!("{lines} lines", lines = lines),
            }
        ))
    }
}

impl std::error::Error for Damage {}

#[cfg(test)]
mod tests {
    use super::super::chain::samples::{SID, journal, lines};
    use super::super::entry::Encoded;
    use super::super::hash::Hash;
    use super::super::register::{self, REGISTER_LEN};
    use super::*;

    fn acked(lines: &[Encoded], seq: usize) -> [u8; REGISTER_LEN] {
        register::single(Slot { seq: seq as u64, hash: lines[seq].entry.hash })
    }

    fn verdict(journal: &[u8], register: &[u8]) -> Verdict {
        judge(journal, register).verdict
    }

    fn reason(journal: &[u8], register: &[u8]) -> DamageReason {
        match verdict(journal, register) {
            Verdict::Damaged(damage) => damage.reason,
            other => panic!("{other:?}"),
        }
    }

    /// Each row of the recovery table.
    #[test]
    fn table() {
        let made = lines(SID, 5);
        let all = journal(&made);
        let four = journal(&made[..4]);
        assert!(matches!(verdict(&all, &acked(&made, 4)), Verdict::Clean { acked } if acked.seq == 4));
        assert_eq!(verdict(&all, &acked(&made, 3)), Verdict::HealRegister { last: made[4].entry.clone() });
        let no_lf = &all[..all.len() - 1];
        assert_eq!(verdict(no_lf, &acked(&made, 3)), Verdict::HealNewline { last: made[4].entry.clone() });
        let torn = &all[..all.len() - 2];
        let expected = Verdict::SetAside { from: four.len(), len: made[4].line.len() - 2 };
        assert_eq!(verdict(torn, &acked(&made, 3)), expected);
        assert!(matches!(
            reason(&four, &acked(&made, 4)),
            DamageReason::AcknowledgedLinesMissing { acked: 4, why: None }
        ));
        let altered = register::single(Slot { seq: 4, hash: Hash::ZERO });
        assert_eq!(reason(&all, &altered), DamageReason::LineAltered { seq: 4 });
        assert_eq!(
            reason(&all, &acked(&made, 2)),
            DamageReason::TooMuchAfterAcknowledged { acked: 2, lines: 2, extra_bytes: 0 }
        );
        let with_tail = [&all[..], b"x"].concat();
        assert!(matches!(
            reason(&with_tail, &acked(&made, 3)),
            DamageReason::TooMuchAfterAcknowledged { lines: 1, extra_bytes: 1, .. }
        ));
        let long_tail = [&all[..], &vec![0; MAX_LINE + 1]].concat();
        assert!(matches!(
            reason(&long_tail, &acked(&made, 4)),
            DamageReason::TooMuchAfterAcknowledged { lines: 0, .. }
        ));
        assert_eq!(reason(&all, &[b'\n'; REGISTER_LEN]), DamageReason::RegisterLost);
        assert_eq!(reason(b"", b""), DamageReason::RegisterLost);
    }

    /// Junk with a line feed inside is torn, not damage (a torn tail holds one by chance).
    #[test]
    fn line_feeds_inside_a_torn_tail() {
        let made = lines(SID, 3);
        let bytes = [journal(&made), b"\n\x00\n{\"e\":\n".to_vec()].concat();
        assert!(matches!(verdict(&bytes, &acked(&made, 2)), Verdict::SetAside { len: 9, .. }));
    }

    #[test]
    fn words_name_line_byte_and_next_step() {
        let made = lines(SID, 3);
        let mut bytes = journal(&made);
        let at = made[0].line.len();
        bytes[at + 30] ^= 1;
        let Verdict::Damaged(damage) = verdict(&bytes, &acked(&made, 2)) else { panic!() };
        assert_eq!((damage.first_bad_seq, damage.byte_offset, damage.verified_lines), (1, at, 1));
        let words = damage.to_string();
        assert!(words.contains("line 1") && words.contains(&format!("byte {at}")), "{words}");
        assert!(words.contains("Copy the folder"), "{words}");
    }

    /// Cutting anywhere: damage, or (only the last LF gone) nothing lost.
    #[test]
    fn every_cut_of_a_fully_acknowledged_journal() {
        let made = lines(SID, 4);
        let all = journal(&made);
        for len in 0..all.len() {
            let found = verdict(&all[..len], &acked(&made, 3));
            assert!(matches!(found, Verdict::Damaged(_)), "cut at {len}: {found:?}");
        }
    }
}
