//! Checking 1,000 files of 100 steps against only parsing them with the `toml` crate into its tables with places:
//! reading, judging by every rule and each file's references into the built-in library.

use std::hint::black_box;
use std::sync::Arc;

use chrono::NaiveDate;
use spanwise::bench::{Bench, Reading, check};
use spanwise::checklist::builtin_sources;
use spanwise::diagnostic::Source;
use toml::de::DeTable;

use super::ratio::{in_turns, timed};
use super::table::Table;

const FILES: usize = 1_000;
const STEPS: usize = 100;
const TURNS: usize = 5;

pub fn measure(table: &mut Table) {
    let files: Vec<Arc<Source>> = (0..FILES).map(file).collect();
    let library: Vec<Reading> = builtin_sources().iter().map(Reading::of).collect();
    let today = NaiveDate::from_ymd_opt(2026, 12, 1).unwrap_or_default();
    let bytes: usize = files.iter().map(|file| file.text.len()).sum();
    let all = || {
        let files: Vec<Reading> = files.iter().map(Reading::of).collect();
        check(&Bench { files: &files, library: &library, today })
    };
    let report = all();
    assert!(report.found.is_empty() && report.checklists == FILES, "{:?}", report.found.first());
    let what = format!("check of {FILES} checklists of {STEPS} steps, {:.1} MB", bytes as f64 / 1e6);
    let parse = || {
        timed(|| {
            for file in &files {
                drop(black_box(DeTable::parse(&file.text)));
            }
        })
    };
    let checked = || timed(|| drop(black_box(all())));
    let peer_is = "only parsed by toml::de::DeTable::parse";
    table.row(&what, peer_is, "ms", &in_turns(TURNS, checked, parse));
    let read = || timed(|| files.iter().for_each(|file| drop(black_box(Reading::of(file)))));
    table.row("reading them alone", peer_is, "ms", &in_turns(TURNS, read, parse));
}

fn file(number: usize) -> Arc<Source> {
    let id = format!("module-{number}");
    let mut text = format!(
        "format = 1\nkind = \"module\"\nid = \"{id}\"\nversion = \"1.0.0\"\ntitle = \"Invented module {number}\"\n\
         issued = 2026-03-01\nauthor = \"Technical office (invented)\"\nabout = \"\"\"\nInvented, for measuring.\n\"\"\"\n\n\
         [requires]\ncomposite-sailplane = \"^1.0\"\n\n[selected_by]\nreports = [\"odd-yaw\"]\n\n\
         [[section]]\nid = \"{id}\"\ntitle = \"Invented\"\n"
    );
    for step in 0..STEPS {
        let after =
            if step == 0 { "preparation.clean".to_string() } else { format!("{id}.step-{}", step - 1) };
        text.push_str(&format!(
            "\n[[step]]\nid = \"{id}.step-{step}\"\nsection = \"{id}\"\ntitle = \"Skin and joint at place {step}\"\n\
             instruction = \"\"\"\nHow: hold the torch at 5 to 45 degrees to the skin and go along the joint from both sides; press \
             with a thumb every 50 mm and listen.\nGood: even gloss, no movement, no click.\nBad: a line along the joint, a soft \
             place, a click under the thumb.\nRecord: station and height of every mark in mm from the datum.\n\"\"\"\n\
             caution = \"A light hand; the type's manual governs.\"\nbasis = [\"43D(b)(1)\", \"MIP-S-A2\"]\n\
             configuration = {{ wings = \"rigged\", tailplane = \"off\" }}\nafter = [\"{after}\"]\nminutes = 10\n\
             kit = [\"torch\", \"mirror\", \"steel rule\"]\n\
             on_failure = {{ severity = \"major\", hint = \"Go on with the tap map.\", may_defer = false }}\n\n\
             [[step.measure]]\nid = \"gap\"\ntitle = \"Gap at the joint\"\nkind = \"number\"\nunit = \"mm\"\nmax = \"0.3\"\n\
             limit_source = \"common practice, no source\"\n"
        ));
    }
    Source::new(format!("{id}/1.0.0.toml"), text)
}
