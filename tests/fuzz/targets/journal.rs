//! A journal line, a whole journal with its register, and the verdict over both.

use serde_json::json;
use spanwise::journal::entry::EVENT_TAG;
use spanwise::journal::hash::tagged;
use spanwise::journal::register::{self, Slot};
use spanwise::journal::{Encoded, Fields, Hash, decode, encode, judge, verify};

use super::Target;

/// Parts the journal from its register in an input.
const PARTING: &[u8] = b"\n==register==\n";

pub fn target() -> Target {
    Target::new("journal", 2_000, run).seeds(seeds).tokens_from_seeds()
}

fn run(input: &[u8]) -> bool {
    let at = input.windows(PARTING.len()).position(|window| window == PARTING);
    let (journal, register) = at.map_or((input, &[][..]), |at| (&input[..at], &input[at + PARTING.len()..]));
    let found = verify(journal);
    assert_eq!(found.verified_len + found.rest.len(), journal.len());
    let fault = found.fault.as_ref().map(|fault| fault.why.to_string());
    let judged = judge(journal, register);
    let words = format!("{:?} {fault:?}", judged.verdict);
    // A fault behind the hash is only reached where the hash is right.
    let line: &[u8] = journal.split_inclusive(|byte| *byte == b'\n').next().unwrap_or_default();
    let accepted = decode(line).inspect_err(|fault| drop(fault.to_string())).is_ok();
    let reframed = decode(&framed(line)).inspect_err(|fault| drop(fault.to_string())).is_ok();
    (accepted || reframed) && !words.is_empty()
}

/// The line's event under its right hash; the whole line where it holds none.
fn framed(line: &[u8]) -> Vec<u8> {
    let line = line.strip_suffix(b"\n").unwrap_or(line);
    let inner = line.strip_prefix(b"{\"e\":").unwrap_or(line);
    let event = inner.len().checked_sub(71).and_then(|end| inner.get(..end)).unwrap_or(inner);
    let hash = tagged(EVENT_TAG, event).to_string();
    [b"{\"e\":", event, b",\"h\":\"", hash.as_bytes(), b"\"}\n"].concat()
}

pub fn lines(count: u64) -> Vec<Encoded> {
    let mut lines: Vec<Encoded> = Vec::new();
    for seq in 0..count {
        let fields = Fields {
            sid: "00112233445566778899aabbccddeeff".into(),
            seq,
            prev: lines.last().map_or(Hash::ZERO, |line| line.entry.hash),
            wall: "2030-01-01T08:00:00.000+01:00".into(),
            mono_ms: seq * 1_000,
            kind: "noted".into(),
            body: json!({ "by": { "id": "ada", "name": "Ada Finch" }, "step": null, "text": format!("n{seq} °µ") }),
        };
        lines.push(encode(fields).unwrap_or_else(|why| panic!("{why}")));
    }
    lines
}

fn seeds() -> Vec<Vec<u8>> {
    let lines = lines(4);
    let journal: Vec<u8> = lines.iter().flat_map(|line| line.line.clone()).collect();
    let acked = |seq: usize| register::single(Slot { seq: seq as u64, hash: lines[seq].entry.hash });
    let with = |journal: &[u8], seq| [journal, PARTING, &acked(seq)].concat();
    vec![
        lines[0].line.clone(),
        with(&journal, 3),
        with(&journal, 2),
        with(&journal[..journal.len() - 1], 2),
        with(&journal[..journal.len() - 40], 2),
    ]
}
