//! The body of a journal entry as an event: a line with the kind, then JSON.

use serde_json::Value;
use spanwise::event::Event;

use super::Target;
use super::replay::whole_session;

pub fn target() -> Target {
    Target::new("event", 3_000, run).seeds(seeds).tokens_from_seeds()
}

/// One line `kind`, tab, body.
pub fn read(line: &[u8]) -> Option<Event> {
    let tab = line.iter().position(|byte| *byte == b'\t')?;
    let kind = std::str::from_utf8(&line[..tab]).ok()?;
    let body: Value = serde_json::from_slice(&line[tab + 1..]).ok()?;
    match Event::from_parts(kind, &body) {
        Ok(event) => Some(event),
        Err(why) => {
            assert!(!why.to_string().is_empty());
            None
        }
    }
}

pub fn written(event: &Event) -> Vec<u8> {
    let (kind, body) = event.to_parts().unwrap_or_else(|why| panic!("{why}"));
    format!("{kind}\t{body}\n").into_bytes()
}

fn run(input: &[u8]) -> bool {
    let Some(event) = read(input) else { return false };
    let again = read(&written(&event));
    assert_eq!(again.as_ref(), Some(&event), "an event reads back as written");
    let _ = (event.actor(), event.step(), event.inner());
    true
}

fn seeds() -> Vec<Vec<u8>> {
    whole_session().iter().map(written).collect()
}
