//! What falls due on the Records screen, and the forms that answer it.

use spanwise::event::DirectiveAnswer;
use spanwise::screen::Start;
use spanwise::screen::desk::Wish;
use spanwise::session::Request;

use crate::fake::FakeDesk;
use crate::hand::Hand;

/// The fake desk's airframe has 1204.5 h on 2026-11-25.
const PAPERS: &str = r#"
[[directive]]
id = "INV-2026-02"
title = "Airbrake lever lock (invented)"
serials = ["001..020"]
months = 24
hours = "150"
[[compliance]]
directive = "INV-2026-02"
on = 2025-11-20
hours = "1100"
[[directive]]
id = "INV-2026-03"
title = "Hinge (invented)"
serials = ["100.."]
[[life_item]]
id = "hose"
title = "Static hose"
manufactured = 2010-05-01
installed = 2012-05-01
from = "manufacture"
months = 120
"#;

fn hand() -> Hand {
    Hand::with(FakeDesk::with_record("expected_hours = \"100\"", PAPERS).opened(), Start::Worksheet)
}

#[test]
fn a_directive_with_an_interval() {
    insta::assert_snapshot!(hand().keys("3<Down><Down><Down>").picture());
}

#[test]
fn what_falls_due_before_the_next_annual_stands_at_the_end() {
    insta::assert_snapshot!(hand().keys("3<End>").picture());
}

#[test]
fn an_overdue_item_is_told() {
    let mut hand = hand();
    hand.keys("3<Down><Down><Down><Down><Down><Down>");
    for words in ["Static hose", "from manufacture", "2020-05-01", "OVERDUE"] {
        assert!(hand.sees(words), "{words}\n{}", hand.picture());
    }
}

/// The offered day is shown; left empty, none is sent and the session counts it.
#[test]
fn the_form_offers_the_next_due_day() {
    let mut hand = hand();
    hand.keys("3<Down><Down><Down><Enter>");
    assert!(hand.sees("also falls due at 1354.5 h"), "{}", hand.picture());
    hand.keys("1<Enter><Enter>");
    assert!(hand.sees("left empty: 2028-11-25, 24 months from the compliance today"), "{}", hand.picture());
    hand.keys("<C-s>");
    let wanted = Request::AnswerDirective {
        directive: "INV-2026-02".into(),
        answer: DirectiveAnswer::Complied,
        note: String::new(),
        next_due: None,
    };
    assert_eq!(hand.desk.wishes.last(), Some(&Wish::Record(wanted)));
}

#[test]
fn the_form_offers_why_it_does_not_apply() {
    let mut hand = hand();
    hand.keys("3<Down><Down><Down><Down><Enter>2");
    assert!(hand.sees("serial number 007 is not among 100.."), "{}", hand.picture());
    hand.keys("<C-s>");
    let told = hand.desk.state().directives.get("INV-2026-03").map(|told| told.what.note.clone());
    assert_eq!(told.as_deref(), Some("serial number 007 is not among 100.."));
}
