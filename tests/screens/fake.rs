//! A desk in memory: it decides and applies with the program's own core, and keeps nothing on a disk.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use spanwise::airframe::{Instruments, People, Person, read_airframe};
use spanwise::checklist::{Library, Severity};
use spanwise::completion::{Context, EvidenceFile, Verdict, verdict};
use spanwise::diagnostic::Source;
use spanwise::event::{Actor, DefectRaised, Event, FromPaper, FromRecord, Opened};
use spanwise::order::{Task, hangar_order};
use spanwise::paper::{Passage, Typed, code_at};
use spanwise::plan::{ComposeInput, Plan, compose};
use spanwise::screen::desk::{AirframeRow, Desk, Earlier, HangarView, SessionRow, SessionView, Told, Wish};
use spanwise::seal::seal_inspection;
use spanwise::session::{Facts, Request, decide};
use spanwise::signoff::sign_off;
use spanwise::state::{Stamped, State};

use crate::registers::{day, instruments, key_of, people};

pub struct FakeDesk {
    hangar: HangarView,
    people: People,
    instruments: Instruments,
    person: Option<Person>,
    plan: Plan,
    state: State,
    entries: Vec<Stamped>,
    verdict: Verdict,
    is_open: bool,
    pub read_only: Option<String>,
    pub notices: Vec<String>,
    /// What the annual before says of each step.
    pub earlier: Option<Earlier>,
    /// The next write fails as a full disk does.
    pub disk_is_full: bool,
    pub wishes: Vec<Wish>,
    /// Tables typed and not recorded, as the session's folder would keep them.
    pub unsaved: Option<String>,
    /// How the plan would change, as it was looked for last.
    pub offered: Vec<String>,
    /// How the screens looked last.
    pub look: Option<String>,
}

/// `keys` and `tables` are added to the airframe's record.
pub fn plan(keys: &str, tables: &str) -> Plan {
    let sources = [
        ("composite-sailplane/1.0.0.toml", include_str!("programme.toml")),
        ("type-larkspur-15/1.0.0.toml", include_str!("supplement.toml")),
        ("tail-noise/1.0.0.toml", include_str!("module.toml")),
    ]
    .map(|(name, text)| Source::new(name, text));
    let library = Library::read(&sources);
    assert_eq!(library.faults, []);
    let source = Source::new("airframe.toml", format!("{keys}\n{}\n{tables}", include_str!("airframe.toml")));
    let airframe = read_airframe(&source).expect("the airframe is sound");
    let input = ComposeInput {
        library: &library,
        airframe: &airframe,
        airframe_source: &source,
        programme: "composite-sailplane",
    };
    compose(&input).expect("the plan is sound")
}

impl FakeDesk {
    /// A demo hangar with one airframe, a session running on it and one that is damaged.
    pub fn new() -> FakeDesk {
        FakeDesk::with_record("", "")
    }

    /// The same, with more in the airframe's record.
    pub fn with_record(keys: &str, tables: &str) -> FakeDesk {
        let plan = plan(keys, tables);
        let state = State::new(&plan);
        let evidence = BTreeMap::new();
        let context = Context {
            plan: &plan,
            state: &state,
            today: day("2026-11-25"),
            signer: None,
            integrity: &[],
            evidence: &evidence,
        };
        let first = verdict(&context);
        let (people, instruments) = (people(), instruments());
        let mut desk = FakeDesk {
            hangar: hangar(&people, &instruments),
            people,
            instruments,
            person: None,
            plan,
            state,
            entries: Vec::new(),
            verdict: first,
            is_open: false,
            read_only: None,
            notices: Vec::new(),
            earlier: None,
            disk_is_full: false,
            wishes: Vec::new(),
            unsaved: None,
            offered: Vec::new(),
            look: None,
        };
        let by = Actor { id: "ines".into(), name: "Ines Marlow".into() };
        desk.append(Event::Opened(Opened {
            format: 1,
            program: "spanwise test".into(),
            plan: "0".repeat(64),
            registration: "X-LARK".into(),
            type_id: "larkspur-15".into(),
            serial: "007".into(),
            by,
            device: "laptop".into(),
            continues: None,
        }));
        desk
    }

    /// With every open defect of the record raised, as a session that begins with them has it.
    pub fn with_defects_of_the_record(mut self) -> FakeDesk {
        for known in self.plan.airframe.defects.clone() {
            let by = Actor { id: "ines".into(), name: "Ines Marlow".into() };
            let defect = self.state.next_defect_id();
            self.append(Event::DefectRaised(DefectRaised {
                by,
                defect,
                step: known.step.filter(|step| self.plan.step(step).is_some()),
                what: known.what,
                component: known.component,
                side: known.side,
                station_mm: known.station_mm,
                severity: Severity::Minor,
                from_record: Some(FromRecord {
                    id: known.id,
                    standing: known.standing.word().into(),
                    found: known.found,
                    until: known.until,
                    session: known.session,
                    session_defect: known.session_defect,
                }),
            }));
        }
        self
    }

    /// With the session open and the inspector working.
    pub fn at_work() -> FakeDesk {
        FakeDesk::new().opened()
    }

    /// The type's file without its outline.
    pub fn without_outline(mut self) -> FakeDesk {
        if let Some(data) = &mut self.plan.of_type {
            data.outline = None;
        }
        self
    }

    pub fn opened(mut self) -> FakeDesk {
        self.act_as("ines");
        self.is_open = true;
        self.judge();
        self
    }

    /// The hangar's first airframe and its session are on the ground.
    pub fn ground(&mut self, why: &str) {
        self.hangar.airframes[0].grounding = vec![why.to_string()];
        self.hangar.sessions[0].grounding = vec![why.to_string()];
    }

    pub fn act_as(&mut self, id: &str) {
        self.person = self.people.find(id).cloned();
        self.judge();
    }

    pub fn state(&self) -> &State {
        &self.state
    }

    /// Records directly, past the screens; the test fails where the core declines.
    pub fn record(&mut self, request: Request) {
        let told = self.carry_out(Wish::Record(request));
        assert!(matches!(told, Told::Saved { .. }), "{told:?}");
    }

    fn append(&mut self, event: Event) -> u64 {
        let entry = self.state.entries;
        let stamped = Stamped {
            entry,
            wall: format!("2026-11-25T09:{:02}:00+01:00", entry % 60),
            mono_ms: entry * 60_000,
            hash: format!("{:064x}", entry + 1),
            event,
        };
        self.state.apply(&self.plan, &stamped).expect("the core applies what it decided");
        self.entries.push(stamped);
        self.judge();
        entry
    }

    fn judge(&mut self) {
        let found = |told: &spanwise::state::Told<spanwise::event::EvidenceAdded>| {
            (told.what.sha256.clone(), EvidenceFile::Present)
        };
        let evidence = self.state.evidence.iter().map(found).collect();
        self.verdict = verdict(&Context {
            plan: &self.plan,
            state: &self.state,
            today: self.today(),
            signer: self.person.as_ref(),
            integrity: &[],
            evidence: &evidence,
        });
    }

    fn request(&mut self, request: Request) -> Told {
        let Some(person) = &self.person else {
            return Told::Declined { why: "nobody works".into(), next: "choose who works".into() };
        };
        let by = Actor { id: person.id.clone(), name: person.name.clone() };
        let facts = Facts { today: self.today(), people: &self.people, instruments: &self.instruments };
        match decide(&self.plan, &self.state, &by, request, &facts) {
            Ok(mut event) => {
                if let Event::IndependentlyInspected(inspected) = &mut event {
                    seal_inspection("fake", inspected, &key_of(&by.id)).expect("signed");
                }
                Told::Saved { entry: self.append(event), note: None }
            }
            Err(declined) => Told::Declined { why: declined.why, next: declined.next },
        }
    }

    fn enter_paper(&mut self, passage: &Passage, rows: &[Typed]) -> Told {
        let checked = self.check_paper(passage, rows).expect("a session and a person");
        assert!(checked.is_sound(), "the screen asks only for what it has checked: {checked:?}");
        let mut last = 0;
        for done in checked.rows.iter().filter_map(|row| row.outcome.as_ref().ok()) {
            for (request, paper) in &done.requests {
                let person = self.person.clone().expect("somebody works");
                let by = Actor { id: person.id.clone(), name: person.name };
                let facts =
                    Facts { today: self.today(), people: &self.people, instruments: &self.instruments };
                let event =
                    decide(&self.plan, &self.state, &by, request.clone(), &facts).expect("it was checked");
                let event = FromPaper { paper: paper.clone(), event: Box::new(event) };
                last = self.append(Event::FromPaper(event));
            }
        }
        Told::Saved { entry: last, note: Some(format!("from paper: {} entries", checked.entries())) }
    }

    /// Code of the sheet that would be printed now.
    pub fn printed(&self) -> String {
        let task = Task::of_session(&self.plan, &self.state);
        let order = hangar_order(&self.plan, &task).expect("an order");
        code_at(&self.state.head, &self.plan, &order).to_string()
    }

    fn sign(&mut self, outcome: spanwise::event::Outcome) -> Told {
        let Some(person) = self.person.clone() else {
            return Told::Declined { why: "nobody works".into(), next: "choose who works".into() };
        };
        match self.verdict.prove(outcome) {
            Err(refusals) => {
                Told::Declined { why: refusals[0].why.clone(), next: refusals[0].clears.clone() }
            }
            Ok(proof) => {
                let hash = "0".repeat(64);
                let event = sign_off(proof, &self.plan, &hash, &self.state, &person, self.today());
                let event = Event::SignedOff(event.expect("the proof is fresh"));
                Told::Saved { entry: self.append(event), note: None }
            }
        }
    }
}

fn hangar(people: &People, instruments: &Instruments) -> HangarView {
    let row = |sid: &str, standing: &str, progress, can_open| SessionRow {
        sid: sid.into(),
        registration: "X-LARK".into(),
        begun: "2026-11-25 09:00".into(),
        by: "Ines Marlow".into(),
        standing: standing.into(),
        progress,
        open_mandatory: 5,
        grounding: Vec::new(),
        can_open,
    };
    HangarView {
        folder: "the demo hangar's folder".into(),
        airframes: vec![
            AirframeRow {
                registration: "X-LARK".into(),
                type_name: "Larkspur 15".into(),
                serial: "007".into(),
                hours: "1204.5".into(),
                last_annual: Some(day("2025-11-20")),
                reports: 2,
                grounding: Vec::new(),
                fault: None,
            },
            AirframeRow {
                registration: "X-WREN".into(),
                type_name: "Wren 2".into(),
                serial: "?".into(),
                hours: "?".into(),
                last_annual: None,
                reports: 0,
                grounding: Vec::new(),
                fault: Some("airframes/x-wren.toml:3:9: \"hours\" is no number".into()),
            },
        ],
        sessions: vec![
            row("s1", "running", Some((0, 6)), true),
            row("s2", "damaged: entry 12 does not verify", None, false),
        ],
        people: people.0.clone(),
        instruments: instruments.0.clone(),
        faults: vec!["checklists/own/1.0.0.toml:4:1: unknown key \"titel\"".into()],
        is_demo: true,
    }
}

impl Desk for FakeDesk {
    fn hangar(&self) -> &HangarView {
        &self.hangar
    }

    fn keep_unsaved(&mut self, text: &str) -> Result<(), String> {
        self.unsaved = Some(text.to_string()).filter(|text| !text.is_empty());
        Ok(())
    }

    fn keep_look(&mut self, text: &str) -> Result<(), String> {
        self.look = Some(text.to_string());
        Ok(())
    }

    fn offered(&self) -> &[String] {
        &self.offered
    }

    fn unsaved(&self) -> Option<String> {
        self.unsaved.clone()
    }

    fn preview(&self, _registration: &str) -> Result<Plan, String> {
        Ok(self.plan.clone())
    }

    fn session(&self) -> Option<SessionView<'_>> {
        self.is_open.then(|| SessionView {
            sid: "s1",
            plan: &self.plan,
            state: &self.state,
            entries: &self.entries,
            verdict: &self.verdict,
            read_only: self.read_only.as_deref(),
            notices: &self.notices,
            earlier: self.earlier.as_ref(),
        })
    }

    fn person(&self) -> Option<&Person> {
        self.person.as_ref()
    }

    fn today(&self) -> NaiveDate {
        day("2026-11-25")
    }

    fn carry_out(&mut self, wish: Wish) -> Told {
        self.wishes.push(wish.clone());
        let records = matches!(
            wish,
            Wish::Record(_) | Wish::Sign { .. } | Wish::Inspect { .. } | Wish::EnterPaper { .. }
        );
        if self.disk_is_full && records {
            return Told::Full { why: "no space left".into(), next: "make room".into(), ballast: true };
        }
        match wish {
            Wish::ActAs(id) => {
                self.act_as(&id);
                Told::Done { note: None }
            }
            Wish::Begin { .. } | Wish::OpenSession { .. } => {
                self.is_open = true;
                Told::Done { note: None }
            }
            Wish::LeaveSession => {
                self.is_open = false;
                Told::Done { note: None }
            }
            Wish::Record(request) => self.request(request),
            Wish::EnterPaper { passage, rows } => self.enter_paper(&passage, &rows),
            Wish::AddEvidenceFile { step, demand, defect, path } => {
                if !path.ends_with(".jpg") && !path.ends_with(".txt") {
                    let why = format!("{path} cannot be read");
                    return Told::Declined { why, next: "correct the path".into() };
                }
                let name = path.rsplit('/').next().unwrap_or(&path).to_string();
                let sha256 = format!("{:064x}", path.len());
                self.request(Request::AddEvidence { step, demand, defect, sha256, bytes: 2048, name })
            }
            Wish::Sign { outcome, .. } => self.sign(outcome),
            Wish::Inspect { request, .. } => self.request(request),
            // What would change is invented: a desk in memory has no library to compose from.
            Wish::NewReport(report) => {
                self.offered =
                    vec![format!("report r9 came in: {}", report.kind), "new      tail.look".into()];
                Told::Done { note: Some("entered as r9".into()) }
            }
            Wish::LookForOffer if self.offered.is_empty() => Told::Declined {
                why: "the plan would be the same as now".into(),
                next: "there is nothing to take up".into(),
            },
            Wish::LookForOffer => Told::Done { note: None },
            Wish::TakeUp { .. } => {
                self.offered.clear();
                Told::Done { note: Some("taken up".into()) }
            }
            Wish::BringForward => Told::Done { note: Some("already there".into()) },
            Wish::Continue { .. } => Told::Done { note: Some("continued".into()) },
            Wish::Countersign { .. } => Told::Done { note: Some("countersigned".into()) },
            Wish::MakeRoom => Told::Done { note: Some("given back".into()) },
            Wish::WriteFile { path, .. } if path.contains("taken") => {
                let why = format!("{path}: something of that name is there");
                Told::Declined { why, next: "give another name".into() }
            }
            Wish::WriteFile { .. } => Told::Done { note: None },
            // Tested on a real folder, in files.rs.
            Wish::CreateAirframe { .. } | Wish::EditFile { .. } | Wish::MakeKey { .. } => {
                Told::Declined { why: "there are no files here".into(), next: "nothing".into() }
            }
            Wish::Rescue { folder } => Told::Done { note: Some(format!("copied to {folder}")) },
        }
    }
}
