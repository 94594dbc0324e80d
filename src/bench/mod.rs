//! The checklist author's bench: everything that can be said about files before anybody works with them.
//!
//! The readers find what one file shows by itself; the rules here judge meaning, and each file together with the library
//! that it will be used with. One file per rule, whose examples are its tests ([`rules`]). Pure: texts and the day come in,
//! messages go out.

mod basis;
mod example;
mod noise;
mod reading;
mod rule;
pub mod rules;
mod subject;
mod text;
mod world;

use chrono::NaiveDate;

use crate::diagnostic::{Diagnostic, in_file_order};

pub use basis::{RULE_IDS, RuleId};
pub use example::{ExampleFile, files_of};
pub use reading::{FileKind, Reading};
pub use rule::{FoundBy, Rule};
pub use world::World;

use subject::Subject;

/// What is checked, and with what.
pub struct Bench<'a> {
    /// The files that are judged, as read.
    pub files: &'a [Reading],
    /// What they are used with: the built-in library and a hangar's own. Nothing of it is judged.
    pub library: &'a [Reading],
    pub today: NaiveDate,
}

/// What a check found.
#[derive(Debug, Default)]
pub struct Report {
    /// In file order.
    pub found: Vec<Diagnostic>,
    pub checklists: usize,
    pub records: usize,
}

impl Report {
    pub fn errors(&self) -> usize {
        self.found.iter().filter(|fault| fault.is_error()).count()
    }
}

/// Judges all files and reports everything found in one pass.
pub fn check(bench: &Bench<'_>) -> Report {
    let world = World::of(bench.files, bench.library, bench.today);
    let mut report = Report::default();
    for reading in bench.files {
        match reading.kind {
            FileKind::Checklist => report.checklists += 1,
            _ => report.records += 1,
        }
        report.found.extend(judge(reading, &world));
    }
    in_file_order(&mut report.found);
    report
}

fn judge<'a>(reading: &'a Reading, world: &'a World<'a>) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    if let Some(checklist) = &reading.checklist {
        let subject = Subject::new(reading, checklist, world);
        for rule in rules::ALL {
            if let FoundBy::Bench(find) = rule.found_by {
                find(&subject, &mut found);
            }
        }
    }
    if reading.airframe.is_some() {
        for rule in rules::ALL {
            if let FoundBy::Record(find) = rule.found_by {
                find(reading, world, &mut found);
            }
        }
    }
    noise::without_follow_on(&reading.faults, found)
}
