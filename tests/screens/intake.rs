//! What an annual opens with, reports that come in, and another plan, on the screens.

use spanwise::command::Place;
use spanwise::screen::Start;
use spanwise::screen::desk::{Earlier, Wish};

use crate::fake::FakeDesk;
use crate::hand::Hand;

const DEFECTS: &str = r#"
[deferral]
not_on = ["fin"]
source = "invented rules"

[[defect]]
id = "2025-11-20-d1"
what = "play in the rudder hinge"
component = "fin"
severity = "minor"
standing = "deferred"
found = 2025-11-20
until = 2026-11-01
step = "controls.rudder"
session = "00112233445566778899aabbccddeeff"
session_defect = "d1"

[[defect]]
id = "2025-11-20-d2"
what = "placard faded"
component = "cockpit"
severity = "minor"
standing = "deferred"
found = 2025-11-20
until = 2027-01-31
"#;

fn opened() -> FakeDesk {
    let mut desk = FakeDesk::with_record("", DEFECTS).with_defects_of_the_record().opened();
    desk.earlier = Some(Earlier {
        label: "annual signed on 2025-11-20".into(),
        steps: [("controls.rudder".to_string(), vec!["failed by Ines Marlow".to_string()])].into(),
        failed: [("controls.rudder".to_string(), "failed, not worked again".to_string())].into(),
    });
    desk
}

#[test]
fn an_overdue_deferral_grounds_in_the_head_of_every_screen_and_is_told_with_its_limit() {
    let mut hand = Hand::with(opened(), Start::Worksheet);
    for key in ["1", "2", "3", "4", "5", "6"] {
        assert!(hand.keys(key).sees("NOT AIRWORTHY"), "{key}");
    }
    let defects = hand.keys("2").picture();
    assert!(defects.contains("OVERDUE, undecided"), "{defects}");
    assert!(defects.contains("undecided; was deferred"), "{defects}");
    hand.size = (140, 45);
    assert!(hand.sees("OVERDUE: it was deferred until 2026-11-01"));
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn the_decide_form_says_that_and_why_nothing_may_be_deferred() {
    let mut hand = Hand::with(opened(), Start::Worksheet);
    let form = hand.keys("2<Home>a").picture();
    assert!(form.contains("No deferral") && form.contains("NOT allowed here"), "{form}");
    insta::assert_snapshot!(form);
}

#[test]
fn records_tell_what_is_carried_forward() {
    let mut hand = Hand::with(opened(), Start::Worksheet);
    hand.size = (140, 45);
    let records = hand.keys("3<End>").picture();
    assert!(records.contains("Carried forward") && records.contains("failed last time"), "{records}");
    insta::assert_snapshot!(records);
}

#[test]
fn the_step_that_failed_is_marked_and_earlier_readings_stand_beside_the_new_field() {
    let mut hand = Hand::with(opened(), Start::Worksheet);
    hand.size = (140, 45);
    assert!(hand.keys("<End>").sees("↩ failed last time"));
    let form = hand.keys("ra").picture();
    assert_eq!(hand.app.key_place(), Place::Form);
    assert!(form.contains("before: 1.8 mm on 2025-11-20") && form.contains("limit: "), "{form}");
}

#[test]
fn a_new_report_is_written_and_its_plan_is_shown_before_it_is_taken_up() {
    let mut hand = Hand::with(FakeDesk::at_work(), Start::Worksheet);
    hand.keys("3p");
    assert!(hand.sees("noise from the tail or the fin (tail-noise)"));
    hand.keys("2");
    assert!(hand.sees("New report: noise from the tail or the fin"));
    hand.keys("Ticking again<C-s>");
    let wish = hand.desk.wishes.last().cloned();
    let Some(Wish::NewReport(report)) = wish else { panic!("{wish:?}") };
    assert_eq!((report.kind.as_str(), report.text.as_str()), ("tail-noise", "Ticking again"));
    assert_eq!(report.date.to_string(), "2026-11-25");
    assert!(hand.sees("Take up the changed plan?") && hand.sees("new tail.look"));
    hand.keys("<C-s>");
    assert!(hand.sees("no reason is given"));
    hand.keys("came in today<C-s>");
    assert_eq!(hand.desk.wishes.last(), Some(&Wish::TakeUp { why: "came in today".into() }));
    // Looked for again, nothing is left to take up.
    hand.keys("v");
    assert!(hand.message().contains("the plan would be the same as now"), "{}", hand.message());
}

#[test]
fn the_hangar_shows_why_an_airframe_is_on_the_ground() {
    let mut desk = FakeDesk::new();
    desk.ground("d1 crack at the fin root: referred to a repairer");
    let mut hand = Hand::with(desk, Start::Hangar);
    let picture = hand.keys("<Home>").picture();
    assert_eq!(picture.matches("NOT AIRWORTHY: d1 crack").count(), 2, "airframe and session: {picture}");
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.picture());
}
