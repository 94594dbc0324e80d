//! One picture of each screen at 80×24, and of the busiest ones at 140×45.

use spanwise::checklist::Configuration;
use spanwise::event::{DirectiveAnswer, Disposition, StepResult};
use spanwise::screen::desk::Earlier;
use spanwise::screen::{App, Look, Start};
use spanwise::session::{NewDefect, Request};

use crate::fake::FakeDesk;
use crate::hand::{Hand, SERIES};

/// A session with a bit of everything recorded.
fn busy() -> Hand {
    let mut desk = FakeDesk::at_work();
    let answer = |step: &str, result, why: Option<&str>| Request::Answer {
        step: step.into(),
        result,
        reason: None,
        why: why.map(ToString::to_string),
    };
    desk.record(answer("intake.papers", StepResult::Failed, None));
    desk.record(answer("intake.papers", StepResult::Passed, Some("the placard was behind the seat")));
    desk.record(answer("fin.skin", StepResult::Failed, None));
    desk.record(Request::RaiseDefect(NewDefect {
        step: Some("fin.skin".into()),
        what: "crack across the fibres at the fin root".into(),
        component: Some("fin".into()),
        side: Some("left".into()),
        station_mm: "4250".parse().ok(),
        severity: spanwise::checklist::Severity::Grounding,
    }));
    desk.record(Request::DisposeDefect {
        defect: "d1".into(),
        disposition: Disposition::Refer,
        note: "to the repairer".into(),
        until: None,
    });
    let configuration = Configuration::parse("support=trestles, tailplane=on").expect("sound");
    desk.record(Request::Confirm(configuration));
    desk.record(Request::Note { step: Some("fin.flex".into()), text: "helper is late".into() });
    desk.record(Request::AnswerDirective {
        directive: "INV-2026-01".into(),
        answer: DirectiveAnswer::NotYetDue,
        note: String::new(),
        next_due: None,
    });
    Hand::with(desk, Start::Worksheet)
}

#[test]
fn hangar() {
    let mut hand = Hand::with(FakeDesk::new(), Start::Hangar);
    insta::assert_snapshot!(hand.keys("<Home>").picture());
}

#[test]
fn hangar_fault() {
    let mut hand = Hand::with(FakeDesk::new(), Start::Hangar);
    insta::assert_snapshot!(hand.keys("<Home><Down>").picture());
}

#[test]
fn worksheet() {
    let mut hand = Hand::at_work();
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn worksheet_with_struck_answer() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("<Home>").picture());
}

#[test]
fn worksheet_configuration() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("<Home><Down><Down><Down>").picture());
}

#[test]
fn worksheet_wide() {
    let mut hand = busy();
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.keys("<Home><Down><Down><Down>").picture());
}

#[test]
fn defects() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("2").picture());
}

#[test]
fn records() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("3<Down>").picture());
}

#[test]
fn sign_off() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("s").picture());
}

#[test]
fn sign_off_wide() {
    let mut hand = busy();
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.keys("s<Down>").picture());
}

#[test]
fn history() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("5").picture());
}

#[test]
fn findings() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("8").picture());
}

#[test]
fn findings_wide() {
    let mut hand = busy();
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.keys("8<Down>").picture());
}

#[test]
fn help() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("?").picture());
}

#[test]
fn defect_form() {
    let mut hand = Hand::at_work();
    insta::assert_snapshot!(hand.keys("<Down><Down>f").picture());
}

#[test]
fn reading_form() {
    let mut hand = Hand::at_work();
    insta::assert_snapshot!(hand.keys("<End>ra").keys("3.4").picture());
}

#[test]
fn series_table() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down><Down>r");
    hand.keys("50<Enter>1.2<Enter>100<Enter>2.4<Enter>150<Enter>3.7<Enter>100<Enter>");
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn who_works() {
    let mut hand = Hand::at_work();
    insta::assert_snapshot!(hand.keys("w").picture());
}

#[test]
fn without_colour_and_unicode() {
    let desk = FakeDesk::at_work();
    let look = Look { colour: false, ascii: true };
    let mut hand = Hand::with(desk, Start::Worksheet);
    hand.app = App::new(Start::Worksheet, look, &hand.desk);
    let (terminal, _) = hand.look();
    let buffer = terminal.backend().buffer();
    for cell in &buffer.content {
        assert!(cell.symbol().is_ascii(), "{:?} is no plain sign", cell.symbol());
        assert_eq!(cell.fg, ratatui::style::Color::Reset, "no colour is set");
        assert_eq!(cell.bg, ratatui::style::Color::Reset, "no colour is set");
    }
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn correction_form() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("<Home>f").picture());
}

#[test]
fn decision_form() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("2a").picture());
}

#[test]
fn second_inspection_form() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("<End>pirudder circuit<Enter>12").picture());
}

#[test]
fn step_out_of_configuration() {
    let mut hand = busy();
    insta::assert_snapshot!(hand.keys("<Home><Down><Down><Down>p").picture());
}

/// Everything answered but for the grounding defect: only "completed, not airworthy" can be signed.
#[test]
fn signing_as_not_airworthy() {
    let mut hand = busy();
    hand.keys("<Home><Down><Down>r1<C-s>e/a/root.jpg<Enter><Enter>ok1p").keys(SERIES);
    hand.keys("oxno opening without cutting<Enter>ora2.0<Enter>1<Enter>rb30<Enter>30<Enter>p");
    hand.keys("w2irudder circuit<Enter>1234<Enter>1<Enter>four words<Enter>w1");
    hand.keys("3<Home><Down><Enter>not about the structure<Enter><Down><Down><Enter>1<C-s>");
    hand.keys("s<Home><Down><Enter>");
    insta::assert_snapshot!(hand.picture());
    hand.keys("X-LARK<Enter>four words<Enter>");
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn a_whole_series_judged() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down><Down>").keys(SERIES.trim_end_matches("<Enter>2<Enter>1<Enter>"));
    insta::assert_snapshot!(hand.picture());
    hand.size = (140, 45);
    hand.keys("<C-s>");
    insta::assert_snapshot!(hand.picture());
}

/// The annual before stands at the step, and nothing at a step of which it said nothing.
#[test]
fn worksheet_with_last_time() {
    let mut desk = FakeDesk::at_work();
    let lines = ["passed by Ines Marlow on 2025-11-20 10:40", "note: the left skin looks new (invented)"];
    desk.earlier = Some(Earlier {
        label: "annual signed on 2025-11-20".into(),
        steps: [("fin.flex".to_string(), lines.map(ToString::to_string).to_vec())].into(),
        failed: [("fin.flex".to_string(), "failed, passed after the rectification".to_string())].into(),
    });
    let mut hand = Hand::with(desk, Start::Worksheet);
    hand.size = (140, 45);
    assert!(!hand.keys("<Home>").picture().contains("Last time"));
    insta::assert_snapshot!(hand.keys("<Down><Down><Down>").picture());
}
