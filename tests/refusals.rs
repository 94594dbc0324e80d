//! Every one of the fourteen refusals is provoked and cleared, and any later event voids a proof.

mod support;

use spanwise::checklist::Severity;
use spanwise::completion::{EvidenceFile, Subject};
use spanwise::event::{
    ControlCheck, DirectiveAnswer, Disposition, Event, LifeAnswer, Outcome, ReadingValue,
    StepResult::{Failed, Passed},
};
use spanwise::session::{NewDefect, Request};
use spanwise::signoff::{SignOffError, sign_off};
use support::{Bench, answer, day, quantity};

fn complete() -> Bench {
    let mut bench = Bench::new();
    bench.complete();
    assert_eq!(bench.refused(), Vec::<u8>::new(), "{:#?}", bench.verdict_for(Some("ada")).refusals());
    bench
}

fn defect(step: Option<&str>, severity: Severity) -> Request {
    Request::RaiseDefect(NewDefect {
        step: step.map(Into::into),
        what: "crack".into(),
        component: Some("fin".into()),
        side: Some("left".into()),
        station_mm: None,
        severity,
    })
}

fn dispose(disposition: Disposition, until: Option<&str>) -> Request {
    Request::DisposeDefect { defect: "d1".into(), disposition, note: String::new(), until: until.map(day) }
}

fn rectify(disturbed_controls: bool) -> Request {
    Request::RectifyDefect { defect: "d1".into(), work: "relaminated".into(), disturbed_controls }
}

#[test]
fn a_fresh_session_is_refused_for_every_open_step_and_paper() {
    let bench = Bench::new();
    assert_eq!(bench.refused(), vec![1, 10, 11]);
    let verdict = bench.verdict_for(Some("ada"));
    let open = verdict.refusals().iter().filter(|refusal| refusal.number == 1).count();
    assert_eq!(open, 6, "all six mandatory steps of the plan");
    assert!(verdict.prove(Outcome::Release).is_err());
}

#[test]
fn refusal_1_an_open_mandatory_step() {
    let mut bench = complete();
    let entry =
        bench.state.step("prep.clean").and_then(|step| step.answer()).map(|answer| answer.stamp.entry);
    bench.done("ada", Request::Withdraw { entry: entry.unwrap_or_default(), why: "wrong glider".into() });
    assert_eq!(bench.refused(), vec![1]);
    bench.answer("prep.clean", Passed);
    assert_eq!(bench.refused(), Vec::<u8>::new());
}

#[test]
fn refusal_2_a_missing_reading_and_missing_evidence() {
    let mut bench = Bench::new();
    bench.answer("prep.clean", Passed);
    bench.confirm("tailplane=off");
    bench.answer("fin.look", Passed);
    bench.answer("wing.play", Passed);
    let verdict = bench.verdict_for(Some("ada"));
    let missing: Vec<&Subject> = verdict
        .refusals()
        .iter()
        .filter(|refusal| refusal.number == 2)
        .map(|refusal| &refusal.subject)
        .collect();
    assert_eq!(missing, [&Subject::Step("fin.look".into()), &Subject::Step("wing.play".into())]);
    bench.photo("fin.look", "photo");
    bench.read("wing.play", "play", ReadingValue::Number { quantity: quantity("0.2 mm") }, Some("gauge"));
    assert!(!bench.refused().contains(&2));
}

#[test]
fn refusal_3_a_value_outside_its_limit_without_a_defect() {
    let mut bench = Bench::new();
    bench.read("wing.play", "play", ReadingValue::Number { quantity: quantity("0.51 mm") }, Some("gauge"));
    bench.answer("wing.play", Passed);
    assert!(bench.refused().contains(&3));
    bench.done("ada", defect(Some("wing.play"), Severity::Minor));
    assert!(!bench.refused().contains(&3));
    assert!(bench.refused().contains(&4), "and the defect needs its disposition");
}

#[test]
fn without_a_stated_uncertainty_the_limit_is_exact_across_units() {
    let refused = |text: &str| {
        let mut bench = Bench::new();
        bench.read("wing.play", "play", ReadingValue::Number { quantity: quantity(text) }, None);
        bench.answer("wing.play", Passed);
        bench.refused().contains(&3)
    };
    // 25.4 mm to the inch, exact: NIST SP 811, appendix B.8. 0.0196 in is 0.49784 mm, 0.0197 in is 0.50038 mm.
    assert!(!refused("0.50 mm"), "the limit itself belongs to the range");
    assert!(refused("0.500001 mm"));
    assert!(!refused("0.0196 in"));
    assert!(refused("0.0197 in"));
}

#[test]
fn refusal_3_what_the_instrument_cannot_decide_needs_a_better_reading_or_a_written_note() {
    // U = 0.02 mm (k = 2) and a step of 0.01 mm give u = 0.0104 mm and a guard of 1.645 u = 0.017 mm
    // (JCGM 106:2012, clauses 7.3 and 8): 0.48 to 0.52 is undecided at a limit of 0.50.
    let undecided = |text: &str| {
        let mut bench = Bench::new();
        bench.read("wing.play", "play", ReadingValue::Number { quantity: quantity(text) }, Some("gauge"));
        bench.answer("wing.play", Passed);
        bench
    };
    assert!(!undecided("0.48 mm").refused().contains(&3));
    let mut bench = undecided("0.49 mm");
    assert!(bench.refused().contains(&3));
    bench.done(
        "ada",
        Request::Note { step: Some("wing.play".into()), text: "measured again warm, 0.47".into() },
    );
    assert!(!bench.refused().contains(&3));
    assert!(undecided("0.52 mm").refused().contains(&3));
}

#[test]
fn a_softer_structure_is_not_passed_without_a_word() {
    // The comparison itself is checked against published values in tests/measure_reference/comparison.rs.
    let module = support::MODULE.replace("[[step.measure]]", SERIES);
    let references: String =
        ["14.5", "14.1", "14.9", "14.4"].iter().enumerate().map(|(n, k)| reference(n, k, "A")).collect();
    let mut bench = Bench::with(
        &module,
        &format!("{}\nbuild_standard = [\"A\"]{references}", with_build_standard_last()),
    );
    bench.answer("prep.clean", Passed);
    bench.read("tail.flex", "fin-top", ReadingValue::Series { points: points(10.5) }, None);
    bench.answer("tail.flex", Passed);
    let why = first_words(&bench, 3);
    assert!(why.contains("softer") && why.contains("Softer than the references"), "{why}");
    bench.done("ada", Request::Note { step: Some("tail.flex".into()), text: "looked inside, sound".into() });
    assert!(!bench.refused().contains(&3));

    // Only the references' build standard is another: no verdict, and it says why.
    let unlike = references.replace("build_standard = [\"A\"]", "build_standard = [\"B\"]");
    let mut bench =
        Bench::with(&module, &format!("{}\nbuild_standard = [\"A\"]{unlike}", with_build_standard_last()));
    bench.read("tail.flex", "fin-top", ReadingValue::Series { points: points(10.5) }, None);
    let reading = bench.state.step("tail.flex").and_then(|step| step.readings.last().cloned());
    let judgement = reading.map(|reading| reading.judgement).unwrap_or_else(|| panic!("no reading"));
    assert!(judgement.headline().starts_with("cannot tell"), "{}", judgement.headline());
    assert!(judgement.words.contains("another build standard"), "{}", judgement.words);
}

const SERIES: &str = "[[step.measure]]\nid = \"fin-top\"\ntitle = \"Fin top\"\nkind = \"load-deflection\"\nload_unit = \"N\"\ndeflection_unit = \"mm\"\ndirections = [\"left\", \"right\"]\nmax_load = \"140\"\n[[step.measure]]\ndemanded = false";

/// The airframe without its tables, so that a top-level key can follow.
fn with_build_standard_last() -> String {
    support::AIRFRAME.split("[[report]]").next().unwrap_or_default().to_string() + "\n"
}

fn reference(number: usize, stiffness: &str, standard: &str) -> String {
    format!(
        "\n[[reference]]\nregistration = \"ZZ-1{number}\"\ntype = \"ostrel\"\nbuild_standard = [\"{standard}\"]\nstep = \"tail.flex\"\nmeasure = \"fin-top\"\nstiffness_n_per_mm = \"{stiffness}\"\ndate = 2026-01-01\nbelieved_sound = true\nprovenance = \"invented\""
    )
}

/// A perfect series of this stiffness (N/mm), rounded to what a gauge of 0.01 mm shows.
fn points(stiffness: f64) -> Vec<spanwise::event::SeriesPoint> {
    let mut points = Vec::new();
    for direction in ["left", "right"] {
        for (load, loading) in [(40, true), (80, true), (120, true), (80, false), (40, false)] {
            points.push(spanwise::event::SeriesPoint {
                direction: direction.into(),
                loading,
                load: quantity(&format!("{load} N")),
                deflection: quantity(&format!("{:.2} mm", f64::from(load) / stiffness)),
            });
        }
    }
    points
}

fn first_words(bench: &Bench, number: u8) -> String {
    let verdict = bench.verdict_for(Some("ada"));
    verdict
        .refusals()
        .iter()
        .find(|refusal| refusal.number == number)
        .map(|refusal| refusal.why.clone())
        .unwrap_or_default()
}

#[test]
fn refusal_4_a_failed_step_until_its_defect_is_settled() {
    let mut bench = complete();
    bench.correct("wing.play", Failed, "looked again");
    assert_eq!(bench.refused(), vec![4]);
    bench.done("ada", defect(Some("wing.play"), Severity::Minor));
    assert_eq!(bench.refused(), vec![4], "no disposition yet");
    bench.done("ada", dispose(Disposition::Rectify, None));
    assert_eq!(bench.refused(), vec![4], "not rectified yet");
    bench.done("ada", rectify(false));
    assert_eq!(bench.refused(), vec![1, 4], "to be worked again");
    bench.answer("wing.play", Passed);
    assert_eq!(bench.refused(), vec![2], "the reading is demanded again");
    bench.read("wing.play", "play", ReadingValue::Number { quantity: quantity("0.10 mm") }, Some("gauge"));
    assert_eq!(bench.refused(), Vec::<u8>::new());
}

#[test]
fn refusal_4_a_deferral_needs_permission_and_a_limit_that_lies_ahead() {
    let mut bench = complete();
    bench.correct("wing.play", Failed, "looked again");
    bench.done("ada", defect(Some("wing.play"), Severity::Minor));
    assert!(bench.ask("ada", dispose(Disposition::Defer, None)).is_err(), "no limit");
    assert!(bench.ask("ada", dispose(Disposition::Defer, Some("2026-11-25"))).is_err(), "not ahead");
    bench.done("ada", dispose(Disposition::Defer, Some("2027-01-31")));
    assert_eq!(bench.refused(), Vec::<u8>::new());
    bench.today = day("2027-02-01");
    assert_eq!(bench.refused(), vec![4], "the limit has passed");

    let mut bench = complete();
    bench.correct("tail.flex", Failed, "looked again");
    bench.done("ada", defect(Some("tail.flex"), Severity::Minor));
    bench.done("ada", dispose(Disposition::Defer, Some("2027-01-31")));
    assert_eq!(bench.refused(), vec![4], "this step allows no deferral");
}

#[test]
fn refusal_5_answered_out_of_configuration() {
    let mut bench = Bench::new();
    bench.answer("prep.clean", Passed);
    bench.confirm("tailplane=on");
    bench.photo("fin.look", "photo");
    bench.answer("fin.look", Passed);
    assert!(bench.refused().contains(&5));
    bench.confirm("tailplane=off");
    assert!(bench.refused().contains(&5), "confirming afterwards is no second look");
    bench.correct("fin.look", Passed, "looked again with the tailplane off");
    assert!(!bench.refused().contains(&5));
}

#[test]
fn a_later_configuration_invalidates_nothing_already_answered() {
    let mut bench = complete();
    bench.confirm("tailplane=on");
    assert_eq!(bench.refused(), Vec::<u8>::new());
}

#[test]
fn refusal_6_answered_before_its_turn() {
    let mut bench = Bench::new();
    bench.read("tail.flex", "bulge", ReadingValue::Choice { choice: "none".into() }, None);
    bench.answer("tail.flex", Passed);
    assert!(bench.refused().contains(&6));
    bench.answer("prep.clean", Passed);
    assert!(bench.refused().contains(&6), "the order was wrong all the same");
    bench.correct("tail.flex", Passed, "flexed again after cleaning");
    assert!(!bench.refused().contains(&6));
}

#[test]
fn refusal_7_instrument_not_named_or_out_of_calibration() {
    let mut bench = Bench::new();
    let entry = bench.read("wing.play", "play", ReadingValue::Number { quantity: quantity("0.2 mm") }, None);
    bench.answer("wing.play", Passed);
    assert!(bench.refused().contains(&7));
    let again = |instrument: &str, entry| Request::Read {
        step: "wing.play".into(),
        measure: "play".into(),
        value: ReadingValue::Number { quantity: quantity("0.2 mm") },
        instrument: Some(instrument.into()),
        corrects: Some(entry),
        why: Some("instrument".into()),
    };
    let entry = bench.done("ada", again("old-gauge", entry));
    assert!(bench.refused().contains(&7), "out of calibration");
    bench.done("ada", again("gauge", entry));
    assert!(!bench.refused().contains(&7));
    assert!(bench.ask("ada", again("no-such", entry)).is_err());
}

#[test]
fn refusal_8_independent_inspection_missing_or_by_the_same_person() {
    let mut bench = Bench::new();
    bench.answer("rudder.connect", Passed);
    assert!(bench.refused().contains(&8));
    bench.inspect("ada");
    assert!(bench.refused().contains(&8), "by the same person");
    bench.inspect("cy");
    assert!(bench.refused().contains(&8), "an authorisation that has ended");
    bench.done(
        "bo",
        Request::InspectIndependently {
            step: "rudder.connect".into(),
            connections: "rudder".into(),
            checked: vec![ControlCheck::Assembly, ControlCheck::Locking],
            satisfactory: true,
        },
    );
    assert!(bench.refused().contains(&8), "sense and range are left out");
    bench.inspect("bo");
    assert!(!bench.refused().contains(&8));
    let unsigned = without_signature(&bench);
    assert!(unsigned.contains(&8), "no signature of the second person");
    let borrowed = signed_with(&bench, "ada");
    assert!(borrowed.contains(&8), "signed with the key of the certifier");
    bench.correct("rudder.connect", Passed, "split pin replaced");
    assert!(bench.refused().contains(&8), "what was done after the second look was not seen by it");
}

/// The refusals of the same record with its last inspection not signed, or signed with another's key.
fn without_signature(bench: &Bench) -> Vec<u8> {
    reseal(bench, |inspected| inspected.seal = None)
}

fn signed_with(bench: &Bench, person: &str) -> Vec<u8> {
    let key = support::key_of(person);
    reseal(bench, |inspected| {
        spanwise::seal::seal_inspection(support::SID, inspected, &key)
            .unwrap_or_else(|error| panic!("{error}"));
    })
}

fn reseal(bench: &Bench, change: impl Fn(&mut spanwise::event::IndependentlyInspected)) -> Vec<u8> {
    let mut other = Bench::new();
    for stamped in bench.entries.iter().skip(1) {
        let mut event = stamped.event.clone();
        if let Event::IndependentlyInspected(inspected) = &mut event {
            change(inspected);
        }
        other.append(event);
    }
    other.refused()
}

#[test]
fn refusal_13_a_signer_without_a_key() {
    let mut bench = complete();
    bench.people.0.iter_mut().for_each(|person| person.keys[0].valid_until = Some(day("2026-11-24")));
    assert_eq!(bench.refused(), vec![13], "the key ended yesterday");
    bench.people.0.iter_mut().for_each(|person| person.keys[0].valid_until = Some(day("2026-11-25")));
    assert_eq!(bench.refused(), Vec::<u8>::new());
}

#[test]
fn refusal_8_after_a_repair_that_disturbed_a_control() {
    let mut bench = complete();
    bench.correct("wing.play", Failed, "looked again");
    bench.done("ada", defect(Some("wing.play"), Severity::Minor));
    bench.done("ada", dispose(Disposition::Rectify, None));
    bench.done("ada", rectify(true));
    bench.read("wing.play", "play", ReadingValue::Number { quantity: quantity("0.10 mm") }, Some("gauge"));
    bench.answer("wing.play", Passed);
    assert_eq!(bench.refused(), vec![8]);
}

/// A photo of the broken part does not show the repaired one.
#[test]
fn refusal_2_after_a_repair_the_evidence_is_taken_again() {
    let mut bench = complete();
    bench.correct("fin.look", Failed, "looked again");
    bench.done("ada", defect(Some("fin.look"), Severity::Minor));
    bench.done("ada", dispose(Disposition::Rectify, None));
    bench.done("ada", rectify(false));
    bench.answer("fin.look", Passed);
    assert_eq!(bench.refused(), vec![2], "the photo is of before");
    bench.photo("fin.look", "photo");
    assert_eq!(bench.refused(), Vec::<u8>::new());
}

#[test]
fn refusal_9_evidence_gone_or_changed() {
    let mut bench = complete();
    let hash = bench.evidence.keys().next().cloned().unwrap_or_default();
    bench.evidence.insert(hash.clone(), EvidenceFile::Changed);
    assert_eq!(bench.refused(), vec![9]);
    bench.evidence.remove(&hash);
    assert_eq!(bench.refused(), vec![9]);
    bench.evidence.insert(hash, EvidenceFile::Present);
    assert_eq!(bench.refused(), Vec::<u8>::new());
}

#[test]
fn refusal_10_a_report_is_never_just_noted() {
    let mut bench = Bench::new();
    assert!(bench.refused().contains(&10));
    let aside = |reason: &str| Request::SetReportAside { report: "r2".into(), reason: reason.into() };
    assert!(bench.ask("ada", aside("  ")).is_err(), "no reason");
    bench.done("ada", aside("a loose plug, reseated and tried"));
    assert!(!bench.refused().contains(&10), "r1 has its targeted step");
}

#[test]
fn refusal_11_directives_and_life_limits() {
    let mut bench = complete();
    bench.done(
        "ada",
        Request::AnswerDirective {
            directive: "ad1".into(),
            answer: DirectiveAnswer::NotYetDue,
            note: String::new(),
            next_due: Some(day("2026-11-24")),
        },
    );
    assert_eq!(bench.refused(), vec![11], "due yesterday");
    assert!(bench.verdict_for(Some("ada")).prove(Outcome::NotAirworthy).is_ok(), "it can stand on the list");
    bench.done(
        "ada",
        Request::AnswerDirective {
            directive: "ad1".into(),
            answer: DirectiveAnswer::Complied,
            note: String::new(),
            next_due: Some(day("2026-11-25")),
        },
    );
    assert_eq!(bench.refused(), Vec::<u8>::new(), "due today is not overdue");
    bench.today = day("2030-01-02");
    assert!(bench.refused().contains(&11), "the harness has reached its date");
    bench.renew("ada", day("2031-12-31"));
    bench.done(
        "ada",
        Request::AnswerLifeItem {
            item: "harness".into(),
            answer: LifeAnswer::Replaced,
            note: "new harness".into(),
            next_due: Some(day("2042-01-01")),
        },
    );
    let verdict = bench.verdict_for(Some("ada"));
    assert!(!verdict.refusals().iter().any(|refusal| refusal.subject == Subject::LifeItem("harness".into())));
}

#[test]
fn refusal_11_a_replacement_has_a_date_too() {
    let mut bench = Bench::new();
    let replaced = |next_due: Option<&str>| Request::AnswerLifeItem {
        item: "harness".into(),
        answer: LifeAnswer::Replaced,
        note: "new harness".into(),
        next_due: next_due.map(day),
    };
    assert!(bench.ask("ada", replaced(None)).is_err_and(|declined| declined.why.contains("life")));
    bench.done("ada", replaced(Some("2042-01-01")));
}

#[test]
fn refusal_12_a_record_that_does_not_verify() {
    let mut bench = complete();
    bench.integrity.push("entry 4 does not carry the hash of entry 3".into());
    assert_eq!(bench.refused(), vec![12]);
    assert!(bench.verdict_for(Some("ada")).prove(Outcome::NotAirworthy).is_err());
}

#[test]
fn refusal_13_who_may_sign() {
    let bench = complete();
    let refused = |signer| -> Vec<u8> {
        bench.verdict_for(signer).refusals().iter().map(|refusal| refusal.number).collect()
    };
    assert_eq!(refused(None), vec![13]);
    // And bo's own key stands under the second inspection.
    assert_eq!(refused(Some("bo")), vec![8, 13], "another type");
    assert_eq!(refused(Some("cy")), vec![13], "expired");
    assert_eq!(refused(Some("ada")), Vec::<u8>::new());
}

#[test]
fn refusal_14_grounds_and_leaves_only_the_list_of_discrepancies() {
    let mut bench = complete();
    bench.correct("fin.look", Failed, "looked again");
    bench.done("ada", defect(Some("fin.look"), Severity::Grounding));
    bench.done("ada", dispose(Disposition::Refer, None));
    assert_eq!(bench.refused(), vec![14]);
    let verdict = bench.verdict_for(Some("ada"));
    assert!(verdict.prove(Outcome::Release).is_err());
    let proof = verdict.prove(Outcome::NotAirworthy).unwrap_or_else(|refusals| panic!("{refusals:#?}"));
    assert_eq!(proof.discrepancies().len(), 1);
    bench.done("ada", rectify(false));
    bench.photo("fin.look", "photo");
    bench.answer("fin.look", Passed);
    assert_eq!(bench.refused(), Vec::<u8>::new());
}

#[test]
fn without_a_discrepancy_there_is_nothing_to_sign_as_not_airworthy() {
    let bench = complete();
    assert!(bench.verdict_for(Some("ada")).prove(Outcome::NotAirworthy).is_err());
}

#[test]
fn any_later_event_voids_the_proof() {
    let mut bench = complete();
    let proof = bench.verdict_for(Some("ada")).prove(Outcome::Release).unwrap_or_else(|_| panic!("refused"));
    bench.done("ada", Request::Note { step: None, text: "one more thing".into() });
    let signed = sign_off(proof, &bench.plan, "00", &bench.state, bench.person("ada"), bench.today);
    assert_eq!(signed.err(), Some(SignOffError::ProofVoid));
    let proof = bench.verdict_for(Some("ada")).prove(Outcome::Release).unwrap_or_else(|_| panic!("refused"));
    let event = sign_off(proof, &bench.plan, "00", &bench.state, bench.person("ada"), bench.today)
        .unwrap_or_else(|error| panic!("{error}"));
    bench.append(Event::SignedOff(event));
    let late = bench.ask("ada", answer("prep.clean", Passed, Some("late")));
    assert!(late.is_err_and(|declined| declined.why.contains("signed")));
}

#[test]
fn not_applicable_needs_permission_and_a_reason() {
    let mut bench = Bench::new();
    let ask = |step: &str, reason: Option<&str>| Request::Answer {
        step: step.into(),
        result: spanwise::event::StepResult::NotApplicable,
        reason: reason.map(Into::into),
        why: None,
    };
    assert!(bench.ask("ada", ask("prep.clean", Some("because"))).is_err());
    assert!(bench.ask("ada", ask("oxygen.bottle", None)).is_err());
    assert!(bench.ask("ada", ask("oxygen.bottle", Some("not carried"))).is_ok());
}

fn not_yet_due(until: &str) -> Request {
    Request::AnswerDirective {
        directive: "ad1".into(),
        answer: DirectiveAnswer::NotYetDue,
        note: String::new(),
        next_due: Some(day(until)),
    }
}

#[test]
fn refusal_11_a_later_date_in_the_answer_does_not_move_the_date_of_the_record() {
    let due = |date: &str| {
        let directive = format!("id = \"ad1\"\ndue = {date}");
        Bench::with(support::MODULE, &support::AIRFRAME_WITHOUT_REPORTS.replace("id = \"ad1\"", &directive))
    };
    let about_directive = |bench: &Bench| {
        let verdict = bench.verdict_for(Some("ada"));
        verdict.refusals().iter().any(|found| found.subject == Subject::Directive("ad1".into()))
    };
    let mut overdue = due("2026-10-31");
    overdue.done("ada", not_yet_due("2099-01-01"));
    assert!(about_directive(&overdue), "the record says October");
    let mut running = due("2026-12-31");
    running.done("ada", not_yet_due("2099-01-01"));
    assert!(!about_directive(&running));
}

/// A module that asks for the totals as the programme of the library does.
fn asking_for_totals() -> Bench {
    let step = r#"
[[step]]
id = "records.times"
section = "tail"
title = "Hours and launches"
instruction = "Add up the log."
basis = ["common practice"]
[[step.measure]]
id = "hours"
title = "Total time in service"
kind = "number"
unit = "h"
[[step.measure]]
id = "launches"
title = "Total launches"
kind = "count"
unit = "launches"
"#;
    let life = "due_hours = \"1300\"\ndue_launches = 1000";
    let airframe = support::AIRFRAME_WITHOUT_REPORTS.replace("due = 2030-01-01", life);
    let mut bench = Bench::with(&format!("{}{step}", support::MODULE), &airframe);
    bench.done(
        "ada",
        Request::AnswerLifeItem {
            item: "harness".into(),
            answer: LifeAnswer::WithinLife,
            note: String::new(),
            next_due: None,
        },
    );
    bench
}

fn whys(bench: &Bench, subject: &Subject) -> Vec<String> {
    let verdict = bench.verdict_for(Some("ada"));
    let about = verdict.refusals().iter().filter(|found| found.number == 11 && found.subject == *subject);
    about.map(|found| found.why.clone()).collect()
}

#[test]
fn refusal_11_lives_are_judged_against_the_totals_read_at_this_annual() {
    let harness = Subject::LifeItem("harness".into());
    let hours = |text: &str| ReadingValue::Number { quantity: quantity(text) };
    let mut bench = asking_for_totals();
    assert_eq!(whys(&bench, &harness), Vec::<String>::new(), "1200.5 h by the record, 1300 h allowed");
    bench.read("records.times", "hours", hours("1300.5 h"), None);
    let [why] = &whys(&bench, &harness)[..] else { panic!("one reason") };
    assert!(why.contains("1300.5 h"), "{why}");
    let mut bench = asking_for_totals();
    bench.read("records.times", "launches", ReadingValue::Count { count: 1001 }, None);
    let [why] = &whys(&bench, &harness)[..] else { panic!("one reason") };
    assert!(why.contains("1001"), "{why}");
    assert_eq!(whys(&asking_for_totals(), &Subject::Step("records.times".into())), Vec::<String>::new());
}

#[test]
fn refusal_11_a_total_below_the_record_needs_a_note() {
    let times = Subject::Step("records.times".into());
    let mut bench = asking_for_totals();
    // 90.5 h is what is left of 1290.5 h when the first digits are lost.
    bench.read("records.times", "hours", ReadingValue::Number { quantity: quantity("90.5 h") }, None);
    let [why] = &whys(&bench, &times)[..] else { panic!("one reason") };
    assert!(why.contains("90.5 h") && why.contains("1200.5 h"), "{why}");
    let note = "the record carried another airframe's hours";
    bench.done("ada", Request::Note { step: Some("records.times".into()), text: note.into() });
    assert_eq!(whys(&bench, &times), Vec::<String>::new());
}

#[test]
fn refusal_7_an_instrument_of_another_kind_is_not_recorded() {
    let mut bench = Bench::new();
    let tyre_gauge =
        bench.instruments.0.iter().find(|found| found.id == "gauge").cloned().map(|mut found| {
            found.id = "tyre-gauge".into();
            found.unit = spanwise::quantity::Unit::Bar;
            found
        });
    bench.instruments.0.extend(tyre_gauge);
    let read = |instrument: &str| Request::Read {
        step: "wing.play".into(),
        measure: "play".into(),
        value: ReadingValue::Number { quantity: quantity("0.2 mm") },
        instrument: Some(instrument.into()),
        corrects: None,
        why: None,
    };
    let declined = bench.ask("ada", read("tyre-gauge")).err().map(|declined| declined.why);
    assert!(declined.as_ref().is_some_and(|why| why.contains("bar") && why.contains("mm")), "{declined:?}");
    bench.done("ada", read("gauge"));
}

#[test]
fn refusal_8_the_person_who_rectified_is_no_second_person() {
    let mut bench = complete();
    bench.correct("rudder.connect", Failed, "looked again");
    bench.done("ada", defect(Some("rudder.connect"), Severity::Minor));
    bench.done("ada", dispose(Disposition::Rectify, None));
    bench.done("bo", rectify(true));
    bench.answer("rudder.connect", Passed);
    bench.inspect("bo");
    assert_eq!(bench.refused(), vec![8], "bo did the work");
    bench.inspect("di");
    assert_eq!(bench.refused(), Vec::<u8>::new());
}

#[test]
fn an_empty_file_is_no_evidence() {
    let mut bench = Bench::new();
    let add = |bytes| Request::AddEvidence {
        step: Some("fin.look".into()),
        demand: Some("photo".into()),
        defect: None,
        sha256: format!("{:064x}", 1),
        bytes,
        name: "photo.jpg".into(),
    };
    assert!(bench.ask("ada", add(0)).is_err_and(|declined| declined.why.contains("empty")));
    assert!(bench.ask("ada", add(1)).is_ok());
}
