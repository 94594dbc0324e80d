//! Who did it, and who accepted it. The rule that the signer answers for the whole: 14 CFR 43.7 and 65.95, ML.A.801(b)
//! (from memory); a person who did work of a step is no independent second: AMC M.A.402, older wording (from memory).

mod support;

use spanwise::checklist::Configuration;
use spanwise::event::{ControlCheck, Disposition, Event, StepResult};
use spanwise::session::Request;
use spanwise::state::{State, StepStanding};
use support::{Bench, answer, day, quantity};

fn initial(step: &str, work: &str) -> Request {
    Request::Initial { step: step.into(), work: work.into() }
}

fn told(bench: &mut Bench, by: &str, request: Request) -> String {
    bench.ask(by, request).err().map(|declined| declined.to_string()).unwrap_or_default()
}

/// "di" inspects a second time and "cy" has an authorisation that ended: neither accepts.
#[test]
fn only_the_certifier_accepts() {
    let mut bench = Bench::new();
    let step = bench.plan.steps[0].step.id.clone();
    for by in ["di", "cy", "bo"] {
        let words = told(&mut bench, by, answer(&step, StepResult::Passed, None));
        assert!(words.contains("no valid authorisation") && words.contains("initial"), "{by}: {words}");
        bench.done(by, initial(&step, "looked, nothing found"));
    }
    assert_eq!(bench.state.standing(&step), StepStanding::Open, "initials accept nothing");
    bench.answer(&step, StepResult::Passed);
    let state = bench.state.step(&step).unwrap();
    let hands: Vec<&str> = state.initials().map(|initials| initials.stamp.by.id.as_str()).collect();
    assert_eq!(hands, ["di", "cy", "bo"]);
    assert_eq!(state.answer().unwrap().answered.by.id, "ada");
}

#[test]
fn an_authorisation_counts_on_its_last_day() {
    let mut bench = Bench::new();
    let step = bench.plan.steps[0].step.id.clone();
    bench.renew("ada", bench.today);
    assert_eq!(told(&mut bench, "ada", answer(&step, StepResult::Passed, None)), "");
    bench.today = day("2026-11-26");
    let words = told(&mut bench, "ada", answer(&step, StepResult::Failed, Some("looked again")));
    assert!(words.contains("no valid authorisation"), "{words}");
}

#[test]
fn a_helper_decides_nothing() {
    let mut bench = Bench::new();
    let step = bench.plan.steps[0].step.id.clone();
    bench.answer(&step, StepResult::Failed);
    let raised = spanwise::session::NewDefect {
        step: Some(step),
        what: "crack".into(),
        component: None,
        side: None,
        station_mm: None,
        severity: spanwise::checklist::Severity::Minor,
    };
    bench.done("di", Request::RaiseDefect(raised));
    for request in [
        Request::DisposeDefect {
            defect: "d1".into(),
            disposition: Disposition::Rectify,
            note: "polish".into(),
            until: None,
        },
        Request::ReinspectDefect { defect: "d1".into(), satisfactory: true, note: "seen".into() },
        Request::SetReportAside { report: "r1".into(), reason: "nothing".into() },
    ] {
        let words = told(&mut bench, "di", request.clone());
        assert!(words.contains("no valid authorisation"), "{request:?}: {words}");
    }
}

#[test]
fn each_takes_back_their_own_and_the_certifier_anything() {
    let mut bench = Bench::new();
    let step = bench.plan.steps[0].step.id.clone();
    let mine = bench.done("di", initial(&step, "held the fin"));
    let back = |entry| Request::Withdraw { entry, why: "written to the wrong step".into() };
    assert!(told(&mut bench, "bo", back(mine)).contains("another person"));
    bench.done("di", back(mine));
    assert_eq!(bench.state.step(&step).unwrap().initials().count(), 0);
    let struck = &bench.state.step(&step).unwrap().initials[0];
    assert!(struck.struck.is_some(), "it stays in the record");
    let again = bench.done("di", initial(&step, "held the fin"));
    bench.done("ada", back(again));
    let answered = bench.answer(&step, StepResult::Passed);
    assert!(told(&mut bench, "di", back(answered)).contains("answer"));
    assert!(told(&mut bench, "di", initial(&step, "  ")).contains("nothing is said"));
    assert!(told(&mut bench, "di", initial("no.such", "x")).contains("no step"));
}

/// Whoever initialled work of the step cannot be its independent second.
#[test]
fn hands_that_did_the_work_are_no_second_look() {
    let mut bench = support_controls();
    let step = "rudder.connect";
    bench.done("di", initial(step, "connected the rudder cables"));
    bench.answer(step, StepResult::Passed);
    let inspect = || Request::InspectIndependently {
        step: step.into(),
        connections: "rudder cables".into(),
        checked: ControlCheck::ALL.to_vec(),
        satisfactory: true,
    };
    bench.done("di", inspect());
    assert!(bench.refused().contains(&8), "di did the work");
    bench.done("bo", inspect());
    assert!(!bench.refused().contains(&8), "bo did not");
}

fn support_controls() -> Bench {
    let bench = Bench::new();
    assert!(bench.plan.step("rudder.connect").is_some_and(|step| step.step.independent));
    bench
}

/// A confirmation made by mistake can be taken back: answers given since then say what was not confirmed, those before it
/// and those under a later confirmation stay as they are.
#[test]
fn a_wrong_confirmation_is_taken_back() {
    let mut bench = Bench::new();
    let step = bench
        .plan
        .steps
        .iter()
        .find(|step| !step.step.configuration.is_empty())
        .map(|step| (step.step.id.clone(), step.step.configuration.clone()))
        .unwrap();
    let confirmed = bench.done("ada", Request::Confirm(step.1.clone()));
    bench.answer(&step.0, StepResult::Passed);
    let unmet = |state: &State| state.step(&step.0).unwrap().answer().unwrap().unmet.clone();
    assert!(unmet(&bench.state).is_empty());
    bench.done("ada", Request::Withdraw { entry: confirmed, why: "it stood on its wheel".into() });
    assert_eq!(unmet(&bench.state), step.1);
    assert_eq!(bench.state.configuration, Configuration::default());
    assert!(bench.refused().contains(&5));
    bench.done("ada", Request::Confirm(step.1.clone()));
    assert!(bench.refused().contains(&5), "what is confirmed afterwards does not mend the answer");
    bench.correct(&step.0, StepResult::Passed, "worked again as it has to stand");
    assert!(!bench.refused().contains(&5));
    assert_eq!(replayed(&bench), bench.state, "a replay says the same");
}

fn replayed(bench: &Bench) -> State {
    let plans = spanwise::plan::Plans::new(bench.plan.clone());
    spanwise::state::replay(&plans, &bench.entries).unwrap_or_else(|fault| panic!("{fault}"))
}

#[test]
fn readings_of_another_person_are_corrected_by_the_certifier() {
    let mut bench = Bench::new();
    let (step, measure) = bench
        .plan
        .steps
        .iter()
        .find_map(|planned| {
            let measure = planned.step.measures.first()?;
            matches!(measure.kind, spanwise::checklist::MeasureKind::Number { .. })
                .then(|| (planned.step.id.clone(), measure.clone()))
        })
        .unwrap();
    let spanwise::checklist::MeasureKind::Number { unit, .. } = &measure.kind else { panic!("a number") };
    let value = |number: &str| spanwise::event::ReadingValue::Number {
        quantity: quantity(&format!("{number} {}", unit.symbol())),
    };
    let read = |number: &str, corrects| Request::Read {
        step: step.clone(),
        measure: measure.id.clone(),
        value: value(number),
        instrument: Some("gauge".into()),
        corrects,
        why: corrects.map(|_| "misread".to_string()),
    };
    let first = bench.done("di", read("2.0", None));
    assert!(told(&mut bench, "bo", read("2.1", Some(first))).contains("another person"));
    let second = bench.done("di", read("2.1", Some(first)));
    bench.done("ada", read("2.2", Some(second)));
    let hands: Vec<String> = bench
        .entries
        .iter()
        .filter_map(|stamped| match &stamped.event {
            Event::ReadingTaken(taken) => Some(taken.by.id.clone()),
            _ => None,
        })
        .collect();
    assert_eq!(hands, ["di", "di", "ada"]);
}
