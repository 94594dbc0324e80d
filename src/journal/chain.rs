//! Verifying a whole journal: every line by itself, and each against the one before.

use std::fmt;

use super::entry::{Entry, LineFault, MAX_LINE, decode};
use super::hash::Hash;

/// The verified part of a journal and what stands after it.
#[derive(Debug, Clone, PartialEq)]
pub struct Verified<'a> {
    pub entries: Vec<Entry>,
    /// Byte offset just after each entry's LF, in step with `entries`.
    pub ends: Vec<usize>,
    /// Bytes up to and with the last verified LF.
    pub verified_len: usize,
    /// Everything after it.
    pub rest: &'a [u8],
    /// Why `rest` does not begin with the next line; `None` when `rest` is empty.
    pub fault: Option<Fault>,
}

/// The first line that does not verify.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    pub seq: u64,
    pub byte_offset: usize,
    pub why: FaultWhy,
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FaultWhy {
    Line(LineFault),
    Seq { expected: u64, found: u64 },
    Prev { expected: Hash, found: Hash },
    Sid { expected: String, found: String },
}

impl Verified<'_> {
    pub fn last(&self) -> Option<&Entry> {
        self.entries.last()
    }

    /// Byte offset at which the line `seq` begins.
    pub fn start_of(&self, seq: u64) -> Option<usize> {
        let index = usize::try_from(seq).ok().filter(|i| *i < self.ends.len())?;
        Some(if index == 0 { 0 } else { self.ends[index - 1] })
    }
}

/// Reads lines from the beginning until the first that does not verify. Never fails and never reads on past
/// a fault: what follows a break cannot be told from a forgery.
pub fn verify(bytes: &[u8]) -> Verified<'_> {
    let mut entries: Vec<Entry> = Vec::new();
    let mut ends = Vec::new();
    let mut verified_len = 0;
    let mut fault = None;
    while verified_len < bytes.len() {
        let line = first_line(&bytes[verified_len..]);
        match next(entries.last(), line) {
            Ok(entry) => {
                entries.push(entry);
                verified_len += line.len();
                ends.push(verified_len);
            }
            Err(why) => {
                fault = Some(Fault { seq: entries.len() as u64, byte_offset: verified_len, why });
                break;
            }
        }
    }
    Verified { entries, ends, verified_len, rest: &bytes[verified_len..], fault }
}

/// Up to and with the first LF, but never more than one byte beyond the longest line.
fn first_line(bytes: &[u8]) -> &[u8] {
    let window = &bytes[..bytes.len().min(MAX_LINE + 1)];
    match window.iter().position(|b| *b == b'\n') {
        Some(at) => &window[..=at],
        None => window,
    }
}

/// Decodes one line and checks that it follows `last` (`None`: that it is line 0).
///
/// # Errors
/// The line's own fault, or a wrong sequence number, previous hash or session id.
pub fn next(last: Option<&Entry>, line: &[u8]) -> Result<Entry, FaultWhy> {
    let entry = decode(line).map_err(FaultWhy::Line)?;
    let (seq, prev) = last.map_or((0, Hash::ZERO), |l| (l.seq + 1, l.hash));
    if entry.seq != seq {
        return Err(FaultWhy::Seq { expected: seq, found: entry.seq });
    }
    if entry.prev != prev {
        return Err(FaultWhy::Prev { expected: prev, found: entry.prev });
    }
    match last {
        Some(l) if l.sid != entry.sid => Err(FaultWhy::Sid { expected: l.sid.clone(), found: entry.sid }),
        _ => Ok(entry),
    }
}

impl fmt::Display for FaultWhy {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            FaultWhy::Line(fault) => fault.fmt(f),
            FaultWhy::Seq { expected, found } => f.write_str(&say!(
                "it carries number {found} where {expected} should stand",
                found = found,
                expected = expected
            )),
            FaultWhy::Prev { expected, found } => f.write_str(&say!(
                "it follows {found}, but the line before is {expected}",
                found = format_args!("{:.12}", found),
                expected = format_args!("{:.12}", expected)
            )),
            FaultWhy::Sid { expected, found } => f.write_str(&say!(
                "it belongs to session {found}, not to {expected}",
                found = found,
                expected = expected
            )),
        }
    }
}

impl fmt::Display for Fault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&say!("line {} at byte {}: {}", self.seq, self.byte_offset, self.why))
    }
}

/// Chains for this module's tests and its neighbours'.
#[cfg(test)]
pub(crate) mod samples {
    use super::super::entry::{Encoded, Fields, encode};
    use super::*;
    use serde_json::json;

    pub const SID: &str = "00112233445566778899aabbccddeeff";

    pub fn line_after(sid: &str, last: Option<&Entry>, note: &str) -> Encoded {
        let (seq, prev) = last.map_or((0, Hash::ZERO), |l| (l.seq + 1, l.hash));
        encode(Fields {
            sid: sid.into(),
            seq,
            prev,
            wall: "2030-01-01T08:00:00.000Z".into(),
            mono_ms: seq * 1000,
            kind: "answer".into(),
            body: json!({ "note": note }),
        })
        .unwrap()
    }

    pub fn lines(sid: &str, count: usize) -> Vec<Encoded> {
        let mut made: Vec<Encoded> = Vec::new();
        for n in 0..count {
            let line = line_after(sid, made.last().map(|m| &m.entry), &format!("n{n}"));
            made.push(line);
        }
        made
    }

    pub fn journal(lines: &[Encoded]) -> Vec<u8> {
        lines.iter().flat_map(|l| l.line.clone()).collect()
    }
}

#[cfg(test)]
mod tests {
    use super::samples::{SID, journal, line_after, lines};
    use super::*;

    #[test]
    fn whole_chain() {
        let made = lines(SID, 5);
        let bytes = journal(&made);
        let found = verify(&bytes);
        assert_eq!(found.entries, made.iter().map(|m| m.entry.clone()).collect::<Vec<_>>());
        assert_eq!((found.verified_len, found.rest.len()), (bytes.len(), 0));
        assert_eq!(found.fault, None);
        assert_eq!(found.start_of(0), Some(0));
        assert_eq!(found.start_of(4), Some(bytes.len() - made[4].line.len()));
        assert_eq!(found.start_of(5), None);
        assert_eq!(verify(b"").entries, []);
    }

    #[test]
    fn dropped_swapped_doubled_and_foreign_lines() {
        let made = lines(SID, 4);
        let pick =
            |order: &[usize]| -> Vec<u8> { order.iter().flat_map(|i| made[*i].line.clone()).collect() };
        for (order, good) in [(&[0, 2, 3][..], 1), (&[0, 2, 1, 3], 1), (&[0, 1, 1, 2], 2), (&[1, 2, 3], 0)] {
            let bytes = pick(order);
            let found = verify(&bytes);
            assert_eq!(found.entries.len(), good);
            let fault = found.fault.unwrap();
            assert_eq!((fault.seq, fault.byte_offset), (good as u64, found.verified_len));
            assert!(matches!(fault.why, FaultWhy::Seq { .. }));
        }
        let other = lines("ffeeddccbbaa99887766554433221100", 3);
        let spliced = [journal(&made[..2]), other[2].line.clone()].concat();
        assert!(matches!(verify(&spliced).fault.unwrap().why, FaultWhy::Prev { .. }));
        let foreign = line_after("ffeeddccbbaa99887766554433221100", Some(&made[1].entry), "x");
        let spliced = [journal(&made[..2]), foreign.line].concat();
        assert!(matches!(verify(&spliced).fault.unwrap().why, FaultWhy::Sid { .. }));
    }

    #[test]
    fn endless_line_is_bounded() {
        let made = lines(SID, 1);
        let bytes = [journal(&made), vec![b'x'; 3 * MAX_LINE]].concat();
        let found = verify(&bytes);
        assert_eq!(found.rest.len(), 3 * MAX_LINE);
        assert!(matches!(found.fault.unwrap().why, FaultWhy::Line(LineFault::TooLong { .. })));
    }
}
