//! The hangar's records: airframe, people, instruments.

use std::sync::Arc;

use spanwise::airframe::{read_airframe, read_instruments, read_people};
use spanwise::diagnostic::{Diagnostic, Source};

use super::{Target, tell, text};
use crate::keep::file;
use crate::support::{AIRFRAME, INSTRUMENTS, PEOPLE};

pub fn targets() -> Vec<Target> {
    vec![
        record(
            "record-airframe",
            &["demo/hangar/airframes/XX-VA7.toml", "tests/screens/airframe.toml"],
            AIRFRAME,
            |s| read_airframe(s).map(drop),
        ),
        record("record-people", &["demo/hangar/people.toml"], PEOPLE, |s| read_people(s).map(drop)),
        record("record-instruments", &["demo/hangar/instruments.toml"], INSTRUMENTS, |s| {
            read_instruments(s).map(drop)
        }),
    ]
}

type Read = fn(&Arc<Source>) -> Result<(), Vec<Diagnostic>>;

fn record(name: &'static str, paths: &'static [&'static str], own: &'static str, read: Read) -> Target {
    let run = move |input: &[u8]| match read(&Source::new("record.toml", text(input))) {
        Ok(()) => true,
        Err(faults) => {
            tell(&faults);
            false
        }
    };
    let seeds = move || paths.iter().map(|path| file(path)).chain([own.as_bytes().to_vec()]).collect();
    Target::new(name, 300, run).seeds(seeds).tokens_from_seeds()
}
