//! Two annuals beside each other: in memory, and through the built program's own commands.
#![allow(clippy::disallowed_methods, reason = "a test looks at what lies on the disk")]

mod binary;
mod support;

use binary::{Answer, Place, SMALL};
use proptest::prelude::*;
use serde_json::Value;
use spanwise::audit::compare::{SessionDifference, Side, Toward, Turn, compare_sessions, last_time};
use spanwise::checklist::{MeasureKind, SeriesDemand};
use spanwise::event::{ReadingValue, SeriesPoint, StepResult};
use spanwise::quantity::Unit;
use spanwise::session::Request;
use support::{Bench, quantity};

const STEPS: [&str; 4] = ["prep.clean", "fin.look", "wing.play", "rudder.connect"];

fn side<'a>(bench: &'a Bench, sid: &'a str) -> Side<'a> {
    Side { plan: &bench.plan, state: &bench.state, sid, label: sid }
}

fn compare(then: &Bench, now: &Bench) -> SessionDifference {
    compare_sessions(side(then, "then"), side(now, "now"))
}

fn turn_of(difference: &SessionDifference, step: &str) -> Turn {
    difference.steps.iter().find(|known| known.id == step).expect("the step").turn
}

fn play(bench: &mut Bench, value: &str) {
    let value = ReadingValue::Number { quantity: quantity(value) };
    bench.read("wing.play", "play", value, Some("gauge"));
}

#[test]
fn an_annual_does_not_differ_from_itself() {
    let mut bench = Bench::new();
    play(&mut bench, "0.20 mm");
    bench.answer("prep.clean", StepResult::Passed);
    let difference = compare(&bench, &bench);
    assert!(difference.is_empty(), "{difference:?}");
    assert!(difference.same_airframe && difference.same_type);
}

#[test]
fn results_turn_for_the_worse_and_for_the_better() {
    let (mut then, mut now) = (Bench::new(), Bench::new());
    then.answer("prep.clean", StepResult::Passed);
    now.answer("prep.clean", StepResult::Failed);
    then.answer("wing.play", StepResult::Failed);
    now.answer("wing.play", StepResult::Passed);
    then.answer("rudder.connect", StepResult::Passed);
    let difference = compare(&then, &now);
    assert_eq!(turn_of(&difference, "prep.clean"), Turn::Worse);
    assert_eq!(turn_of(&difference, "wing.play"), Turn::Better);
    assert_eq!(turn_of(&difference, "rudder.connect"), Turn::NotYet);
    assert_eq!(turn_of(&difference, "fin.look"), Turn::Same);
    let first: Vec<&str> =
        difference.steps.iter().filter(|step| step.needs_a_look).map(|step| step.id.as_str()).collect();
    assert_eq!(first, ["prep.clean"]);
}

#[test]
fn failed_again_is_the_same_result_and_looked_at_first() {
    let (mut then, mut now) = (Bench::new(), Bench::new());
    then.answer("prep.clean", StepResult::Failed);
    now.answer("prep.clean", StepResult::Failed);
    let difference = compare(&then, &now);
    let step = difference.steps.iter().find(|step| step.id == "prep.clean").expect("the step");
    assert_eq!((step.turn, step.needs_a_look), (Turn::Same, true));
}

/// The limit of the invented step is 0.50 mm; 0.012 in is 0.3048 mm exactly (1 in = 25.4 mm).
#[test]
fn readings_are_set_beside_each_other_across_units() {
    let (mut then, mut now) = (Bench::new(), Bench::new());
    play(&mut then, "0.012 in");
    play(&mut now, "0.42 mm");
    let difference = compare(&then, &now);
    let step = difference.steps.iter().find(|step| step.id == "wing.play").expect("the step");
    let reading = &step.readings[0];
    assert_eq!((reading.then[0].as_str(), reading.now[0].as_str()), ("0.012 in", "0.42 mm"));
    let moved = &reading.moved[0];
    assert_eq!(moved.difference, "+0.1152 mm");
    assert_eq!(moved.relative_percent.as_deref(), Some("+37.8"));
    assert_eq!(moved.room.as_deref(), Some("0.08 mm left to 0.50 mm"));
    assert!(step.needs_a_look);
}

#[test]
fn what_was_beyond_its_limit_is_judged_worse() {
    let (mut then, mut now) = (Bench::new(), Bench::new());
    play(&mut then, "0.20 mm");
    play(&mut now, "0.60 mm");
    let difference = compare(&then, &now);
    let step = difference.steps.iter().find(|step| step.id == "wing.play").expect("the step");
    assert!(step.readings[0].verdict_worse && step.readings[0].moved[0].beyond);
}

#[test]
fn the_next_annual_is_told_what_this_one_said() {
    let mut bench = Bench::new();
    play(&mut bench, "0.20 mm");
    bench.answer("wing.play", StepResult::Passed);
    bench.done("ada", Request::Note { step: Some("wing.play".into()), text: "left pin is new".into() });
    let told = last_time(side(&bench, "then"));
    let lines = told.get("wing.play").expect("the step");
    assert!(lines[0].starts_with("passed by Ada Finch on "), "{lines:?}");
    assert!(lines[1].starts_with("Play: 0.20 mm, with gauge (within)"), "{lines:?}");
    assert_eq!(lines[2], "note: left pin is new");
    assert!(!told.contains_key("fin.look"), "a step that was left open says nothing");
}

/// A bench whose play step also wants a load-deflection series of at least 30 N/mm, read from an airframe of stiffness
/// `k` in N/mm: 20 to 140 N both ways, up and back down, the deflection to 0.01 mm.
fn flexed(k: f64) -> Bench {
    let mut bench = Bench::new();
    let step = bench.plan.steps.iter_mut().find(|planned| planned.step.id == "wing.play").expect("the step");
    let mut flex = step.step.measures[0].clone();
    flex.id = "flex".to_string();
    flex.title = "Flex".to_string();
    flex.instrument = false;
    flex.kind = MeasureKind::LoadDeflection(SeriesDemand {
        load_unit: Unit::Newton,
        deflection_unit: Unit::Millimetre,
        directions: vec!["left".to_string(), "right".to_string()],
        min_levels: 3,
        max_load: 147.into(),
        take_up: None,
        unloading: true,
        min_stiffness: Some(30.into()),
        max_side_difference_percent: None,
    });
    step.step.measures.push(flex);
    let mut points = Vec::new();
    for direction in ["left", "right"] {
        let loads = [20, 60, 100, 140];
        let back = loads.iter().rev().skip(1);
        for (at, load) in loads.iter().chain(back).enumerate() {
            points.push(SeriesPoint {
                direction: direction.to_string(),
                loading: at < loads.len(),
                load: quantity(&format!("{load} N")),
                deflection: quantity(&format!("{:.2} mm", f64::from(*load) / k)),
            });
        }
    }
    bench.read("wing.play", "flex", ReadingValue::Series { points }, None);
    bench
}

/// The stiffness that went into the deflections comes out: 40 and 32 N/mm, 20 % softer, 2 N/mm above the least.
#[test]
fn a_softer_series_is_told_by_direction() {
    let difference = compare(&flexed(40.0), &flexed(32.0));
    let step = difference.steps.iter().find(|step| step.id == "wing.play").expect("the step");
    let moved = &step.readings[0].moved;
    let of = |name: &str| {
        moved
            .iter()
            .find(|moved| moved.of.as_ref().is_some_and(|of| of.words() == name))
            .expect("the direction")
    };
    for direction in ["stiffness left", "stiffness right"] {
        let found = of(direction);
        let value = |text: &str| -> f64 {
            text.split(' ').next().and_then(|number| number.parse().ok()).expect("a number")
        };
        assert!((value(&found.then) - 40.0).abs() < 0.2, "{found:?}");
        assert!((value(&found.now) - 32.0).abs() < 0.2, "{found:?}");
        assert!((value(&found.difference) + 8.0).abs() < 0.3, "{found:?}");
        assert!((value(found.relative_percent.as_deref().expect("a share")) + 20.0).abs() < 0.5, "{found:?}");
        assert_eq!((found.toward, found.beyond), (Some(Toward::Limit), false));
        assert!(found.room.as_deref().is_some_and(|room| room.ends_with("above the least of 30 N/mm")));
    }
    assert!(step.needs_a_look);
    let below = compare(&flexed(40.0), &flexed(28.0));
    let step = below.steps.iter().find(|step| step.id == "wing.play").expect("the step");
    assert!(step.readings[0].moved.iter().all(|moved| moved.beyond) && step.readings[0].verdict_worse);
}

fn any_bench() -> impl Strategy<Value = Bench> {
    let answers = proptest::collection::vec(0..3_u8, STEPS.len());
    (answers, proptest::option::of(1..90_u32), any::<bool>()).prop_map(|(answers, reading, leave_out)| {
        let mut bench = Bench::new();
        for (step, answer) in STEPS.into_iter().zip(answers) {
            match answer {
                1 => drop(bench.answer(step, StepResult::Passed)),
                2 => drop(bench.answer(step, StepResult::Failed)),
                _ => {}
            }
        }
        if let Some(hundredths) = reading {
            play(&mut bench, &format!("0.{hundredths:02} mm"));
        }
        if leave_out {
            bench.plan.steps.retain(|planned| planned.step.id != "fin.look");
        }
        bench
    })
}

fn ids(difference: &SessionDifference, turn: Turn) -> Vec<String> {
    let mut ids: Vec<String> = difference.of_turn(turn).map(|step| step.id.clone()).collect();
    ids.sort();
    ids
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn compared_with_itself_nothing_differs(bench in any_bench()) {
        prop_assert!(compare(&bench, &bench).is_empty());
    }

    #[test]
    fn turned_round_new_and_gone_worse_and_better_change_places(a in any_bench(), b in any_bench()) {
        let (there, back) = (compare(&a, &b), compare(&b, &a));
        prop_assert_eq!(ids(&there, Turn::New), ids(&back, Turn::Gone));
        prop_assert_eq!(ids(&there, Turn::Gone), ids(&back, Turn::New));
        prop_assert_eq!(ids(&there, Turn::Same), ids(&back, Turn::Same));
        // Better is a failure put right; its mirror is a pass that failed.
        for step in ids(&there, Turn::Better) {
            prop_assert_eq!(turn_of(&back, &step), Turn::Worse);
        }
    }
}

/// One annual of the small airframe through the commands.
struct Annual<'a> {
    place: &'a Place,
}

impl Annual<'_> {
    fn run(&self, args: &[&str]) -> Answer {
        self.place.run_by("ada", args)
    }

    #[track_caller]
    fn done(&self, args: &[&str]) {
        self.run(args).expect(0);
    }

    fn papers(&self) {
        // The first annual dealt with it; the record says so, and the second one is not targeted by it.
        if self.run(&["report", "list", SMALL]).expect(0).out.contains("NOT DEALT WITH") {
            self.done(&["set-aside", SMALL, "r1", "a loose plug, reseated and tried"]);
        }
        self.done(&["directive", SMALL, "INV-1", "complied", "--next-due", "2099-12-31"]);
        self.done(&["life-item", SMALL, "harness", "within-life"]);
        self.done(&["answer", SMALL, "prep.clean", "pass"]);
        self.done(&["confirm", SMALL, "tailplane=off"]);
        self.place.write("photo.txt", "stands in for a photo");
        let file = self.place.path("photo.txt").to_string_lossy().into_owned();
        self.done(&["evidence", SMALL, &file, "--step", "fin.look", "--demand", "photo"]);
    }

    fn play(&self, value: &str) {
        self.done(&["read", SMALL, "wing.play", "play", value, "--instrument", "gauge"]);
        self.done(&["answer", SMALL, "wing.play", "pass"]);
    }

    fn rudder(&self) {
        self.done(&["answer", SMALL, "rudder.connect", "pass"]);
        let connections = ["inspect", SMALL, "rudder.connect", "rudder cables"];
        let checked = ["--checked", "assembly,locking,sense,range"];
        self.place.run_by("bo", &[&connections[..], &checked].concat()).expect(0);
    }

    fn release(&self) {
        self.done(&["sign", SMALL, "release", "--confirm", SMALL]);
    }
}

/// The annual of last time signed, the next one running under a newer edition with a failed step.
fn two_annuals() -> Place {
    let place = Place::small();
    let annual = Annual { place: &place };
    annual.papers();
    annual.done(&["answer", SMALL, "fin.look", "pass"]);
    annual.play("0.20 mm");
    annual.rudder();
    annual.release();
    let newer = include_str!("binary/small/programme.toml")
        .replace("version = \"9.0.0\"", "version = \"9.1.0\"")
        .replace("max = \"0.50\"", "max = \"0.40\"")
        .replace("Clean it.", "Clean it, inside too.")
        + "\n[[step]]\nid = \"boom.tap\"\nsection = \"all\"\ntitle = \"Tap the boom\"\ninstruction = \"Tap it.\"\n";
    place.write("checklists/composite-sailplane/9.1.0.toml", &newer);
    annual.run(&["begin", SMALL]).tells(0, &["5 steps"]);
    annual.papers();
    annual.done(&["answer", SMALL, "fin.look", "fail"]);
    annual.play("0.35 mm");
    place
}

#[test]
fn two_annuals_through_the_commands() {
    let place = two_annuals();
    let run = |args: &[&str]| place.run_by("ada", args);
    let answer = run(&["compare", SMALL]).expect(0);
    let text = answer.out.split_whitespace().collect::<Vec<_>>().join(" ");
    for words in [
        "Comparison of XX-SM1 with XX-SM1",
        "Look at first fin.look: Look at the fin root then passed by Ada (invented) on",
        "now failed by Ada (invented) on",
        "play: 0.20 mm, now 0.35 mm: +0.15 mm, +75.0 %, toward its limit; 0.05 mm left to 0.40 mm",
        "New steps boom.tap: Tap the boom open",
        "play: limit tightened from at most 0.50 mm to at most 0.40 mm",
        "1 step answered then, open now",
    ] {
        assert!(text.contains(words), "\"{words}\" is missing in: {}", answer.out);
    }
    let first = answer.out.find("fin.look").zip(answer.out.find("wing.play"));
    assert!(
        first.is_some_and(|(failed, moved)| failed < moved),
        "a failure stands before a reading that moved"
    );
    assert!(answer.out.lines().all(|line| line.chars().count() <= 80), "{}", answer.out);
    assert!(answer.out.contains("1 step the same"), "{}", answer.out);
    let short = run(&["compare", SMALL, "--changes-only"]).expect(0).out;
    assert!(!short.contains("the same"), "{short}");

    let json = run(&["compare", SMALL, "--json"]).expect(0).json();
    for key in ["then", "now", "same_airframe", "same_type", "steps", "defects_then", "plan"] {
        assert!(json["comparison"].get(key).is_some(), "{key}");
    }
    assert_eq!(json["damage"], Value::Array(Vec::new()));
    let steps = json["comparison"]["steps"].as_array().expect("a list");
    let of = |id: &str| steps.iter().find(|step| step["id"] == id).expect("the step");
    assert_eq!(of("fin.look")["turn"], "worse");
    assert_eq!(of("boom.tap")["turn"], "new");
    let moved = &of("wing.play")["readings"][0]["moved"][0];
    assert_eq!((&moved["difference"], &moved["toward"]), (&"+0.15 mm".into(), &"limit".into()));
    assert_eq!(of("wing.play")["readings"][0]["instrument_then"], "gauge");
}

#[test]
fn two_named_sessions_and_their_plans() {
    let place = two_annuals();
    let run = |args: &[&str]| place.run_by("ada", args);
    let list = run(&["list", "--json"]).expect(0).json();
    let sessions: Vec<&str> = list["sessions"]
        .as_array()
        .expect("a list")
        .iter()
        .map(|session| session["session"].as_str().expect("an id"))
        .collect();
    let (now, then) = (sessions[0], sessions[1]);
    let named = run(&["compare", then, now]).expect(0).out;
    assert_eq!(named, run(&["compare", now]).expect(0).out);
    run(&["compare", then]).tells(1, &["no annual of XX-SM1 before session"]);
    run(&["compare", now, now]).tells(2, &["the same session"]);

    let plans = [
        "edition composite-sailplane: 9.0.0, now 9.1.0",
        "no longer answers it",
        "limit tightened from at most 0.50 mm to at most 0.40 mm",
        "instruction reworded",
        "boom.tap",
    ];
    run(&["compare-plans", then, now]).tells(0, &plans);
    run(&["compare-plans", then]).tells(0, &plans);
    run(&["compare-plans", &format!("{then}@0"), &format!("{SMALL}@now")]).tells(0, &plans);
    run(&["compare-plans", now, &format!("{now}@now")]).tells(0, &["No difference."]);
    run(&["compare-plans", &format!("{now}@999"), now]).tells(1, &["has no entry 999"]);
    run(&["compare-plans", &format!("{now}@soon"), now]).tells(2, &["after @ stands the number of an entry"]);
    let json = run(&["compare-plans", then, now, "--json"]).expect(0).json();
    assert_eq!(json["difference"]["added"], serde_json::json!(["boom.tap"]));
    let changed = json["difference"]["changed"].as_array().expect("a list");
    assert!(changed.iter().all(|change| change["reopens"] == true), "{json:#}");
    assert_eq!(json["difference"]["editions"][0]["to"], "9.1.0");
}

#[test]
fn a_damaged_record_is_compared_as_far_as_it_verifies() {
    let place = two_annuals();
    let folder = place.session_folder(SMALL);
    let journal = std::fs::read_dir(&folder)
        .expect("listed")
        .map(|item| item.expect("listed").path())
        .find(|path| path.file_name().is_some_and(|name| name.to_string_lossy().contains("journal")))
        .expect("a journal");
    let text = std::fs::read_to_string(&journal).expect("read");
    std::fs::write(&journal, text.replacen("fin.look", "fin.lock", 1)).expect("written");
    place
        .run_by("ada", &["compare", SMALL])
        .tells(4, &["Comparison of XX-SM1", "is damaged", "it is compared as far as it verifies"]);
}
