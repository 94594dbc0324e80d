//! The Replay screen: what it shows, and the ways through a record.

use spanwise::checklist::{Configuration, Severity};
use spanwise::command::Place;
use spanwise::event::StepResult;
use spanwise::screen::{App, Look, Start, Target};
use spanwise::session::{NewDefect, Request};

use crate::fake::FakeDesk;
use crate::hand::Hand;

fn answer(step: &str, result: StepResult, why: Option<&str>) -> Request {
    Request::Answer { step: step.into(), result, reason: None, why: why.map(ToString::to_string) }
}

/// Entries 0 to 10: opened, failed, corrected, configuration, pause, resumed, note, failed, defect, reading, passed.
fn recorded() -> FakeDesk {
    let mut desk = FakeDesk::at_work();
    desk.record(answer("intake.papers", StepResult::Failed, None));
    desk.record(answer("intake.papers", StepResult::Passed, Some("the placard was behind the seat")));
    desk.record(Request::Confirm(Configuration::parse("support=trestles, tailplane=off").expect("sound")));
    desk.record(Request::Pause { note: Some("tea".into()) });
    desk.record(Request::Resume);
    desk.record(Request::Note { step: Some("fin.flex".into()), text: "helper is late".into() });
    desk.record(answer("fin.skin", StepResult::Failed, None));
    desk.record(Request::RaiseDefect(NewDefect {
        step: Some("fin.skin".into()),
        what: "crack across the fibres at the fin root".into(),
        component: Some("fin".into()),
        side: Some("left".into()),
        station_mm: "4250".parse().ok(),
        severity: Severity::Grounding,
    }));
    desk.record(Request::Read {
        step: "controls.rudder".into(),
        measure: "play".into(),
        value: spanwise::event::ReadingValue::Number {
            quantity: spanwise::quantity::Quantity::parse("3.4 mm").expect("a quantity"),
        },
        instrument: Some("dg-2".into()),
        corrects: None,
        why: None,
    });
    desk.record(answer("controls.rudder", StepResult::Passed, None));
    desk
}

fn opened() -> Hand {
    let mut hand = Hand::with(recorded(), Start::Worksheet);
    hand.keys("7");
    assert_eq!(hand.app.place(), Place::Replay);
    hand
}

#[test]
fn entries() {
    let mut hand = opened();
    insta::assert_snapshot!(hand.keys("<Home>c").picture());
}

#[test]
fn entries_wide() {
    let mut hand = opened();
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.keys("<Up>").picture());
}

#[test]
fn pause_with_its_code() {
    let mut hand = opened();
    insta::assert_snapshot!(hand.keys("<Home>p").picture());
}

#[test]
fn story() {
    let mut hand = Hand::with(recorded(), Start::Worksheet);
    hand.keys("<Home>h");
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn story_wide() {
    let mut hand = opened();
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.keys("<Enter>").picture());
}

#[test]
fn worksheet_of_a_moment() {
    let mut hand = opened();
    insta::assert_snapshot!(hand.keys("g1<Enter><Tab>").picture());
}

#[test]
fn worksheet_of_a_moment_wide() {
    let mut hand = opened();
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.keys("g7<Enter><Tab>").picture());
}

#[test]
fn without_colour_and_unicode() {
    let desk = recorded();
    let app = App::new(Start::Worksheet, Look { colour: false, ascii: true, ..Look::default() }, &desk);
    let mut hand = Hand { app, desk, size: (80, 24) };
    let picture = hand.keys("7<Home>f").picture();
    assert!(picture.is_ascii(), "{picture}");
    assert!(picture.contains("Entry 1: intake.papers: failed"), "{picture}");
}

#[test]
fn a_narrow_window_shows_the_selected_entry() {
    let mut hand = opened();
    hand.size = (40, 12);
    assert!(hand.keys("<Home>").sees("Entry 0"));
}

#[test]
fn jumps_of_every_kind() {
    let mut hand = opened();
    hand.keys("<Home>");
    for (key, entries) in
        [("f", &[1, 7][..]), ("c", &[2]), ("k", &[3]), ("p", &[4, 5]), ("d", &[8]), ("r", &[9])]
    {
        hand.keys("<Home>").keys(key);
        assert_eq!(hand.app.selected(), entries[0], "{key}");
        for entry in &entries[1..] {
            hand.keys("<Right>");
            assert_eq!(hand.app.selected(), *entry, "{key}");
        }
        for entry in entries.iter().rev().skip(1) {
            hand.keys("<Left>");
            assert_eq!(hand.app.selected(), *entry, "{key}");
        }
    }
    hand.keys("<Home>v");
    assert_eq!((hand.message(), hand.app.selected()), ("no change of the plan after this entry", 0));
    hand.keys("o");
    assert_eq!(hand.message(), "no signature after this entry");
    hand.keys("a<Right>");
    assert_eq!(hand.app.selected(), 1, "every entry again");
}

#[test]
fn searching_goes_round() {
    let mut hand = opened();
    hand.keys("<Home>/skin and root<Enter>");
    assert_eq!(hand.app.selected(), 7, "by the step's title");
    assert_eq!(hand.message(), "\"skin and root\": 1 of 2; n next, b before");
    hand.keys("n");
    assert_eq!(hand.app.selected(), 8);
    hand.keys("n");
    assert_eq!(hand.app.selected(), 7, "around the end");
    hand.keys("b");
    assert_eq!(hand.app.selected(), 8);
    hand.keys("/no such thing<Enter>");
    assert_eq!(hand.message(), "no entry contains \"no such thing\"");
    assert!(hand.app.drafts().is_empty(), "a search is no draft");
}

#[test]
fn going_to_an_entry_and_to_a_step() {
    let mut hand = opened();
    hand.keys("g3<Enter>");
    assert_eq!(hand.app.selected(), 3);
    hand.keys("g99<Enter>");
    assert_eq!(hand.message(), "there is no entry 99; the last one is 10");
    hand.keys("gx<Enter>");
    assert!(hand.message().contains("no number of an entry"), "{}", hand.message());
    hand.keys("tpapers<Enter>");
    assert!(hand.sees("only intake.papers") && hand.sees("FAILED, entry"));
    hand.keys("tfin<Enter>");
    assert!(hand.message().contains("steps contain \"fin\""), "{}", hand.message());
    hand.keys("<Esc>");
    assert_eq!(hand.app.place(), Place::Replay);
    assert!(!hand.sees("only intake.papers"), "Esc leaves the story first");
    hand.keys("<Esc>");
    assert_eq!(hand.app.place(), Place::Worksheet);
}

#[test]
fn the_worksheet_follows_through_time_and_records_nothing() {
    let mut hand = opened();
    let before = hand.desk.state().clone();
    hand.keys("g1<Enter><Tab>");
    assert_eq!(hand.app.place(), Place::ReplaySheet);
    assert!(hand.sees("▶✗ failed") && hand.sees("as it stood after entry 1"));
    hand.keys("<Right>");
    assert!(hand.sees("▶✓ passed") && hand.sees("as it stood after entry 2"));
    hand.keys("<Left><Left>");
    assert!(hand.sees("as it stood after entry 0") && hand.sees("○ open"));
    // Keys that answer on the worksheet look for something here.
    hand.keys("pfxn");
    assert_eq!(*hand.desk.state(), before);
    assert!(hand.sees("as it stood after entry 7"), "the failure after the pause");
    hand.keys("<Enter>");
    assert!(hand.sees("only "), "the story of the selected step");
    hand.keys("<Esc><Esc>1");
    assert_eq!(hand.app.place(), Place::Worksheet);
}

#[test]
fn a_running_session_is_followed_when_it_has_grown() {
    let mut hand = opened();
    assert_eq!(hand.app.selected(), 10);
    hand.keys("1<Home>");
    hand.desk.record(Request::Note { step: None, text: "one more".into() });
    hand.keys("7<End>");
    assert_eq!(hand.app.selected(), 11);
    assert!(hand.sees("one more"));
}

#[test]
fn paused_and_closed_sessions_can_be_looked_back_on() {
    let mut desk = recorded();
    desk.record(Request::Pause { note: None });
    desk.read_only = Some("signed and closed".into());
    let mut hand = Hand::with(desk, Start::Worksheet);
    hand.keys("7");
    assert_eq!(hand.app.place(), Place::Replay);
    assert!(hand.sees("Entry 11: paused") && hand.sees("code on paper"));
}

#[test]
fn the_mouse_selects_an_entry_and_takes_its_story() {
    let mut hand = opened();
    hand.keys("<Home>");
    hand.click(Target::Item(2));
    assert_eq!(hand.app.selected(), 2);
    hand.click(Target::Item(2));
    assert!(hand.sees("only intake.papers"));
}
