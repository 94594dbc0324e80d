//! A hangar on a real folder with one invented airframe, and the dull rest of an annual on it.

use std::path::Path;
use std::sync::Arc;

use chrono::DateTime;
use spanwise::airframe::{Airframe, read_airframe};
use spanwise::checklist::Severity;
use spanwise::event::{DirectiveAnswer, Disposition, LifeAnswer, Outcome, ReadingValue, StepResult};
use spanwise::hangar::{Hangar, HangarError, Work, begin};
use spanwise::session::{NewDefect, Request, parse_series, parse_value};
use spanwise::store::FakeClock;
use spanwise::store::unpack::write_file;

use crate::support::{self, answer, key_of, with_keys};

pub const REGISTRATION: &str = "QQ-C1";
const SERIES: &str = "left,up,40 N,3.0 mm\nleft,up,80 N,6.0 mm\nleft,up,120 N,9.1 mm\nleft,down,80 N,6.1 mm\nleft,down,40 N,3.1 mm\n\
right,up,40 N,3.1 mm\nright,up,80 N,6.1 mm\nright,up,120 N,9.0 mm\nright,down,80 N,6.0 mm\nright,down,40 N,3.0 mm\n";

const BALANCE: &str = "\n[[instrument]]\nid = \"balance\"\ntitle = \"Balance\"\nquantity = \"force\"\nunit = \"N\"\n\
resolution = \"0.5\"\nuncertainty = \"1\"\ncalibration_due = 2027-01-01\n";

pub struct Place {
    pub root: tempfile::TempDir,
    pub hangar: Hangar,
    clock: Arc<FakeClock>,
}

pub fn ok<T, E: std::fmt::Display>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|error| panic!("{error}"))
}

impl Place {
    pub fn new() -> Place {
        Place::with_record(include_str!("airframe.toml"))
    }

    pub fn with_record(record: &str) -> Place {
        let root = ok(tempfile::tempdir());
        for (name, text) in [
            ("checklists/composite-sailplane/9.0.0.toml", include_str!("programme.toml")),
            ("checklists/type-carry-1/1.0.0.toml", include_str!("supplement.toml")),
            ("checklists/doubted-instrument/1.0.0.toml", include_str!("module.toml")),
            ("airframes/QQ-C1.toml", record),
            ("people.toml", support::PEOPLE),
            ("instruments.toml", &format!("{}{BALANCE}", support::INSTRUMENTS)),
        ] {
            ok(write_file(&root.path().join(name), text.as_bytes()));
        }
        let start = ok(DateTime::parse_from_rfc3339("2026-11-25T09:00:00+01:00"));
        let clock = Arc::new(FakeClock::fixed(start));
        let hangar = loaded(root.path(), &clock);
        Place { root, hangar, clock }
    }

    /// Another day, the folder read again as by another run.
    pub fn on(&mut self, day: &str) {
        self.clock.set_wall(ok(DateTime::parse_from_rfc3339(&format!("{day}T09:00:00+01:00"))));
        self.reload();
    }

    pub fn reload(&mut self) {
        self.hangar = loaded(self.root.path(), &self.clock);
    }

    pub fn record_text(&self) -> String {
        ok(std::fs::read_to_string(self.root.path().join("airframes/QQ-C1.toml")))
    }

    pub fn write_record(&mut self, text: &str) {
        ok(write_file(&self.root.path().join("airframes/QQ-C1.toml"), text.as_bytes()));
        self.reload();
    }

    pub fn record(&self) -> Airframe {
        let source = spanwise::diagnostic::Source::new("QQ-C1.toml", self.record_text());
        read_airframe(&source).unwrap_or_else(|faults| panic!("{}", support::texts(&faults)))
    }

    pub fn begin(&self) -> Work {
        let by = ok(self.hangar.actor("ada"));
        let begun = ok(begin(&self.hangar, REGISTRATION, &by));
        ok(Work::open(&self.hangar, &begun.sid))
    }

    pub fn ask(&self, work: &mut Work, request: Request) -> Result<u64, HangarError> {
        let by = self.hangar.actor("ada")?;
        work.record(&self.hangar, &by, request).map(|recorded| recorded.entry)
    }

    pub fn done(&self, work: &mut Work, request: Request) -> u64 {
        ok(self.ask(work, request))
    }

    pub fn read(&self, work: &mut Work, step: &str, measure: &str, value: &str, instrument: Option<&str>) {
        let found = work.view.plan.step(step).and_then(|planned| planned.step.measure(measure));
        let value = ok(parse_value(found.unwrap_or_else(|| panic!("{step} {measure}")), value));
        self.take(work, step, measure, value, instrument);
    }

    fn take(
        &self,
        work: &mut Work,
        step: &str,
        measure: &str,
        value: ReadingValue,
        instrument: Option<&str>,
    ) {
        let request = Request::Read {
            step: step.into(),
            measure: measure.into(),
            value,
            instrument: instrument.map(Into::into),
            corrects: None,
            why: None,
        };
        self.done(work, request);
    }

    pub fn flex(&self, work: &mut Work) {
        let demand =
            work.view.plan.step("fin.flex").and_then(|planned| match &planned.step.measures[0].kind {
                spanwise::checklist::MeasureKind::LoadDeflection(demand) => Some(demand.clone()),
                _ => None,
            });
        let points = ok(parse_series(&demand.expect("a series"), SERIES));
        self.take(work, "fin.flex", "top", ReadingValue::Series { points }, Some("gauge + balance"));
    }

    pub fn pass(&self, work: &mut Work, step: &str) {
        self.done(work, answer(step, StepResult::Passed, None));
    }

    pub fn fail(&self, work: &mut Work, step: &str) {
        self.done(work, answer(step, StepResult::Failed, None));
    }

    /// What the failed step "fin.look" leads to; the airframe stays on the ground for it.
    pub fn raise_crack(&self, work: &mut Work) {
        let crack = NewDefect {
            step: Some("fin.look".into()),
            what: "crack at the fin root".into(),
            component: Some("fin".into()),
            side: None,
            station_mm: None,
            severity: Severity::Grounding,
        };
        self.done(work, Request::RaiseDefect(crack));
    }

    pub fn dispose(&self, work: &mut Work, defect: &str, disposition: Disposition, until: Option<&str>) {
        let until = until.map(support::day);
        let note = "as decided (invented)".to_string();
        self.done(work, Request::DisposeDefect { defect: defect.into(), disposition, note, until });
    }

    pub fn rectify(&self, work: &mut Work, defect: &str, how: &str) {
        self.dispose(work, defect, Disposition::Rectify, None);
        let request =
            Request::RectifyDefect { defect: defect.into(), work: how.into(), disturbed_controls: false };
        self.done(work, request);
    }

    /// Everything but the play at the wing root and the look at the fin root.
    pub fn routine(&self, work: &mut Work, hours: &str, launches: &str) {
        self.read(work, "records.times", "hours", hours, None);
        self.read(work, "records.times", "launches", launches, None);
        self.pass(work, "records.times");
        self.flex(work);
        self.pass(work, "fin.flex");
        self.read(work, "rudder.travel", "travel", "30.5 / 29.5 °", None);
        self.pass(work, "rudder.travel");
        self.read(
            work,
            "measurement.weighing",
            "weighing",
            include_str!("../../demo/compute/weighing.toml"),
            None,
        );
        self.pass(work, "measurement.weighing");
        if work.view.plan.step("doubted-instrument.compare").is_some() {
            self.pass(work, "doubted-instrument.compare");
        }
        self.papers(work);
    }

    fn papers(&self, work: &mut Work) {
        let aside: Vec<String> = work
            .view
            .plan
            .reports
            .iter()
            .filter(|report| report.modules.is_empty())
            .map(|report| report.id.clone())
            .collect();
        for report in aside {
            self.done(work, Request::SetReportAside { report, reason: "loose plug, reseated".into() });
        }
        let next = self.hangar.today() + chrono::Days::new(365);
        let complied = |directive: &str, next_due| Request::AnswerDirective {
            directive: directive.into(),
            answer: DirectiveAnswer::Complied,
            note: "by its text (invented)".into(),
            next_due,
        };
        self.done(work, complied("ad1", Some(next)));
        self.done(work, complied("ad2", None));
        for (item, replaced) in [("harness", true), ("release", false)] {
            let request = Request::AnswerLifeItem {
                item: item.into(),
                answer: if replaced { LifeAnswer::Replaced } else { LifeAnswer::WithinLife },
                note: if replaced { "new webbing, serial H-77 (invented)".into() } else { String::new() },
                next_due: replaced.then(|| self.hangar.today() + chrono::Days::new(4000)),
            };
            self.done(work, request);
        }
    }

    pub fn sign(&self, work: &mut Work, outcome: Outcome) {
        let person = ok(self.hangar.person("ada")).clone();
        let signed = ok(work.sign(&self.hangar, &person, outcome, &key_of("ada")));
        signed.unwrap_or_else(|refusals| panic!("{refusals:#?}"));
    }
}

fn loaded(root: &Path, clock: &Arc<FakeClock>) -> Hangar {
    let mut hangar = Hangar::load(root);
    hangar.clock = clock.clone();
    hangar.people = with_keys(hangar.people.clone());
    for person in &mut hangar.people.0 {
        for held in &mut person.authorisations {
            held.valid_until = support::day("2099-12-31");
        }
    }
    for instrument in &mut hangar.instruments.0 {
        instrument.calibration_due = Some(support::day("2099-12-31"));
    }
    hangar
}
