//! One line of the journal: encode, and decode under the strict reader rule.

use std::fmt;

use chrono::DateTime;
use serde_json::{Map, Value};

use super::canonical::{CanonicalError, INTEGER_BOUND, canonical, is_plain_key};
use super::hash::{Hash, tagged};

/// Names purpose and version of an event hash. Changing it changes every hash ever printed.
pub const EVENT_TAG: &str = "spanwise/event/v1";

/// Longest line in bytes, LF included.
pub const MAX_LINE: usize = 64 * 1024;

const HEAD: &[u8] = b"{\"e\":";
const MIDDLE: &[u8] = b",\"h\":\"";
const TAIL: &[u8] = b"\"}";
const HASH_HEX: usize = 64;
const AFTER_EVENT: usize = MIDDLE.len() + HASH_HEX + TAIL.len();

/// What an event line says before it has a hash. `wall` is RFC 3339 with offset; `mono_ms` counts milliseconds
/// since this run began; `sid` is 32 lower-case hexadecimal characters.
#[derive(Debug, Clone, PartialEq)]
pub struct Fields {
    pub sid: String,
    pub seq: u64,
    pub prev: Hash,
    pub wall: String,
    pub mono_ms: u64,
    pub kind: String,
    pub body: Value,
}

/// One verified line. `hash` covers all the other members.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    pub sid: String,
    pub seq: u64,
    pub prev: Hash,
    pub wall: String,
    pub mono_ms: u64,
    pub kind: String,
    pub body: Value,
    pub hash: Hash,
}

/// A line ready to be written (ends with LF) and the entry that a reader will make of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Encoded {
    pub line: Vec<u8>,
    pub entry: Entry,
}

/// Why a line cannot be made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum EncodeError {
    Canonical(CanonicalError),
    /// The line was built, but a reader would refuse it; so it is not written.
    Unreadable(LineFault),
}

/// Why bytes are not a journal line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum LineFault {
    TooLong { len: usize },
    Unterminated,
    Frame,
    Hash { stored: Hash, computed: Hash },
    Json(String),
    Canonical(CanonicalError),
    NotCanonical,
    Member { name: &'static str, why: &'static str },
}

/// Builds the line for the fields and checks it with the reader's own rule before handing it out.
///
/// # Errors
/// A body outside the canonical subset, a malformed member, or a line longer than [`MAX_LINE`].
pub fn encode(fields: Fields) -> Result<Encoded, EncodeError> {
    encode_with(EVENT_TAG, fields)
}

/// As [`encode`], with another tag. Public only so that the format can be checked against examples made
/// with another tag.
pub fn encode_with(tag: &str, fields: Fields) -> Result<Encoded, EncodeError> {
    let event = canonical(&event_value(fields)).map_err(EncodeError::Canonical)?;
    let hash = tagged(tag, &event);
    let mut line = Vec::with_capacity(HEAD.len() + event.len() + AFTER_EVENT + 1);
    line.extend_from_slice(HEAD);
    line.extend_from_slice(&event);
    line.extend_from_slice(MIDDLE);
    line.extend_from_slice(hash.to_string().as_bytes());
    line.extend_from_slice(TAIL);
    line.push(b'\n');
    let entry = decode_with(tag, &line).map_err(EncodeError::Unreadable)?;
    Ok(Encoded { line, entry })
}

fn event_value(fields: Fields) -> Value {
    let mut event = Map::new();
    event.insert("sid".into(), fields.sid.into());
    event.insert("seq".into(), fields.seq.into());
    event.insert("prev".into(), fields.prev.to_string().into());
    event.insert("wall".into(), fields.wall.into());
    event.insert("mono_ms".into(), fields.mono_ms.into());
    event.insert("kind".into(), fields.kind.into());
    event.insert("body".into(), fields.body);
    Value::Object(event)
}

/// Reads one line including its LF.
///
/// The order is the rule: the raw slice is hashed first, parsed second, re-canonicalised third and compared
/// byte for byte. So exactly one byte string exists per event, and no parser sees unhashed bytes.
///
/// # Errors
/// The first [`LineFault`] met.
pub fn decode(line: &[u8]) -> Result<Entry, LineFault> {
    decode_with(EVENT_TAG, line)
}

/// As [`decode`], with another tag; see [`encode_with`].
pub fn decode_with(tag: &str, line: &[u8]) -> Result<Entry, LineFault> {
    if line.len() > MAX_LINE {
        return Err(LineFault::TooLong { len: line.len() });
    }
    let Some((b'\n', content)) = line.split_last() else {
        return Err(LineFault::Unterminated);
    };
    let (event, stored) = split_frame(content).ok_or(LineFault::Frame)?;
    let computed = tagged(tag, event);
    if stored != computed {
        return Err(LineFault::Hash { stored, computed });
    }
    let value: Value = serde_json::from_slice(event).map_err(|e| LineFault::Json(e.to_string()))?;
    if canonical(&value).map_err(LineFault::Canonical)? != event {
        return Err(LineFault::NotCanonical);
    }
    entry_of(value, computed)
}

fn split_frame(content: &[u8]) -> Option<(&[u8], Hash)> {
    let inner = content.strip_prefix(HEAD)?;
    let (event, rest) = inner.split_at_checked(inner.len().checked_sub(AFTER_EVENT)?)?;
    let hex = rest.strip_prefix(MIDDLE)?.strip_suffix(TAIL)?;
    Some((event, std::str::from_utf8(hex).ok()?.parse().ok()?))
}

fn entry_of(event: Value, hash: Hash) -> Result<Entry, LineFault> {
    let Value::Object(mut members) = event else {
        return Err(member("e", say!("is not an object")));
    };
    let sid = take_text(&mut members, "sid")?;
    if !is_session_id(&sid) {
        return Err(member("sid", say!("is not 32 lower-case hexadecimal characters")));
    }
    let prev = take_text(&mut members, "prev")?.parse().map_err(|_| member("prev", say!("is not a hash")))?;
    let wall = take_text(&mut members, "wall")?;
    if DateTime::parse_from_rfc3339(&wall).is_err() {
        return Err(member("wall", say!("is not an RFC 3339 time with offset")));
    }
    let kind = take_text(&mut members, "kind")?;
    if !is_plain_key(&kind) {
        return Err(member("kind", say!("is not made of a-z, 0-9 and _ only")));
    }
    let seq = take_count(&mut members, "seq")?;
    let mono_ms = take_count(&mut members, "mono_ms")?;
    let body = members.remove("body").ok_or(member("body", say!("is missing")))?;
    if !members.is_empty() {
        return Err(member("e", say!("has a member that this version does not know")));
    }
    Ok(Entry { sid, seq, prev, wall, mono_ms, kind, body, hash })
}

/// Whether a text is a session id: 128 bits as 32 lower-case hexadecimal characters.
pub fn is_session_id(text: &str) -> bool {
    text.len() == 32 && text.bytes().all(|b| matches!(b, b'0'..=b'9' | b'a'..=b'f'))
}

fn take_text(members: &mut Map<String, Value>, name: &'static str) -> Result<String, LineFault> {
    match members.remove(name) {
        Some(Value::String(text)) => Ok(text),
        Some(_) => Err(member(name, say!("is not a text"))),
        None => Err(member(name, say!("is missing"))),
    }
}

fn take_count(members: &mut Map<String, Value>, name: &'static str) -> Result<u64, LineFault> {
    let value = members.remove(name).ok_or(member(name, say!("is missing")))?;
    value.as_u64().filter(|n| *n < INTEGER_BOUND).ok_or(member(name, say!("is not a count below 2^53")))
}

fn member(name: &'static str, why: &'static str) -> LineFault {
    LineFault::Member { name, why }
}

impl fmt::Display for LineFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            LineFault::TooLong { len } => f.write_str(&say!(
                "the line has {len} bytes; at most {most} are allowed",
                len = len,
                most = MAX_LINE
            )),
            LineFault::Unterminated => f.write_str(say!("the line does not end with a line feed")),
            LineFault::Frame => {
                f.write_str(&say!("the line is not of the form {}", "{\"e\":EVENT,\"h\":\"HASH\"}"))
            }
            LineFault::Hash { stored, computed } => {
                // A changed digit further on must not make two hashes look alike.
                let (stored, computed) = (stored.to_string(), computed.to_string());
                let shown = if stored.get(..12) == computed.get(..12) { stored.len() } else { 12 };
                f.write_str(&say!(
                    "the content does not match its hash (stored {stored}, computed {computed})",
                    stored = format_args!("{:.shown$}", stored),
                    computed = format_args!("{:.shown$}", computed)
                ))
            }
            LineFault::Json(e) => f.write_str(&say!("the event is not JSON: {e}", e = e)),
            LineFault::Canonical(e) => f.write_str(&say!("the event has no canonical form: {e}", e = e)),
            LineFault::NotCanonical => f.write_str(say!("the event is not written in its canonical form")),
            LineFault::Member { name, why } => {
                f.write_str(&say!("the member \"{name}\" {why}", name = name, why = why))
            }
        }
    }
}

impl std::error::Error for LineFault {}

impl fmt::Display for EncodeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            EncodeError::Canonical(e) => f.write_str(&say!("this cannot be recorded: {e}", e = e)),
            EncodeError::Unreadable(LineFault::TooLong { len }) => f.write_str(&say!(
                "this cannot be recorded: it needs {len} bytes, a line holds {most}; shorten the text",
                len = len,
                most = MAX_LINE
            )),
            EncodeError::Unreadable(e) => f.write_str(&say!("this cannot be recorded: {e}", e = e)),
        }
    }
}

impl std::error::Error for EncodeError {}

#[cfg(test)]
#[path = "entry_tests.rs"]
mod tests;
