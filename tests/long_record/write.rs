//! Writes a long invented session into a hangar, to see how the screens bear it:
//! `cargo run --example long_record -- HANGAR REGISTRATION PERSON ENTRIES`.
#![allow(clippy::disallowed_methods, reason = "an example reads its arguments and writes a session")]

#[path = "mod.rs"]
mod long_record;

use std::path::Path;
use std::sync::Arc;

use long_record::Long;
use spanwise::hangar::{Hangar, begin, preview};
use spanwise::store::{Clock, RealClock, RealDisk, open_writer};

fn main() -> Result<(), Box<dyn std::error::Error>> {
    let arguments: Vec<String> = std::env::args().skip(1).collect();
    let [folder, registration, person, count] = &arguments[..] else {
        return Err("needs: HANGAR REGISTRATION PERSON ENTRIES".into());
    };
    let hangar = Hangar::load(Path::new(folder));
    let by = hangar.actor(person).map_err(|error| error.to_string())?;
    let plan = preview(&hangar, registration).map_err(|error| error.to_string())?;
    let begun = begin(&hangar, registration, &by).map_err(|error| error.to_string())?;
    let clock = RealClock::new();
    let dir = hangar.sessions_folder().join(&begun.sid);
    let (mut writer, _) = open_writer(Arc::new(RealDisk), &dir, &clock).map_err(|error| error.to_string())?;
    let long = Long { plan: &plan, people: vec![by], seed: 1, series_every: 400 };
    for event in long.events(1, count.parse()?) {
        let (kind, body) = event.to_parts().map_err(|error| error.to_string())?;
        writer.append(clock.draft(&kind, body)).map_err(|error| error.to_string())?;
    }
    println!("{}", begun.sid);
    Ok(())
}
