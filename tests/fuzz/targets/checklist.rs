//! Checklist TOML of all three kinds.

use chrono::NaiveDate;
use spanwise::bench::{Bench, Reading, check};
use spanwise::checklist::{Library, read_checklist};
use spanwise::diagnostic::Source;

use super::{Target, tell, text};
use crate::keep::file;
use crate::support::{MODULE, PROGRAMME, SUPPLEMENT};

pub fn target() -> Target {
    Target::new("checklist", 300, run).seeds(seeds).tokens_from_seeds()
}

fn run(input: &[u8]) -> bool {
    let source = Source::new("a/1.0.0.toml", text(input));
    let judged = check(&Bench { files: &[Reading::of(&source)], library: &[], today: NaiveDate::default() });
    tell(&judged.found);
    match read_checklist(&source) {
        Err(faults) => {
            tell(&faults);
            false
        }
        Ok(read) => {
            let name = format!("{}/{}.toml", read.id.value, read.version.value);
            let library = Library::read(&[Source::new(name, text(input))]);
            tell(&library.faults);
            library.all().count() == 1
        }
    }
}

fn seeds() -> Vec<Vec<u8>> {
    let mut seeds: Vec<Vec<u8>> =
        [PROGRAMME, MODULE, SUPPLEMENT, include_str!("../measures.toml")].map(|text| text.into()).to_vec();
    for path in [
        "checklists/varn-15-supplement/1.0.0.toml",
        "checklists/airbrake-asymmetry/1.0.0.toml",
        "checklists/bird-strike/1.0.0.toml",
        "tests/screens/programme.toml",
        "tests/binary/small/programme.toml",
    ] {
        seeds.push(file(path));
    }
    seeds
}
