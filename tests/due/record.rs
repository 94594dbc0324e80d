//! Small invented records, and what is asked of them.

use chrono::NaiveDate;
use spanwise::airframe::{Airframe, read_airframe};
use spanwise::diagnostic::Source;
use spanwise::due::{DueLine, Horizon, Kind, due_list};
use spanwise::measure::life::Part;

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap_or_else(|_| panic!("{text} is no date"))
}

/// A record of 1000 h and 500 launches with these entries.
pub fn record(entries: &str) -> Airframe {
    record_with("", entries)
}

/// With further keys of the head.
pub fn record_with(head: &str, entries: &str) -> Airframe {
    let text = format!(
        "registration = \"ZZ-01\"\ntype = \"ostrel\"\nserial = \"0107\"\nhours = \"1000.0\"\nlaunches = 500\n{head}\n{entries}"
    );
    read_airframe(&Source::new("airframes/ZZ-01.toml", &text)).unwrap_or_else(|faults| panic!("{faults:?}"))
}

pub fn horizon(airframe: &Airframe, on: &str) -> Horizon {
    Horizon::of_record(airframe, day(on)).unwrap_or_else(|error| panic!("{error}"))
}

/// The only line of that kind.
pub fn line(airframe: &Airframe, on: &str, kind: Kind) -> Option<DueLine> {
    let mut found = due_list(airframe, &horizon(airframe, on)).into_iter().filter(|line| line.kind == kind);
    let line = found.next();
    assert!(found.next().is_none(), "more than one line of {kind:?}");
    line
}

/// The line that must be there.
pub fn the(airframe: &Airframe, on: &str, kind: Kind) -> DueLine {
    line(airframe, on, kind).unwrap_or_else(|| panic!("no line of {kind:?} on {on}"))
}

/// The day of its calendar part.
pub fn due_day(line: &DueLine) -> Option<NaiveDate> {
    line.parts.iter().find_map(|part| match part {
        Part::Calendar { due, .. } => Some(*due),
        Part::Counted { .. } => None,
    })
}

/// Readings of counters at which it falls due, as "hours 1200".
pub fn counted(line: &DueLine) -> Vec<String> {
    let words = |part: &Part| match part {
        Part::Counted { counter, due_at, .. } => Some(format!("{counter} {}", due_at.normalize())),
        Part::Calendar { .. } => None,
    };
    line.parts.iter().filter_map(words).collect()
}
