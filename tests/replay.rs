//! The timeline against the plain fold, and what it tells of a step.

mod long_record;
mod support;

use long_record::{Long, stamped};
use proptest::prelude::*;
use spanwise::audit::replay::{Mark, Timeline};
use spanwise::event::{
    Carried, Disposition, Event, Outcome, PlanRevised, ReadingValue, RevisionCause, StepResult,
};
use spanwise::plan::{Plan, Plans};
use spanwise::session::{NewDefect, Request};
use spanwise::signoff::sign_off;
use spanwise::state::{Stamped, State, StepStanding, replay};
use support::{Bench, quantity, small_plan};

const SERIES_MODULE: &str = include_str!("benches/replay_module.toml");

/// The plan after a newer edition: one step changed, one gone.
fn revised(plan: &Plan) -> Plan {
    let mut plan = plan.clone();
    plan.steps.retain(|step| step.step.id != "oxygen.bottle");
    let changed = plan.steps.iter_mut().find(|step| step.step.id == "wing.play").expect("planned");
    changed.step.title = "Pin play, both sides".to_string();
    plan
}

/// A session with something of everything: corrections, a withdrawal, a defect rectified and re-inspected, a
/// pause, an entry carried over, a changed plan.
fn rich() -> (Bench, Plans) {
    let mut bench = Bench::new();
    let mut plans = Plans::new(bench.plan.clone());
    let ada = bench.actor("ada");
    let note = Event::Noted { by: ada.clone(), step: Some("fin.look".into()), text: "from before".into() };
    bench.append(Event::Carried(Carried {
        sid: "00112233445566778899aabbccddeeff".into(),
        from: 17,
        wall: "2026-11-20T10:00:00+01:00".into(),
        hash: "0".repeat(64),
        event: Box::new(note),
    }));
    bench.answer("fin.look", StepResult::Passed);
    bench.correct("fin.look", StepResult::Failed, "seen with the lamp");
    bench.done(
        "ada",
        Request::RaiseDefect(NewDefect {
            step: Some("fin.look".into()),
            what: "crack".into(),
            component: Some("fin".into()),
            side: None,
            station_mm: None,
            severity: spanwise::checklist::Severity::Minor,
        }),
    );
    let decided = Request::DisposeDefect {
        defect: "d1".into(),
        disposition: Disposition::Rectify,
        note: String::new(),
        until: None,
    };
    bench.done("ada", decided);
    let work =
        Request::RectifyDefect { defect: "d1".into(), work: "filled".into(), disturbed_controls: false };
    bench.done("ada", work);
    let far = ReadingValue::Number { quantity: quantity("0.90 mm") };
    let outside = bench.read("wing.play", "play", far, Some("old-gauge"));
    bench.done("ada", Request::Withdraw { entry: outside, why: "the gauge slipped".into() });
    bench.complete();
    bench.done("ada", Request::Pause { note: None });
    bench.done("ada", Request::Resume);
    let (next, previous) = (revised(&bench.plan), bench.state.plan.clone());
    plans.add("11".into(), next.clone());
    bench.plan = next;
    bench.append(Event::PlanRevised(PlanRevised {
        by: ada,
        cause: RevisionCause::Edition,
        why: "the pins of a sister ship".into(),
        previous,
        plan: "11".into(),
        added: Vec::new(),
        changed: vec!["wing.play".into()],
        gone: vec!["oxygen.bottle".into()],
    }));
    let near = ReadingValue::Number { quantity: quantity("0.21 mm") };
    bench.read("wing.play", "play", near, Some("gauge"));
    bench.answer("wing.play", StepResult::Passed);
    (bench, plans)
}

fn long(plan: &Plan, seed: u64, series_every: u64, count: u64) -> Vec<Stamped> {
    let bench = Bench::new();
    let people = vec![bench.actor("ada"), bench.actor("bo")];
    let long = Long { plan, people, seed, series_every };
    let opened = bench.entries[0].event.clone();
    stamped(std::iter::once(opened).chain(long.events(1, count - 1)).collect())
}

#[test]
fn every_moment_of_a_rich_session_is_what_the_plain_fold_says() {
    let (bench, plans) = rich();
    let folded = replay(&plans, &bench.entries).expect("it folds");
    assert_eq!(folded, bench.state);
    for line in [Timeline::new(&plans, &bench.entries), Timeline::over(&plans, &bench.entries, &folded)] {
        assert_eq!(line.fault(), None);
        let mut moment = line.moment(0);
        for k in 0..bench.entries.len() {
            let plain = replay(&plans, &bench.entries[..=k]).expect("it folds");
            assert_eq!(*line.moment(k).state(), plain, "after entry {k}");
            assert_eq!(line.moment(k).entry(), Some(k));
            // From wherever it stood before: from the end back, and one on.
            line.go(&mut moment, bench.entries.len() - 1);
            line.go(&mut moment, k);
            assert_eq!(*moment.state(), plain, "back to entry {k}");
            assert_eq!(line.configuration_at(k), plain.configuration, "configuration at {k}");
            let planned = |plan: &Plan| plan.steps.iter().all(|step| plain.steps.contains_key(&step.step.id));
            assert!(planned(line.plan_at(k)));
        }
        assert_eq!(*line.moment(usize::MAX - 1).state(), folded, "past the end is the end");
    }
}

#[test]
fn the_plan_is_the_one_that_held() {
    let (bench, plans) = rich();
    let line = Timeline::new(&plans, &bench.entries);
    let revision = line.next(Mark::Revision, 0).expect("one");
    let title = |k: usize| line.plan_at(k).step("wing.play").expect("planned").step.title.clone();
    assert_eq!(
        (title(revision - 1).as_str(), title(revision).as_str()),
        ("Pin play", "Pin play, both sides")
    );
    assert!(line.plan_at(revision - 1).step("oxygen.bottle").is_some());
    assert!(line.plan_at(revision).step("oxygen.bottle").is_none());
}

#[test]
fn a_record_that_does_not_fold_is_followed_as_far_as_it_does() {
    let (bench, _) = rich();
    let first_only = Plans::new(small_plan());
    let line = Timeline::new(&first_only, &bench.entries);
    let fault = line.fault().expect("the later plan is not there");
    assert!(fault.why.contains("new plan"), "{fault}");
    assert_eq!(line.entries().len() as u64, fault.entry);
    let plain = replay(&first_only, &bench.entries[..line.entries().len()]).expect("it folds");
    assert_eq!(*line.last(), plain);
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    /// Random records, random ways through them.
    #[test]
    fn any_way_through_any_record(seed in any::<u64>(), way in proptest::collection::vec(0usize..700, 6)) {
        let plans = Plans::new(small_plan());
        let entries = long(plans.first(), seed, 50, 700);
        let line = Timeline::new(&plans, &entries);
        prop_assert_eq!(line.fault(), None);
        let mut moment = line.moment(way[0]);
        for k in way {
            line.go(&mut moment, k);
            let plain = replay(&plans, &entries[..=k]).expect("it folds");
            prop_assert_eq!(moment.state(), &plain);
            let jumped = line.moment(k);
            prop_assert_eq!(jumped.state(), &plain);
        }
    }

    /// Jumps against a search entry by entry.
    #[test]
    fn jumps_go_to_the_nearest_of_their_kind(seed in any::<u64>(), from in 0usize..300) {
        let plans = Plans::new(small_plan());
        let entries = long(plans.first(), seed, 50, 300);
        let line = Timeline::new(&plans, &entries);
        let is_failure = |stamped: &Stamped| {
            matches!(&stamped.event, Event::Answered(answered) if answered.result == StepResult::Failed)
        };
        let next = (from + 1..300).find(|k| is_failure(&entries[*k]));
        let previous = (0..from).rev().find(|k| is_failure(&entries[*k]));
        prop_assert_eq!(line.next(Mark::Failure, from), next);
        prop_assert_eq!(line.previous(Mark::Failure, from), previous);
    }
}

#[test]
fn jumps_in_twenty_thousand_entries_are_exact() {
    const COUNT: usize = 20_000;
    let bench = Bench::with(SERIES_MODULE, support::AIRFRAME_WITHOUT_REPORTS);
    let plans = Plans::new(bench.plan.clone());
    let entries = long(&bench.plan, 7, 1_000, COUNT as u64);
    let line = Timeline::new(&plans, &entries);
    assert_eq!((line.fault(), line.entries().len()), (None, COUNT));
    assert_eq!(line.count(Mark::Reading, COUNT).0, COUNT / 1_000 - 1, "the series are in it");
    let wanted = [1, 2_499, 2_500, 2_501, 9_999, 12_345, 17_499, 19_998, 19_999];
    let mut plain = State::new(&bench.plan);
    for (k, stamped) in entries.iter().enumerate() {
        plain.apply(&bench.plan, stamped).expect("it folds");
        if wanted.contains(&k) {
            assert!(*line.moment(k).state() == plain, "after entry {k}");
        }
    }
}

#[test]
fn kinds_of_entries() {
    let (mut bench, plans) = rich();
    sign(&mut bench);
    let line = Timeline::new(&plans, &bench.entries);
    let all = |mark: Mark| (0..line.entries().len()).filter(|k| line.is(*k, mark)).count();
    assert_eq!(all(Mark::Any), line.entries().len());
    assert_eq!(all(Mark::Pause), 2);
    assert_eq!(all(Mark::Revision), 1);
    assert_eq!(all(Mark::Configuration), 1);
    assert_eq!(all(Mark::Defect), 3);
    assert_eq!(all(Mark::Correction), 4, "one corrected, one taken back, two worked again");
    assert_eq!(all(Mark::SignOff), 1);
    assert_eq!(all(Mark::Reading), 4);
    // The failed step, and nothing for the reading whose gauge was out of calibration: that decides nothing.
    assert_eq!(all(Mark::Failure), 1);
    let pause = line.next(Mark::Pause, 0).expect("paused");
    let hash = spanwise::journal::Hash(std::array::from_fn(|at| if at == 31 { pause as u8 } else { 0 }));
    let code = spanwise::journal::ShortCode::of(&hash).to_string();
    assert_eq!(line.paper_code(pause), Some(code), "a pause is written on paper");
    assert_eq!(line.paper_code(pause + 1), None);
}

fn sign(bench: &mut Bench) {
    let verdict = bench.verdict_for(Some("ada"));
    let proof = verdict.prove(Outcome::Release).unwrap_or_else(|refusals| panic!("{refusals:?}"));
    let person = bench.person("ada").clone();
    let event = sign_off(proof, &bench.plan, "11", &bench.state, &person, bench.today).expect("fresh");
    bench.append(Event::SignedOff(event));
}

#[test]
fn searching_finds_words_steps_people_and_instruments() {
    let (bench, plans) = rich();
    let line = Timeline::new(&plans, &bench.entries);
    let found = |text: &str| line.find(text, &spanwise::screen::words);
    let only = |text: &str| found(text).iter().map(|k| *k as u64).collect::<Vec<_>>();
    assert_eq!(only("GAUGE SLIPPED").len(), 1, "words, capitals or not");
    assert_eq!(
        only("look at the fin").len(),
        6,
        "a step by its title: carried note, two answers, defect, photo, answer"
    );
    assert!(
        only("bo marsh")
            .iter()
            .all(|k| bench.entries[*k as usize].event.actor().is_some_and(|a| a.id == "bo"))
    );
    assert_eq!(only("Dial gauge").len(), 2, "an instrument by its title");
    assert_eq!(only("old-gauge").len(), 1);
    assert!(found("no such thing").is_empty() && found("  ").is_empty());
    assert_eq!(line.by_person("bo").len(), 1);
    assert_eq!(line.by_person("bo marsh"), line.by_person("bo"));
}

#[test]
fn the_story_of_a_step_with_a_defect() {
    let (bench, plans) = rich();
    let line = Timeline::new(&plans, &bench.entries);
    let story = line.of_step("fin.look").expect("planned");
    let told: Vec<String> = story
        .happenings
        .iter()
        .map(|told| bench.entries[told.entry].event.to_parts().expect("parts").0)
        .collect();
    let kinds = [
        "carried",
        "answered",
        "answered",
        "defect_raised",
        "defect_disposed",
        "defect_rectified",
        "evidence_added",
        "answered",
    ];
    assert_eq!(told, kinds);
    assert_eq!(
        story.happenings[0].wall, "2026-11-20T10:00:00+01:00",
        "when it was done, not when carried over"
    );
    assert_eq!(story.happenings[0].carried_from, Some(17));
    let struck = story.happenings[1].struck.as_ref().expect("corrected later");
    assert_eq!((struck.by_entry, struck.why.as_str()), (3, "seen with the lamp"));
    assert_eq!(story.happenings[1].unmet.to_string(), "tailplane off");
    let summary = &story.summary;
    assert_eq!(summary.standing, StepStanding::Passed);
    let held = summary.held.as_ref().expect("it is passed");
    assert_eq!((held.by.id.as_str(), held.configuration.to_string().as_str()), ("ada", "tailplane off"));
    let entries: Vec<usize> = summary.changes.iter().map(|change| change.entry).collect();
    let last = story.happenings.last().expect("told").entry;
    assert_eq!(entries, [3, 6, last], "corrected, opened by the rectification, worked again");
    assert_eq!(summary.failures.iter().map(|failed| failed.entry).collect::<Vec<_>>(), [3]);
    assert!(line.is(last, Mark::Correction), "work done again is sought with the corrections");
    assert_eq!(summary.sentences()[0], format!("passed by Ada Finch on 2026-11-25 10:00, entry {last}"));
}

#[test]
fn the_story_of_a_measured_step_through_a_changed_plan() {
    let (bench, plans) = rich();
    let line = Timeline::new(&plans, &bench.entries);
    let story = line.of_step("wing.play").expect("planned");
    assert_eq!(story.title, "Pin play, both sides", "as the plan calls it now");
    let notes: Vec<Vec<String>> = story.happenings.iter().map(|told| told.notes()).collect();
    let all = notes.concat().join("\n");
    for wanted in [
        "gauge, Dial gauge: calibration due 2027-01-01",
        "old-gauge, Old gauge: calibration due 2026-01-01, OUT OF CALIBRATION on the day",
        "within: ",
        "later struck by entry",
        "the step was changed: what was answered before holds no longer (newer edition taken up)",
        "configuration then: tailplane off",
    ] {
        assert!(all.contains(wanted), "\"{wanted}\" is missing in:\n{all}");
    }
    let sentences = story.summary.sentences();
    assert!(sentences.contains(&"instrument: gauge, Dial gauge: calibration due 2027-01-01".to_string()));
    assert!(story.summary.instruments.iter().all(|(used, _)| used.id != "old-gauge"), "taken back");
    for wanted in [
        "instrument CHANGED; on 2026-11-25 10:00 it was old-gauge, Old gauge",
        ": play on 2026-11-25 10:00 by Ada Finch: within",
    ] {
        assert!(sentences.iter().any(|told| told.contains(wanted)), "\"{wanted}\" in {sentences:#?}");
    }
    assert!(sentences.contains(&"changed 2 times".to_string()), "{sentences:?}");
    let gone = line.of_step("oxygen.bottle").expect("an earlier plan had it");
    assert!(gone.happenings.last().is_some_and(|told| told.notes().join("").contains("gone from the plan")));
    assert_eq!(line.of_step("no.such"), None);
    let never = line.of_step("prep.clean").expect("planned").summary.sentences();
    assert!(never.contains(&"never changed".to_string()), "{never:?}");
}
