//! Whatever a journal may hold: entries folded one after the other, and the verdict over them.

use spanwise::completion::{Context, verdict};
use spanwise::event::{Event, ReadingValue, StepResult};
use spanwise::session::{parse_value, value_words};
use spanwise::state::{Stamped, State};

use super::{Target, event};
use crate::support::{AIRFRAME_WITHOUT_REPORTS, Bench, day};

/// A module with every kind of measurement.
const MEASURES: &str = include_str!("../measures.toml");
const FLEX: &str = include_str!("../../../demo/flex/sound-fin.csv");
const WEIGHING: &str = include_str!("../../../demo/compute/weighing.toml");

/// The bench whose plan holds every kind of measurement.
pub fn bench() -> Bench {
    Bench::with(MEASURES, AIRFRAME_WITHOUT_REPORTS)
}

/// A session that uses them all.
pub fn whole_session() -> Vec<Event> {
    let mut bench = bench();
    bench.confirm("tailplane=off");
    for (step, result) in [
        ("prep.clean", StepResult::Passed),
        ("rudder.connect", StepResult::Passed),
        ("wing.play", StepResult::Failed),
    ] {
        bench.answer(step, result);
    }
    bench.photo("fin.look", "photo");
    for (id, typed) in [
        ("deviation", "0.20 mm"),
        ("sides", "25 / 24 mm"),
        ("strokes", "3"),
        ("bulge", "felt"),
        ("remark", "as seen"),
        ("expiry", "2027-03-31"),
        ("flex", FLEX),
        ("mass", WEIGHING),
    ] {
        let step = bench.plan.step("tail.flex").cloned().unwrap_or_else(|| panic!("no step"));
        let measure = step.step.measure(id).unwrap_or_else(|| panic!("no measure {id}"));
        let value: ReadingValue = parse_value(measure, typed).unwrap_or_else(|why| panic!("{id}: {why}"));
        assert!(!value_words(&value).is_empty());
        let instrument = matches!(id, "deviation").then_some("gauge");
        bench.read("tail.flex", id, value, instrument);
    }
    bench.answer("tail.flex", StepResult::Passed);
    bench.correct("prep.clean", StepResult::Failed, "looked again");
    bench.inspect("bo");
    bench.entries.into_iter().map(|stamped| stamped.event).collect()
}

pub fn target() -> Target {
    let bench = bench();
    Target::new("replay", 300, move |input| run(&bench, input)).seeds(seeds).tokens_from_seeds()
}

fn run(bench: &Bench, input: &[u8]) -> bool {
    let mut state = State::new(&bench.plan);
    let mut refused = 0;
    for line in input.split_inclusive(|byte| *byte == b'\n').take(200) {
        let Some(event) = event::read(line) else { continue };
        let entry = state.entries;
        let wall = format!("2026-11-25T10:00:{:02}+01:00", entry % 60);
        let stamped = Stamped { entry, wall, mono_ms: entry * 1_000, hash: format!("{entry:064x}"), event };
        if let Err(why) = state.apply(&bench.plan, &stamped) {
            assert!(!why.to_string().is_empty());
            assert_eq!(state.entries, entry, "a refused entry leaves the state as it was");
            refused += 1;
        }
    }
    let made = verdict(&Context {
        plan: &bench.plan,
        state: &state,
        today: day("2026-11-25"),
        signer: Some(bench.person("ada")),
        integrity: &[],
        evidence: &bench.evidence,
    });
    let told = format!("{:?}", made.refusals());
    state.entries > 1 && refused == 0 && !told.is_empty()
}

fn seeds() -> Vec<Vec<u8>> {
    let whole = whole_session();
    let mut complete = Bench::new();
    complete.complete();
    let of = |events: &[Event]| events.iter().flat_map(event::written).collect();
    vec![of(&whole), of(&complete.entries.into_iter().map(|stamped| stamped.event).collect::<Vec<_>>())]
}
