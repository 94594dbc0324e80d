//! Whatever the order of events: no proof while a mandatory step is open, and replay gives the same state.

mod support;

use proptest::prelude::*;
use spanwise::checklist::{Configuration, Severity};
use spanwise::event::{Disposition, Outcome, ReadingValue, StepResult};
use spanwise::plan::Plans;
use spanwise::session::{NewDefect, Request};
use spanwise::state::replay;
use support::{Bench, answer, day, quantity};

const STEPS: [&str; 6] =
    ["prep.clean", "fin.look", "wing.play", "rudder.connect", "oxygen.bottle", "tail.flex"];

fn result() -> impl Strategy<Value = StepResult> {
    prop_oneof![
        6 => Just(StepResult::Passed),
        2 => Just(StepResult::Failed),
        1 => Just(StepResult::NotApplicable),
    ]
}

fn request() -> impl Strategy<Value = (bool, Request)> {
    let step = prop::sample::select(STEPS.to_vec());
    let request = prop_oneof![
        8 => (step.clone(), result(), any::<bool>())
            .prop_map(|(step, result, correct)| match result {
                StepResult::NotApplicable => Request::Answer {
                    step: step.into(), result, reason: Some("none".into()), why: correct.then(|| "why".into()),
                },
                _ => answer(step, result, correct.then_some("why")),
            }),
        2 => prop::sample::select(vec!["tailplane=off", "tailplane=on"])
            .prop_map(|text| Request::Confirm(Configuration::parse(text).unwrap_or_default())),
        2 => (prop::sample::select(vec!["0.20 mm", "0.50 mm", "0.51 mm", "0.03 in"]), any::<bool>()).prop_map(|(text, named)| Request::Read {
            step: "wing.play".into(), measure: "play".into(), value: ReadingValue::Number { quantity: quantity(text) },
            instrument: named.then(|| "gauge".into()), corrects: None, why: Some("again".into()),
        }),
        2 => prop::sample::select(vec!["none", "felt"]).prop_map(|choice| Request::Read {
            step: "tail.flex".into(), measure: "bulge".into(), value: ReadingValue::Choice { choice: choice.into() },
            instrument: None, corrects: None, why: Some("again".into()),
        }),
        1 => (0u64..60).prop_map(|entry| Request::Withdraw { entry, why: "why".into() }),
        2 => step.prop_map(|step| Request::RaiseDefect(NewDefect {
            step: Some(step.into()), what: "crack".into(), component: None, side: None, station_mm: None, severity: Severity::Minor,
        })),
        2 => (1u8..4, prop::sample::select(vec![Disposition::Rectify, Disposition::Refer, Disposition::Defer, Disposition::NotAirworthy]))
            .prop_map(|(id, disposition)| Request::DisposeDefect {
                defect: format!("d{id}"), disposition, note: String::new(), until: Some(day("2027-01-01")),
            }),
        2 => (1u8..4).prop_map(|id| Request::RectifyDefect { defect: format!("d{id}"), work: "work".into(), disturbed_controls: false }),
        1 => Just(Request::Pause { note: None }),
        2 => Just(Request::Resume),
        1 => Just(Request::SetReportAside { report: "r2".into(), reason: "plug".into() }),
        1 => Just(Request::InspectIndependently {
            step: "rudder.connect".into(), connections: "cables".into(),
            checked: spanwise::event::ControlCheck::ALL.to_vec(), satisfactory: true,
        }),
    ];
    (any::<bool>(), request)
}

fn run(requests: &[(bool, Request)], completing: bool) -> Bench {
    let mut bench = Bench::new();
    if completing {
        bench.complete();
    }
    for (first_person, request) in requests {
        // A declined request records nothing; both cases are part of the game.
        let _ = bench.ask(if *first_person { "ada" } else { "bo" }, request.clone());
    }
    bench
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 1_000, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn no_proof_while_a_mandatory_step_is_open(requests in prop::collection::vec(request(), 0..60), completing: bool) {
        let bench = run(&requests, completing);
        let verdict = bench.verdict_for(Some("ada"));
        // Counted here from the events alone, not by the code under test.
        let open = STEPS.iter().any(|step| bench.state.step(step).is_none_or(|step| {
            !step.answers.iter().any(|answer| answer.struck.is_none() && answer.round == step.round)
        }));
        if open {
            prop_assert!(verdict.prove(Outcome::Release).is_err());
            prop_assert!(verdict.prove(Outcome::NotAirworthy).is_err());
        }
    }

    #[test]
    fn no_release_while_a_defect_is_open_or_a_step_failed(requests in prop::collection::vec(request(), 0..60)) {
        let bench = run(&requests, true);
        let failed = STEPS.iter().any(|step| bench.state.standing(step) == spanwise::state::StepStanding::Failed);
        let settled = bench.state.standing_defects().any(|defect| defect.is_open() && defect.standing() != spanwise::state::Standing::Deferred);
        if settled || (failed && bench.state.standing_defects().next().is_none()) {
            prop_assert!(bench.verdict_for(Some("ada")).prove(Outcome::Release).is_err());
        }
    }

    #[test]
    fn replaying_the_entries_gives_the_same_state(requests in prop::collection::vec(request(), 0..60)) {
        let bench = run(&requests, false);
        let again = replay(&Plans::new(bench.plan.clone()), &bench.entries);
        prop_assert_eq!(again.as_ref(), Ok(&bench.state));
    }

    #[test]
    fn an_event_survives_its_journal_form(requests in prop::collection::vec(request(), 0..30)) {
        for stamped in &run(&requests, false).entries {
            let (kind, body) = stamped.event.to_parts().map_err(|error| TestCaseError::fail(error.to_string()))?;
            let read = spanwise::event::Event::from_parts(&kind, &body).map_err(|error| TestCaseError::fail(error.to_string()))?;
            prop_assert_eq!(&read, &stamped.event);
        }
    }
}
