//! A session in memory in which a test says how much time passes. The scenario is invented.

use chrono::{DateTime, Duration, FixedOffset};
use spanwise::audit::findings::{Context, Finding, Record, find_all, kind};
use spanwise::event::{Actor, Event, ReadingValue, StepResult};
use spanwise::session::{Facts, Request, decide};
use spanwise::state::Stamped;

use crate::support::{AIRFRAME_WITHOUT_REPORTS, Bench, quantity};

pub const LOOKS: usize = 14;
pub const LONGS: usize = 12;
pub const MEASURED: usize = 16;

/// Looks of 5 minutes, long ones of 20, and steps that measure 10 to 20 mm.
fn module() -> String {
    let mut text = String::from(
        "format = 1\nkind = \"module\"\nid = \"tail\"\nversion = \"1.0.0\"\ntitle = \"Tail\"\nissued = 2026-01-01\n\
         [requires]\nsmall = \"^1.0\"\n[selected_by]\nreports = [\"odd-yaw\"]\n\
         [[section]]\nid = \"tail\"\ntitle = \"Tail\"\n",
    );
    let step = |id: &str, minutes: u32, more: &str| {
        format!(
            "[[step]]\nid = \"tail.{id}\"\nsection = \"tail\"\ntitle = \"{id}\"\ninstruction = \"Look.\"\n\
             basis = [\"common practice\"]\nminutes = {minutes}\nmay_be_not_applicable = true\n{more}\n"
        )
    };
    let film = "evidence = [{ id = \"film\", kind = \"film\", what = \"the rib\" }]";
    for look in 0..LOOKS {
        text.push_str(&step(&format!("s{look:02}"), 5, if look == 0 { film } else { "" }));
    }
    for long in 0..LONGS {
        text.push_str(&step(&format!("long{long:02}"), 20, "people = 2"));
    }
    for measured in 0..MEASURED {
        let measure = "[[step.measure]]\nid = \"v\"\ntitle = \"V\"\nkind = \"number\"\nunit = \"mm\"\nmin = \"10.00\"\n\
                       max = \"20.00\"\nlimit_source = \"invented\"\ninstrument = true\n";
        text.push_str(&step(&format!("m{measured:02}"), 5, measure));
    }
    text
}

pub struct Day {
    pub bench: Bench,
    pub wall: DateTime<FixedOffset>,
}

impl Day {
    /// Opened by ada at 10:00.
    pub fn new() -> Day {
        let bench = Bench::with(&module(), AIRFRAME_WITHOUT_REPORTS);
        let wall = bench.entries[0].wall.parse().expect("a time");
        Day { bench, wall }
    }

    /// The same at another day, opened then.
    pub fn on(date: &str) -> Day {
        let mut day = Day::new();
        let wall = format!("{date}T10:00:00+01:00");
        day.wall = wall.parse().expect("a time");
        day.bench.entries[0].wall = wall;
        day
    }

    pub fn pass(&mut self, seconds: i64) -> &mut Day {
        self.wall += Duration::seconds(seconds);
        self
    }

    pub fn push(&mut self, event: Event) -> u64 {
        let bench = &mut self.bench;
        let entry = bench.state.entries;
        let stamped =
            Stamped { entry, wall: self.wall.to_rfc3339(), mono_ms: 0, hash: format!("{entry:064x}"), event };
        bench.state.apply(&bench.plan, &stamped).unwrap_or_else(|fault| panic!("{fault}"));
        bench.entries.push(stamped);
        entry
    }

    pub fn ask(&mut self, by: &str, request: Request) -> u64 {
        let bench = &self.bench;
        let facts =
            Facts { today: self.wall.date_naive(), people: &bench.people, instruments: &bench.instruments };
        let event = decide(&bench.plan, &bench.state, &bench.actor(by), request, &facts)
            .unwrap_or_else(|declined| panic!("{declined}"));
        self.push(event)
    }

    pub fn actor(&self, id: &str) -> Actor {
        self.bench.actor(id)
    }

    pub fn answer(&mut self, step: &str, result: StepResult) -> u64 {
        let reason = (result == StepResult::NotApplicable).then(|| "taken out".to_string());
        self.ask("ada", Request::Answer { step: step.into(), result, reason, why: None })
    }

    pub fn pass_step(&mut self, step: &str) -> u64 {
        self.answer(step, StepResult::Passed)
    }

    pub fn correct(&mut self, step: &str, result: StepResult) -> u64 {
        let why = Some("wrong key".to_string());
        self.ask("ada", Request::Answer { step: step.into(), result, reason: None, why })
    }

    pub fn read_with(&mut self, step: &str, value: &str, instrument: &str, corrects: Option<u64>) -> u64 {
        let measure = if step == "wing.play" { "play" } else { "v" };
        self.ask(
            "ada",
            Request::Read {
                step: step.into(),
                measure: measure.into(),
                value: ReadingValue::Number { quantity: quantity(value) },
                instrument: Some(instrument.into()),
                corrects,
                why: corrects.map(|_| "misread".to_string()),
            },
        )
    }

    pub fn read(&mut self, step: &str, value: &str) -> u64 {
        self.read_with(step, value, "gauge", None)
    }

    pub fn note(&mut self, step: &str) -> u64 {
        self.ask("ada", Request::Note { step: Some(step.into()), text: "nothing moves".into() })
    }

    pub fn evidence(&mut self, step: &str, demand: &str, content: u64) -> u64 {
        self.ask(
            "ada",
            Request::AddEvidence {
                step: Some(step.into()),
                demand: Some(demand.into()),
                defect: None,
                sha256: format!("{content:064x}"),
                bytes: 3,
                name: "picture.jpg".into(),
            },
        )
    }

    pub fn confirm(&mut self, configuration: &str) {
        let configuration = spanwise::checklist::Configuration::parse(configuration).expect("sound");
        self.ask("ada", Request::Confirm(configuration));
    }

    pub fn record(&self) -> Record<'_> {
        Record::of_plan(&self.bench.plan, &self.bench.entries, &self.bench.state)
    }

    /// Findings of one kind, without an annual before.
    pub fn found(&self, name: &str) -> Vec<Finding> {
        let context = Context { session: self.record(), earlier: None };
        kind(name).expect("a kind").find(&context)
    }

    pub fn found_after(&self, earlier: &Day, name: &str) -> Vec<Finding> {
        let context = Context { session: self.record(), earlier: Some(earlier.record()) };
        kind(name).expect("a kind").find(&context)
    }

    pub fn all_after(&self, earlier: &Day) -> Vec<Finding> {
        find_all(&Context { session: self.record(), earlier: Some(earlier.record()) })
    }
}
