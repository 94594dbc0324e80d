//! One durable entry: the record's writer against a plain file that gets the same bytes and an fdatasync, and
//! against two such files, since the writer flushes the journal and the register of acknowledgements.

use std::fs::{File, OpenOptions};
use std::io::Write;
use std::path::Path;
use std::sync::Arc;

use serde_json::json;
use spanwise::store::{Clock, RealClock, RealDisk, Writer, create, new_session_id};

use super::ratio::{in_turns, timed};
use super::table::Table;

const TURNS: usize = 300;

pub fn measure(table: &mut Table) {
    // Not the system's temporary folder, which may lie in memory.
    let place = tempfile::tempdir_in(env!("CARGO_TARGET_TMPDIR")).expect("a folder on the disk");
    let clock = RealClock::new();
    let mut writer = session(place.path(), &clock);
    let line = one_line(&mut writer, &clock);
    let what = format!("durable append of an answer, {} bytes", line.len());
    let mut plain = open(place.path(), "plain");
    let mut append = || record(&mut writer, &clock);
    let pair = in_turns(TURNS, &mut append, || flushed(&mut [&mut plain], &line));
    table.row(&what, "the same bytes into one file, fdatasync", "ms", &pair);
    let (mut first, mut second) = (open(place.path(), "first"), open(place.path(), "second"));
    let pair = in_turns(TURNS, append, || flushed(&mut [&mut first, &mut second], &line));
    table.row("the same", "the same bytes into two files, fdatasync each: journal and register", "ms", &pair);
}

fn session(place: &Path, clock: &RealClock) -> Writer {
    let sid = new_session_id().expect("an id");
    let first = clock.draft("opened", json!({ "for": "a benchmark" }));
    create(Arc::new(RealDisk), place, &sid, b"{}", first).expect("a session")
}

fn answer() -> serde_json::Value {
    json!({
        "by": { "id": "a-person", "name": "A Person" },
        "corrects": null, "reason": null, "reinspects": null,
        "result": "passed", "step": "fuselage.tail-boom-skin",
    })
}

fn record(writer: &mut Writer, clock: &RealClock) -> f64 {
    timed(|| {
        writer.append(clock.draft("answered", answer())).expect("saved");
    })
}

/// A line as it stands in the journal.
fn one_line(writer: &mut Writer, clock: &RealClock) -> Vec<u8> {
    record(writer, clock);
    let journal = std::fs::read(writer.dir().join("journal.jsonl")).expect("read");
    let last = journal.split_inclusive(|byte| *byte == b'\n').next_back();
    last.expect("a line").to_vec()
}

fn open(place: &Path, name: &str) -> File {
    OpenOptions::new().create(true).append(true).open(place.join(name)).expect("opened")
}

fn flushed(files: &mut [&mut File], line: &[u8]) -> f64 {
    timed(|| {
        for file in files {
            file.write_all(line).expect("written");
            file.sync_data().expect("flushed");
        }
    })
}
