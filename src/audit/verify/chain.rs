//! The chain: every line by itself and against its neighbours. Tells the first bad line as far as it can be told.

use super::report::{Fault, Found, KEEP, Report};
use super::{JOURNAL, REGISTER, SessionFiles};
use crate::journal::chain::{Fault as ChainFault, FaultWhy};
use crate::journal::entry::{LineFault, MAX_LINE};
use crate::journal::recover::{DamageReason, Judged, Verdict};
use crate::journal::register::highest_valid;
use crate::journal::{Hash, decode};
use crate::words::said;

const NAME: &str = mark!("chain");

/// Longest piece of a line that is shown, characters.
const SHOWN: usize = 240;

pub(super) fn check(report: &mut Report, files: &SessionFiles<'_>, judged: &Judged<'_>) {
    let count = judged.verified.entries.len();
    match (&judged.verdict, &judged.verified.fault) {
        (Verdict::Damaged(damage), Some(fault)) if needs_the_line(&damage.reason) => {
            bad_line(report, files, fault);
        }
        (Verdict::Damaged(damage), _) => damaged(report, files, count, damage.byte_offset, &damage.reason),
        // A torn write leaves no line that is whole by itself: this one was put there.
        (Verdict::SetAside { .. }, Some(fault)) if !matches!(fault.why, FaultWhy::Line(_)) => {
            bad_line(report, files, fault);
        }
        (Verdict::SetAside { from, .. }, _) => trailing(report, files, judged, *from),
        (Verdict::HealNewline { last }, _) => report.add(
            NAME,
            Found::Noted,
            say!("{count} entries, each names the one before, and entry {}, whole but for its line feed: nothing is lost", last.seq, count),
        ),
        _ => report.add(NAME, Found::Good, say!("{count} entries, each names the one before by its hash", count)),
    }
}

/// Bytes after the last entry. A write that stopped leaves the beginning of a line; behind a sign-off hardly anything is
/// written any more, so what stands there is looked at.
fn trailing(report: &mut Report, files: &SessionFiles<'_>, judged: &Judged<'_>, from: usize) {
    let entries = &judged.verified.entries;
    let (count, rest) = (entries.len(), files.journal.get(from..).unwrap_or_default());
    let (len, ended) = (rest.len(), rest.last() == Some(&b'\n'));
    let signed = entries.iter().any(|entry| entry.kind == "signed_off");
    report.trailing_bytes = len;
    let head = say!(
        "{count} entries, each names the one before; after them, from byte {from}, {len} bytes",
        count,
        from,
        len
    );
    if !(signed && ended) {
        let words = match (ended, signed) {
            (false, false) => {
                say!(
                    "of an unfinished line, never confirmed as saved and no part of the record: an interrupted write leaves this"
                )
            }
            (true, _) => {
                say!(
                    "that are no entry and end with a line feed, never confirmed as saved and no part of the record; a write that \
                 stopped leaves no such end: look at them"
                )
            }
            (false, true) => {
                say!(
                    "behind the sign-off, never confirmed as saved and no part of the record; only a countersignature that was \
                 interrupted leaves this: look at them"
                )
            }
        };
        return report.add(NAME, Found::Noted, format!("{head} {words}"));
    }
    let words = say!(
        "{head} that are no entry and end with a line feed, behind the sign-off: somebody added them to a signed record",
        head
    );
    let fault = Fault {
        file: JOURNAL.to_string(),
        entry: Some(count as u64),
        byte: Some(from),
        stands: reads(cut_line(rest).0),
        should: say!("the end of the file, or a countersignature").to_string(),
        next: said(KEEP).to_string(),
    };
    report.bad(NAME, words, fault);
}

fn needs_the_line(reason: &DamageReason) -> bool {
    !matches!(reason, DamageReason::RegisterLost | DamageReason::LineAltered { .. })
}

/// Damage of which the journal's own lines know nothing: the register tells it.
fn damaged(report: &mut Report, files: &SessionFiles<'_>, count: usize, byte: usize, reason: &DamageReason) {
    let fault = |entry: u64, stands: String, should: String| Fault {
        file: JOURNAL.to_string(),
        entry: Some(entry),
        byte: Some(byte),
        stands,
        should,
        next: said(KEEP).to_string(),
    };
    match reason {
        // The register's own check tells that it is lost; the chain may still be whole.
        DamageReason::RegisterLost => match whole(files.journal, count) {
            true => report.add(
                NAME,
                Found::Good,
                say!("{count} entries, each names the one before by its hash", count),
            ),
            false => bad_rest(report, files),
        },
        DamageReason::AcknowledgedLinesMissing { acked, .. } => {
            let words = say!(
                "the file ends after {count} entries, but entry {acked} was shown to the inspector as saved: entries are cut off",
                count,
                acked
            );
            let should = say!("entries {count} to {acked}", count, acked);
            report.bad(NAME, words, fault(count as u64, say!("the end of the file").to_string(), should));
        }
        DamageReason::LineAltered { seq } => {
            let words = say!(
                "entry {seq} is not the one that was shown to the inspector as saved: the record was rewritten, or {REGISTER} \
                 belongs to another copy",
                seq,
                REGISTER
            );
            let acked = highest_valid(files.register.unwrap_or_default());
            let should = acked.map_or_else(String::new, |slot| say!("the entry with the hash {}", slot.hash));
            report.bad(NAME, words, fault(*seq, say!("an entry with another hash").to_string(), should));
        }
        DamageReason::TooMuchAfterAcknowledged { acked, lines, .. } => {
            let words = say!(
                "{lines} entries stand after entry {acked}, the last that was confirmed as saved: no interruption leaves more than one",
                lines,
                acked
            );
            let should = say!("the end of the file after entry {acked} or {}", acked + 1, acked);
            report.bad(NAME, words, fault(acked + 1, say!("{lines} further entries", lines), should));
        }
    }
}

/// Whether the whole journal verifies by its own lines.
fn whole(journal: &[u8], count: usize) -> bool {
    count > 0 && crate::journal::verify(journal).fault.is_none()
}

fn bad_rest(report: &mut Report, files: &SessionFiles<'_>) {
    match crate::journal::verify(files.journal).fault {
        Some(fault) => bad_line(report, files, &fault),
        None => {
            let fault = Fault {
                file: JOURNAL.to_string(),
                entry: Some(0),
                byte: Some(0),
                stands: say!("an empty file").to_string(),
                should: say!("the opening entry").to_string(),
                next: said(KEEP).to_string(),
            };
            report.bad(NAME, say!("there is no entry at all").to_string(), fault);
        }
    }
}

/// The first line that does not verify: what it reads now, and what its neighbours say about it.
fn bad_line(report: &mut Report, files: &SessionFiles<'_>, fault: &ChainFault) {
    let rest = files.journal.get(fault.byte_offset..).unwrap_or_default();
    let (line, after) = cut_line(rest);
    let (words, should) = explain(files, fault, line, after);
    let found = Fault {
        file: JOURNAL.to_string(),
        entry: Some(fault.seq),
        byte: Some(fault.byte_offset),
        stands: reads(line),
        should,
        next: said(KEEP).to_string(),
    };
    let tail = match sound_lines(after) {
        0 => String::new(),
        more => say!(
            "; 1 entry after it verifies by itself" | "; {n} entries after it verify by themselves" % more
        ),
    };
    report.bad(
        NAME,
        say!("entry {} at byte {}: {words}{tail}", fault.seq, fault.byte_offset, words, tail),
        found,
    );
}

fn cut_line(bytes: &[u8]) -> (&[u8], &[u8]) {
    let end = bytes
        .iter()
        .take(MAX_LINE)
        .position(|byte| *byte == b'\n')
        .map_or(bytes.len().min(MAX_LINE), |at| at + 1);
    bytes.split_at(end)
}

/// How many lines in a row are sound by themselves and name each other.
fn sound_lines(mut bytes: &[u8]) -> usize {
    let (mut count, mut last): (usize, Option<Hash>) = (0, None);
    while let (line @ [_, ..], after) = cut_line(bytes) {
        match decode(line) {
            Ok(entry) if last.is_none_or(|hash| entry.prev == hash) => last = Some(entry.hash),
            _ => break,
        }
        count += 1;
        bytes = after;
    }
    count
}

/// Words for the fault, and what should stand there.
fn explain(files: &SessionFiles<'_>, fault: &ChainFault, line: &[u8], after: &[u8]) -> (String, String) {
    match &fault.why {
        FaultWhy::Line(LineFault::Hash { stored, computed }) => {
            hash_words(fault.seq, *stored, *computed, named_next(files, fault.seq, after))
        }
        FaultWhy::Line(LineFault::Unterminated) if is_whole_but_for_its_end(line) => (
            say!("only its line feed is missing at the end of the file; the entry itself is whole and nothing is lost").to_string(),
            say!("the same line, ended by a line feed").to_string(),
        ),
        FaultWhy::Line(LineFault::Unterminated) => {
            (say!("the line is cut off at the end of the file").to_string(), say!("a whole line ended by a line feed").to_string())
        }
        FaultWhy::Line(other) => {
            (other.to_string(), say!("a line of the form {\"e\":EVENT,\"h\":\"HASH\"} in its one spelling").to_string())
        }
        FaultWhy::Seq { expected, found } if found > expected => (
            say!("entry {expected} is missing: entry {found} stands in its place{}", elsewhere(*expected, after), expected, found),
            say!("entry {expected}", expected),
        ),
        FaultWhy::Seq { expected, found } => (
            say!("entry {found} stands here once more, where entry {expected} should stand", found, expected),
            say!("entry {expected}", expected),
        ),
        FaultWhy::Prev { expected, found } => (
            say!("it does not follow the entry before it: it names {found} as the one before, and that is {expected}; it comes \
                 from another record, or the entries before it were rewritten", found = format_args!("{:.12}", found), expected = format_args!("{:.12}", expected)),
            say!("an entry that names {expected} as the one before", expected),
        ),
        FaultWhy::Sid { expected, found } => (
            say!("it belongs to another session, {found}", found),
            say!("an entry of session {expected}", expected),
        ),
    }
}

fn is_whole_but_for_its_end(line: &[u8]) -> bool {
    decode(&[line, b"\n"].concat()).is_ok()
}

/// Where a line moved to, when it stands further down.
fn elsewhere(seq: u64, mut after: &[u8]) -> String {
    while let (line @ [_, ..], rest) = cut_line(after) {
        if decode(line).is_ok_and(|entry| entry.seq == seq) {
            return say!("; entry {seq} stands further down: the order was changed", seq);
        }
        after = rest;
    }
    say!("; it was cut out").to_string()
}

/// The hash under which the next line, or for the last one the register, knows this entry; with who says it.
fn named_next(files: &SessionFiles<'_>, seq: u64, after: &[u8]) -> Option<(Hash, String)> {
    let (line, _) = cut_line(after);
    if let Some(prev) = member_text(line, "prev").and_then(|text| text.parse().ok()) {
        return Some((prev, say!("entry {}", seq + 1)));
    }
    highest_valid(files.register.unwrap_or_default())
        .filter(|slot| slot.seq == seq)
        .map(|slot| (slot.hash, say!("{REGISTER}, the note of what was confirmed as saved,", REGISTER)))
}

fn hash_words(seq: u64, stored: Hash, computed: Hash, named: Option<(Hash, String)>) -> (String, String) {
    match named {
        Some((hash, who)) if hash == stored => (
            say!(
                "its text was changed: it does not have the hash that {who} names. Which field was changed, the hash cannot tell",
                who
            ),
            say!("the text of entry {seq} whose hash is {stored}", seq, stored),
        ),
        Some((hash, who)) if hash == computed => (
            say!("its text is the one that {who} names; the hash at the end of its line was changed", who),
            say!("the hash {computed}", computed),
        ),
        Some((hash, who)) => (
            say!("its text does not give the hash at the end of its line, nor the one that {who} names", who),
            say!("the text of entry {seq} whose hash is {hash}", seq, hash),
        ),
        None => (
            say!("its text does not give the hash at the end of its line").to_string(),
            say!("the text of entry {seq} whose hash is {stored}, if that was left as it was", seq, stored),
        ),
    }
}

/// What the line reads now, as far as it can be read.
fn reads(line: &[u8]) -> String {
    if line.is_empty() {
        return say!("the end of the file").to_string();
    }
    let value = |name| member_text(line, name).unwrap_or_default();
    let kind = value("kind");
    let whole: Option<serde_json::Value> = serde_json::from_slice(line).ok();
    let body = whole.as_ref().and_then(|line| line.pointer("/e/body")).map(ToString::to_string);
    let raw = body.unwrap_or_else(|| String::from_utf8_lossy(line).trim_end().to_string());
    let shown: String = raw.chars().take(SHOWN).collect();
    let shortened = if raw.chars().nth(SHOWN).is_some() { " …" } else { "" };
    match (kind.is_empty(), value("wall")) {
        (true, _) => say!("the line now reads: {shown}{shortened}", shown, shortened),
        (false, wall) => {
            say!("the line now reads: {kind} of {wall}: {shown}{shortened}", kind, wall, shown, shortened)
        }
    }
}

/// A member of a line that may not be sound: for showing and for words, never for deciding what is sound.
fn member_text(line: &[u8], name: &str) -> Option<String> {
    let value: serde_json::Value = serde_json::from_slice(line).ok()?;
    value.pointer(&format!("/e/{name}"))?.as_str().map(str::to_string)
}
