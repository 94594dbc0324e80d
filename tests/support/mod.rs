//! A small invented library and a session in memory, for tests of the core. No file, no clock.
#![allow(dead_code, reason = "each test binary uses its own part")]

use std::collections::BTreeMap;
use std::sync::Arc;

use chrono::NaiveDate;
use spanwise::airframe::{
    Airframe, Instruments, People, Person, PersonKey, read_airframe, read_instruments, read_people,
};
use spanwise::checklist::{Configuration, Library};
use spanwise::completion::{Context, EvidenceFile, Verdict, verdict};
use spanwise::diagnostic::{Diagnostic, Source};
use spanwise::event::{Actor, Event, Opened, ReadingValue, StepResult};
use spanwise::plan::{ComposeInput, Plan, compose};
use spanwise::quantity::Quantity;
use spanwise::seal::{SecretKey, seal_inspection};
use spanwise::session::{Declined, Facts, Request, decide};
use spanwise::state::{Stamped, State};

pub const PROGRAMME: &str = r#"
format = 1
kind = "programme"
id = "small"
version = "1.0.0"
title = "A small programme"
issued = 2026-01-01
[[section]]
id = "body"
title = "Body"
[[step]]
id = "prep.clean"
section = "body"
title = "Clean"
instruction = "Clean it."
basis = ["43D(a)"]
[[step]]
id = "fin.look"
section = "body"
title = "Look at the fin"
instruction = "Look at it."
basis = ["43D(g)"]
after = ["prep.clean"]
configuration = { tailplane = "off" }
on_failure = { severity = "grounding" }
evidence = [{ id = "photo", kind = "photo", what = "the fin root" }]
[[step]]
id = "wing.play"
section = "body"
title = "Pin play"
instruction = "Measure it."
basis = ["43D(f)"]
on_failure = { severity = "minor", may_defer = true }
[[step.measure]]
id = "play"
title = "Play"
kind = "number"
unit = "mm"
max = "0.50"
limit_source = "invented"
instrument = true
[[step]]
id = "rudder.connect"
section = "body"
title = "Connect the rudder"
instruction = "Connect it."
basis = ["43D(c)(5)"]
independent = true
[[step]]
id = "oxygen.bottle"
section = "body"
title = "Oxygen bottle"
instruction = "Look at it."
basis = ["MIP-S-C7"]
may_be_not_applicable = true
"#;

pub const SUPPLEMENT: &str = r#"
format = 1
kind = "supplement"
id = "ostrel-supplement"
version = "1.0.0"
title = "Ostrel"
issued = 2026-01-01
[requires]
small = "^1.0"
[type]
id = "ostrel"
name = "Ostrel (invented)"
datum = "wing leading edge at the root, positive aft"
fin_side_load_ceiling = "150 N"
"#;

pub const MODULE: &str = r#"
format = 1
kind = "module"
id = "tail"
version = "1.0.0"
title = "Tail"
issued = 2026-01-01
[requires]
small = "^1.0"
[selected_by]
reports = ["odd-yaw"]
[[section]]
id = "tail"
title = "Tail"
[[step]]
id = "tail.flex"
section = "tail"
title = "Flex"
instruction = "Flex it."
caution = "The type's manual governs."
basis = ["common practice"]
loads = true
after = ["prep.clean"]
[[step.measure]]
id = "bulge"
title = "Bulge"
kind = "choice"
choices = ["none", "felt"]
accept = ["none"]
"#;

pub const AIRFRAME: &str = r#"
registration = "ZZ-01"
type = "ostrel"
serial = "7"
hours = "1200.5"
launches = 900
equipment = ["oxygen"]
[[report]]
id = "r1"
kind = "odd-yaw"
date = 2026-05-01
text = "the tail feels loose"
[[report]]
id = "r2"
kind = "radio-fault"
date = 2026-06-01
text = "the radio crackles"
[[directive]]
id = "ad1"
title = "Hook spring"
[[life_item]]
id = "harness"
title = "Harness"
due = 2030-01-01
"#;

/// [`AIRFRAME`] as [`Bench::with`] takes it: the report comes with the module.
pub const AIRFRAME_WITHOUT_REPORTS: &str = r#"
registration = "ZZ-01"
type = "ostrel"
serial = "7"
hours = "1200.5"
launches = 900
[[directive]]
id = "ad1"
title = "Hook spring"
[[life_item]]
id = "harness"
title = "Harness"
due = 2030-01-01
"#;

pub const PEOPLE: &str = r#"
[[person]]
id = "ada"
name = "Ada Finch"
role = "inspector"
authorisation = [{ kind = "annual-release", number = "A1", certificate = "invented", types = ["ostrel"], valid_until = 2027-12-31 }]
[[person]]
id = "bo"
name = "Bo Marsh"
role = "second-inspector"
authorisation = [
    { kind = "annual-release", number = "B1", certificate = "invented", types = ["other"], valid_until = 2027-12-31 },
    { kind = "independent-inspection", number = "B2", certificate = "invented", types = ["*"], valid_until = 2027-12-31 },
]
[[person]]
id = "di"
name = "Di Sorrel"
role = "second-inspector"
authorisation = [{ kind = "independent-inspection", number = "D1", certificate = "invented", types = ["ostrel"], valid_until = 2027-12-31 }]
[[person]]
id = "cy"
name = "Cy Holm"
role = "inspector"
authorisation = [{ kind = "annual-release", number = "C1", certificate = "invented", types = ["*"], valid_until = 2025-12-31 }]
"#;

/// The session of every bench.
pub const SID: &str = "00112233445566778899aabbccddeeff";

/// A key for each person, always the same one.
pub fn key_of(person: &str) -> SecretKey {
    let mut seed = [7; 32];
    for (byte, letter) in seed.iter_mut().zip(person.bytes()) {
        *byte = letter;
    }
    SecretKey::from_seed(&seed).unwrap_or_else(|error| panic!("{error}"))
}

/// The same people, each with a key that is valid for long.
pub fn with_keys(mut people: People) -> People {
    for person in &mut people.0 {
        person.keys.push(PersonKey {
            public: key_of(&person.id).public_line().to_string(),
            valid_from: day("2020-01-01"),
            valid_until: None,
            ended_because: None,
        });
    }
    people
}

pub const INSTRUMENTS: &str = r#"
[[instrument]]
id = "gauge"
title = "Dial gauge"
quantity = "length"
unit = "mm"
resolution = "0.01"
uncertainty = "0.02"
calibration_due = 2027-01-01
[[instrument]]
id = "old-gauge"
title = "Old gauge"
quantity = "length"
unit = "mm"
calibration_due = 2026-01-01
"#;

pub fn source(id: &str, version: &str, text: &str) -> Arc<Source> {
    Source::new(format!("{id}/{version}.toml"), text)
}

pub fn small_library() -> Library {
    Library::read(&[
        source("small", "1.0.0", PROGRAMME),
        source("ostrel-supplement", "1.0.0", SUPPLEMENT),
        source("tail", "1.0.0", MODULE),
    ])
}

pub fn compose_with(library: &Library, airframe: &str) -> Result<Plan, Vec<Diagnostic>> {
    let airframe_source = Source::new("airframes/ZZ-01.toml", airframe);
    let airframe: Airframe = read_airframe(&airframe_source)?;
    compose(&ComposeInput {
        library,
        airframe: &airframe,
        airframe_source: &airframe_source,
        programme: "small",
    })
}

pub fn small_plan() -> Plan {
    compose_with(&small_library(), AIRFRAME).unwrap_or_else(|faults| panic!("{}", texts(&faults)))
}

pub fn texts(faults: &[Diagnostic]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}

pub fn day(text: &str) -> NaiveDate {
    text.parse().unwrap_or_else(|_| panic!("{text} is no date"))
}

pub fn quantity(text: &str) -> Quantity {
    Quantity::parse(text).unwrap_or_else(|error| panic!("{error}"))
}

/// A session in memory.
#[derive(Debug)]
pub struct Bench {
    pub plan: Plan,
    pub state: State,
    pub entries: Vec<Stamped>,
    pub people: People,
    pub instruments: Instruments,
    pub today: NaiveDate,
    pub integrity: Vec<String>,
    pub evidence: BTreeMap<String, EvidenceFile>,
}

impl Bench {
    pub fn new() -> Bench {
        Bench::of(small_plan())
    }

    /// With another module and another airframe record; the module is in the plan whatever was reported.
    pub fn with(module: &str, airframe: &str) -> Bench {
        let report = "\n[[report]]\nid = \"r1\"\nkind = \"odd-yaw\"\ndate = 2026-05-01\ntext = \"loose\"\n";
        let library = Library::read(&[
            source("small", "1.0.0", PROGRAMME),
            source("ostrel-supplement", "1.0.0", SUPPLEMENT),
            source("tail", "1.0.0", module),
        ]);
        let plan = compose_with(&library, &format!("{airframe}{report}"));
        Bench::of(plan.unwrap_or_else(|faults| panic!("{}", texts(&faults))))
    }

    fn of(plan: Plan) -> Bench {
        let state = State::new(&plan);
        let read = |name: &str, text: &str| Source::new(name, text);
        let mut bench = Bench {
            plan,
            state,
            entries: Vec::new(),
            people: with_keys(
                read_people(&read("people.toml", PEOPLE))
                    .unwrap_or_else(|faults| panic!("{}", texts(&faults))),
            ),
            instruments: read_instruments(&read("instruments.toml", INSTRUMENTS))
                .unwrap_or_else(|faults| panic!("{}", texts(&faults))),
            today: day("2026-11-25"),
            integrity: Vec::new(),
            evidence: BTreeMap::new(),
        };
        let by = bench.actor("ada");
        bench.append(Event::Opened(Opened {
            format: 1,
            program: "test".into(),
            plan: "00".into(),
            registration: "ZZ-01".into(),
            type_id: "ostrel".into(),
            serial: "7".into(),
            by,
            device: "test".into(),
            continues: None,
        }));
        bench
    }

    pub fn person(&self, id: &str) -> &Person {
        self.people.find(id).unwrap_or_else(|| panic!("no person {id}"))
    }

    pub fn actor(&self, id: &str) -> Actor {
        Actor { id: id.to_string(), name: self.person(id).name.clone() }
    }

    pub fn append(&mut self, event: Event) -> u64 {
        let entry = self.state.entries;
        let stamped = Stamped {
            entry,
            wall: format!("{}T10:00:00+01:00", self.today),
            mono_ms: entry * 60_000,
            hash: format!("{entry:064x}"),
            event,
        };
        self.state.apply(&self.plan, &stamped).unwrap_or_else(|fault| panic!("{fault}"));
        self.entries.push(stamped);
        entry
    }

    /// Another term for what a person holds.
    pub fn renew(&mut self, id: &str, until: NaiveDate) {
        let person = self.people.0.iter_mut().find(|person| person.id == id);
        for held in person.into_iter().flat_map(|person| &mut person.authorisations) {
            held.valid_until = until;
        }
    }

    /// What a person holds covers every type.
    pub fn allow(&mut self, id: &str) {
        let person = self.people.0.iter_mut().find(|person| person.id == id);
        for held in person.into_iter().flat_map(|person| &mut person.authorisations) {
            held.types = vec!["*".into()];
        }
    }

    pub fn ask(&mut self, by: &str, request: Request) -> Result<u64, Declined> {
        let facts = Facts { today: self.today, people: &self.people, instruments: &self.instruments };
        let mut event = decide(&self.plan, &self.state, &self.actor(by), request, &facts)?;
        if let Event::IndependentlyInspected(inspected) = &mut event {
            seal_inspection(SID, inspected, &key_of(by)).unwrap_or_else(|error| panic!("{error}"));
        }
        Ok(self.append(event))
    }

    pub fn done(&mut self, by: &str, request: Request) -> u64 {
        self.ask(by, request).unwrap_or_else(|declined| panic!("{declined}"))
    }

    pub fn answer(&mut self, step: &str, result: StepResult) -> u64 {
        self.done("ada", answer(step, result, None))
    }

    pub fn correct(&mut self, step: &str, result: StepResult, why: &str) -> u64 {
        self.done("ada", answer(step, result, Some(why)))
    }

    pub fn confirm(&mut self, configuration: &str) {
        let configuration = Configuration::parse(configuration).unwrap_or_else(|why| panic!("{why}"));
        self.done("ada", Request::Confirm(configuration));
    }

    pub fn read(&mut self, step: &str, measure: &str, value: ReadingValue, instrument: Option<&str>) -> u64 {
        self.done(
            "ada",
            Request::Read {
                step: step.into(),
                measure: measure.into(),
                value,
                instrument: instrument.map(Into::into),
                corrects: None,
                why: None,
            },
        )
    }

    pub fn photo(&mut self, step: &str, demand: &str) {
        let sha256 = format!("{:064x}", self.entries.len());
        self.evidence.insert(sha256.clone(), EvidenceFile::Present);
        self.done(
            "ada",
            Request::AddEvidence {
                step: Some(step.into()),
                demand: Some(demand.into()),
                defect: None,
                sha256,
                bytes: 3,
                name: "photo.jpg".into(),
            },
        );
    }

    pub fn verdict_for(&self, signer: Option<&str>) -> Verdict {
        verdict(&Context {
            plan: &self.plan,
            state: &self.state,
            today: self.today,
            signer: signer.map(|id| self.person(id)),
            integrity: &self.integrity,
            evidence: &self.evidence,
        })
    }

    /// The numbers of all refusals standing for the authorised signer.
    pub fn refused(&self) -> Vec<u8> {
        let mut numbers: Vec<u8> =
            self.verdict_for(Some("ada")).refusals().iter().map(|found| found.number).collect();
        numbers.dedup();
        numbers
    }

    /// Does everything that a release needs.
    pub fn complete(&mut self) {
        self.answer("prep.clean", StepResult::Passed);
        self.confirm("tailplane=off");
        self.photo("fin.look", "photo");
        self.answer("fin.look", StepResult::Passed);
        self.read("wing.play", "play", ReadingValue::Number { quantity: quantity("0.20 mm") }, Some("gauge"));
        self.answer("wing.play", StepResult::Passed);
        self.answer("rudder.connect", StepResult::Passed);
        self.inspect("bo");
        self.done(
            "ada",
            Request::Answer {
                step: "oxygen.bottle".into(),
                result: StepResult::NotApplicable,
                reason: Some("not carried".into()),
                why: None,
            },
        );
        self.read("tail.flex", "bulge", ReadingValue::Choice { choice: "none".into() }, None);
        self.answer("tail.flex", StepResult::Passed);
        self.papers();
    }

    pub fn papers(&mut self) {
        use spanwise::event::{DirectiveAnswer, LifeAnswer};
        self.done(
            "ada",
            Request::SetReportAside { report: "r2".into(), reason: "loose plug, reseated".into() },
        );
        self.done(
            "ada",
            Request::AnswerDirective {
                directive: "ad1".into(),
                answer: DirectiveAnswer::Complied,
                note: "spring replaced".into(),
                next_due: None,
            },
        );
        self.done(
            "ada",
            Request::AnswerLifeItem {
                item: "harness".into(),
                answer: LifeAnswer::WithinLife,
                note: String::new(),
                next_due: None,
            },
        );
    }

    pub fn inspect(&mut self, by: &str) -> u64 {
        self.done(
            by,
            Request::InspectIndependently {
                step: "rudder.connect".into(),
                connections: "rudder cables at the pedals".into(),
                checked: spanwise::event::ControlCheck::ALL.to_vec(),
                satisfactory: true,
            },
        )
    }
}

pub fn answer(step: &str, result: StepResult, why: Option<&str>) -> Request {
    Request::Answer { step: step.into(), result, reason: None, why: why.map(Into::into) }
}
