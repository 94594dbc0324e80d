//! "From paper": the lines of a printed sheet, typed in one after the other.

use crossterm::event::MouseEventKind;
use spanwise::command::Place;
use spanwise::screen::{App, Look, Start, Target};
use spanwise::session::Request;
use spanwise::state::StepStanding;

use crate::hand::Hand;

/// The head told: this session's sheet, written by whoever works, today.
fn opened(hand: &mut Hand) -> String {
    let code = hand.desk.printed();
    hand.keys("m");
    hand.keys(&code).keys("<C-s>");
    assert!(hand.sees("From paper: sheet"), "{}", hand.picture());
    code
}

/// Goes to the row that bears this title.
fn go_to(hand: &mut Hand, title: &str) {
    for _ in 0..60 {
        let picture = hand.picture();
        let here = picture.lines().find(|line| line.trim_start().starts_with('▶')).unwrap_or_default();
        if here.contains(title) {
            return;
        }
        hand.keys("<Down>");
    }
    panic!("no row \"{title}\": {}", hand.picture());
}

#[test]
fn the_head_asks_for_sheet_person_and_day() {
    let mut hand = Hand::at_work();
    hand.keys("m");
    insta::assert_snapshot!(hand.picture());
    hand.keys("KKKKKKKK99<C-s>");
    assert!(hand.sees("check digits do not fit"), "{}", hand.picture());
    assert_eq!(hand.app.key_place(), Place::Form, "what was typed stays");
}

#[test]
fn rows_are_typed_in_the_order_of_the_sheet_and_saved_together() {
    let mut hand = Hand::at_work();
    let code = opened(&mut hand);
    go_to(&mut hand, "Papers");
    hand.keys("p all there<Enter>");
    insta::assert_snapshot!(hand.picture().replace(&code, "CODE-CODE-00"));
    hand.keys("<C-s>");
    assert!(hand.message().contains("from paper"), "{}", hand.message());
    assert_eq!(hand.desk.state().standing("intake.papers"), StepStanding::Passed);
    let stamp = hand
        .desk
        .state()
        .step("intake.papers")
        .and_then(|step| step.answer())
        .map(|answer| answer.stamp.clone());
    let paper = stamp.and_then(|stamp| stamp.paper).expect("it came from paper");
    assert_eq!((paper.sheet, paper.written_by.id), (code, "ines".to_string()));
    hand.keys("<Home>");
    assert!(hand.sees("from paper, written 2026-11-25 by Ines Marlow"), "{}", hand.picture());
}

#[test]
fn a_large_window_shows_more_rows_and_what_the_record_has() {
    let mut hand = Hand::at_work();
    let code = hand.desk.printed();
    hand.desk.record(Request::Answer {
        step: "intake.papers".into(),
        result: spanwise::event::StepResult::Passed,
        reason: None,
        why: None,
    });
    hand.size = (140, 45);
    hand.keys("m").keys(&code).keys("<C-s>");
    insta::assert_snapshot!(hand.picture().replace(&code, "CODE-CODE-00"));
}

#[test]
fn a_faulty_row_is_gone_to_and_nothing_is_recorded() {
    let mut hand = Hand::at_work();
    opened(&mut hand);
    go_to(&mut hand, "Papers");
    hand.keys("zz");
    assert!(hand.sees("\"zz\" is no result"), "{}", hand.picture());
    hand.keys("<PgDn><C-s>");
    assert!(hand.message().contains("not recorded") && hand.message().contains("zz"), "{}", hand.message());
    assert!(hand.picture().lines().any(|line| line.contains('▶') && line.contains("Papers")));
    assert_eq!(hand.desk.state().standing("intake.papers"), StepStanding::Open);
    hand.keys("<Bs><Bs>p<C-s>");
    assert_eq!(hand.desk.state().standing("intake.papers"), StepStanding::Passed);
}

#[test]
fn a_click_goes_to_a_row_and_the_wheel_goes_on() {
    let mut hand = Hand::at_work();
    opened(&mut hand);
    hand.click(Target::Field(3));
    hand.keys("t wet");
    assert!(hand.picture().lines().any(|line| line.contains('▶') && line.contains("t wet")));
    hand.mouse(MouseEventKind::ScrollDown, 5, 5);
    assert!(!hand.picture().lines().any(|line| line.contains('▶') && line.contains("t wet")));
}

#[test]
fn what_is_typed_is_lost_neither_by_leaving_nor_by_a_crash_nor_by_a_full_disk() {
    let mut hand = Hand::at_work();
    let code = opened(&mut hand);
    go_to(&mut hand, "Papers");
    hand.keys("p all there");
    hand.desk.disk_is_full = true;
    hand.keys("<C-s>");
    assert!(hand.sees("p all there") && hand.message().contains("NOT RECORDED"), "{}", hand.picture());
    hand.desk.disk_is_full = false;
    hand.keys("<Esc>");
    assert!(hand.message().contains("kept as a draft"), "{}", hand.message());
    hand.keys("m").keys(&code).keys("<C-s>");
    assert!(hand.sees("p all there"), "{}", hand.picture());
    // The program ends without a word; the next run has the rows again.
    let kept = hand.desk.unsaved.clone().expect("kept");
    let mut later = Hand::at_work();
    later.desk.unsaved = Some(kept);
    later.app = App::new(Start::Worksheet, Look::default(), &later.desk);
    assert!(later.message().contains("rows of sheet"), "{}", later.message());
    later.keys("m").keys(&code).keys("<C-s>");
    go_to(&mut later, "Papers");
    assert!(later.sees("p all there"), "{}", later.picture());
}
