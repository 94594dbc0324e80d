//! What was inspected independently or looked at last, and taken apart afterwards, keeps the release back.

mod support;

use spanwise::event::{ControlCheck, Outcome, StepResult::Passed};
use spanwise::session::Request;
use support::{AIRFRAME_WITHOUT_REPORTS, Bench, MODULE};

const CLOSING: &str = r#"
[[step]]
id = "tail.connect"
section = "tail"
title = "Tailplane connected"
instruction = "Connect it."
basis = ["43D(c)(5)"]
independent = true
configuration = { tailplane = "on", panels = "out" }
[[step]]
id = "tail.walk"
section = "tail"
title = "Walk round"
instruction = "Walk round it."
basis = ["43D(a)"]
configuration = { tailplane = "on", panels = "in" }
last = true
"#;

fn inspect_tail(bench: &mut Bench) {
    bench.done(
        "bo",
        Request::InspectIndependently {
            step: "tail.connect".into(),
            connections: "elevator".into(),
            checked: ControlCheck::ALL.to_vec(),
            satisfactory: true,
        },
    );
}

fn closed() -> Bench {
    let noise = "[[report]]\nid = \"r2\"\nkind = \"radio-fault\"\ndate = 2026-06-01\ntext = \"crackles\"\n";
    let airframe = format!("{AIRFRAME_WITHOUT_REPORTS}{noise}")
        .replace("launches = 900", "launches = 900\nequipment = [\"oxygen\"]");
    let mut bench = Bench::with(&format!("{MODULE}{CLOSING}"), &airframe);
    bench.complete();
    bench.confirm("tailplane=on, panels=out");
    bench.answer("tail.connect", Passed);
    inspect_tail(&mut bench);
    bench.confirm("panels=in");
    bench.answer("tail.walk", Passed);
    bench
}

#[test]
fn a_panel_closed_over_an_inspected_connection_takes_nothing_apart() {
    assert_eq!(closed().refused(), Vec::<u8>::new());
}

#[test]
fn a_tailplane_taken_off_again_needs_both_looks_again() {
    let mut bench = closed();
    bench.confirm("tailplane=off");
    assert_eq!(bench.refused(), [6, 8]);
    let verdict = bench.verdict_for(Some("ada"));
    let told: Vec<&str> = verdict.refusals().iter().map(|refusal| refusal.why.as_str()).collect();
    assert!(told.iter().all(|why| why.contains("tailplane off was confirmed")), "{told:?}");
    assert!(verdict.prove(Outcome::Release).is_err());
    bench.confirm("tailplane=on");
    assert_eq!(bench.refused(), [6, 8], "that it is on again was seen by nobody");
    inspect_tail(&mut bench);
    assert_eq!(bench.refused(), [6]);
    bench.correct("tail.walk", Passed, "walked round again");
    assert_eq!(bench.refused(), Vec::<u8>::new());
}

#[test]
fn an_inspection_while_it_was_apart_does_not_count() {
    let mut bench = closed();
    bench.confirm("tailplane=off");
    inspect_tail(&mut bench);
    bench.confirm("tailplane=on");
    bench.correct("tail.walk", Passed, "walked round again");
    assert_eq!(bench.refused(), [8]);
    let verdict = bench.verdict_for(Some("ada"));
    assert!(
        verdict.refusals()[0].why.contains("while tailplane off was confirmed"),
        "{:?}",
        verdict.refusals()
    );
}

#[test]
fn a_confirmation_taken_back_took_nothing_apart() {
    let mut bench = closed();
    let entry = bench.state.entries;
    bench.confirm("tailplane=off");
    bench.done("ada", Request::Withdraw { entry, why: "another glider".into() });
    assert_eq!(bench.refused(), Vec::<u8>::new());
}
