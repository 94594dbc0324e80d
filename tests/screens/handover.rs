//! The Hand-over screen, from keys: choosing, the brief under its caution, openings checked and drawn, writing.

use spanwise::screen::desk::Wish;
use spanwise::screen::{App, Look, Start};
use spanwise::session::Request;

use crate::fake::FakeDesk;
use crate::hand::Hand;

/// A grounding defect referred to the repairer, and a minor one.
fn desk() -> FakeDesk {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down>fcrack at the fin root<Enter>");
    hand.keys("3<Enter>fin<Enter>1<Enter>4250<C-s>2a2<Enter><Enter>to the repairer<C-s>");
    hand.keys("dscratch<Enter>1<C-s>");
    assert_eq!(hand.desk.state().defects.len(), 2, "{}", hand.picture());
    hand.desk
}

fn at_work() -> Hand {
    let mut hand = Hand::with(desk(), Start::Worksheet);
    hand.keys("0");
    hand
}

fn wide() -> Hand {
    let mut hand = at_work();
    hand.size = (140, 45);
    hand
}

/// Component, left side, stations, heights, saved.
fn propose(hand: &mut Hand, station: &str, height: &str) {
    hand.keys("o<Tab>1<Tab>");
    hand.keys(station).keys("<Tab>").keys(height).keys("<C-s>");
}

#[test]
fn the_brief_at_80_by_24() {
    insta::assert_snapshot!(at_work().picture());
}

#[test]
fn the_brief_at_140_by_45() {
    insta::assert_snapshot!(wide().picture());
}

#[test]
fn an_opening_that_cuts_at_140_by_45() {
    let mut hand = wide();
    propose(&mut hand, "4190..4210", "100..200");
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn an_opening_in_ascii_at_80_by_24() {
    let desk = desk();
    let app = App::new(Start::Worksheet, Look { colour: false, ascii: true }, &desk);
    let mut hand = Hand { app, desk, size: (80, 24) };
    hand.keys("0");
    propose(&mut hand, "4190..4210", "100..200");
    let picture = hand.picture();
    assert!(picture.is_ascii(), "{picture}");
    insta::assert_snapshot!(picture);
}

#[test]
fn the_caution_stands_on_every_page_of_the_brief() {
    let mut hand = at_work();
    let mut pages = 0;
    let mut before = String::new();
    loop {
        let picture = hand.picture();
        assert!(picture.contains("CAUTION: For an approved composite repairer"), "{picture}");
        if picture == before {
            break;
        }
        before = picture;
        pages += 1;
        hand.keys("<PgDn>");
    }
    assert!(pages > 4, "{pages}");
    assert!(before.contains("After the repair the steps fin.skin are worked again"), "{before}");
}

#[test]
fn referred_defects_are_chosen_at_first_and_space_chooses() {
    let mut hand = wide();
    assert!(hand.sees("The brief: 1 defect, 0 openings"), "{}", hand.picture());
    assert!(hand.sees("[x] ✗ d1") && hand.sees("[ ] ? d2"), "{}", hand.picture());
    hand.keys("<Down><Down> ");
    assert!(hand.sees("The brief: 2 defects") && hand.message() == "d2: handed over");
    hand.keys("<Up> ");
    assert!(hand.sees("The brief: 1 defect,") && hand.sees("[ ] ✗ d1"), "{}", hand.picture());
    hand.keys("<Down> ");
    hand.keys("<Home>");
    assert!(hand.sees("no defect is chosen"), "{}", hand.picture());
    hand.keys("b");
    assert!(hand.message().contains("no defect is chosen"), "{}", hand.message());
    hand.keys("a");
    assert!(hand.sees("The brief: 2 defects"));
    hand.keys("a");
    assert!(hand.sees("The brief: 1 defect,"));
}

#[test]
fn an_opening_is_judged_while_it_is_typed_and_kept_in_the_brief() {
    let mut hand = wide();
    hand.keys("o<Tab>1<Tab>4190..4210<Tab>100..200");
    assert!(hand.sees("✗ CUTS, or may cut, 1 hidden item"), "{}", hand.picture());
    hand.keys("<C-s>");
    assert_eq!(hand.message(), "cuts, or may cut: fin, left, stations 4190..4210 mm, heights 100..200 mm");
    assert!(hand.sees("in the way") && hand.sees("opening") && hand.sees("margin"), "{}", hand.picture());
    propose(&mut hand, "4300..4400", "100..200");
    assert!(hand.message().starts_with("clear by the type's data"), "{}", hand.message());
    hand.keys("<Home>");
    assert!(hand.sees("The brief: 1 defect, 2 openings"), "{}", hand.picture());
    hand.keys("<End>x");
    assert!(hand.message().starts_with("taken out of the brief"), "{}", hand.message());
    hand.keys("<Home>");
    assert!(hand.sees("1 opening"), "{}", hand.picture());
}

/// The rib stands at 4200..4205 mm, known to 5 mm; with a margin of 20 mm an opening must end at 4175 mm.
#[test]
fn tolerance_and_margin_count() {
    for (station, margin, word) in [
        ("4100..4175", "", "clear by the type's data"),
        ("4100..4175.1", "", "too near"),
        ("4100..4175.1", "19", "clear by the type's data"),
        ("4100..4195", "", "cuts, or may cut"),
    ] {
        let mut hand = wide();
        hand.keys("o<Tab>1<Tab>").keys(station).keys("<Tab>100..200<Tab>").keys(margin).keys("<C-s>");
        assert!(hand.message().starts_with(word), "{station} {margin}: {}", hand.message());
    }
}

#[test]
fn where_the_data_are_missing_nothing_is_called_clear() {
    let mut hand = wide();
    // Both skins: only the left one is mapped.
    hand.keys("o<Tab><Tab>4300..4400<Tab>100..200<C-s>");
    assert!(hand.message().starts_with("cannot tell"), "{}", hand.message());
    assert!(hand.sees("? cannot tell") && hand.sees("CANNOT TELL"), "{}", hand.picture());
    propose(&mut hand, "5000..5100", "100..200");
    assert!(hand.message().starts_with("cannot tell"), "{}", hand.message());
}

#[test]
fn what_is_no_opening_stays_in_the_form_with_the_reason() {
    let mut hand = wide();
    propose(&mut hand, "4400..4300", "100..200");
    assert!(hand.sees("the smaller value comes first") && hand.sees("4400..4300"), "{}", hand.picture());
    hand.keys("<Esc>");
    assert_eq!(hand.app.drafts(), ["proposed opening"]);
}

#[test]
fn the_brief_is_written_to_a_new_file_and_the_hand_over_is_recorded() {
    let mut hand = wide();
    propose(&mut hand, "4190..4210", "100..200");
    hand.keys("b<C-u>taken.txt<C-s>");
    assert!(
        hand.sees("the file is not written: taken.txt: something of that name is there"),
        "{}",
        hand.picture()
    );
    assert!(hand.desk.state().notes.is_empty(), "nothing is recorded of a file that is not there");
    hand.keys("<C-u>brief.txt<Tab>3<C-s>");
    assert!(hand.message().starts_with("the brief is in brief.txt; the note: saved"), "{}", hand.message());
    let text = hand.desk.wishes.iter().rev().find_map(|wish| match wish {
        Wish::WriteFile { path, text } if path == "brief.txt" => Some(text.clone()),
        _ => None,
    });
    let text = text.expect("written");
    assert!(
        text.contains("CAUTION: For an approved composite repairer") && text.contains("fin-rib-1"),
        "{text}"
    );
    let note = &hand.desk.state().notes.last().expect("a note").what;
    assert!(note.contains("d1 by the brief \"brief.txt\""), "{note}");
    assert!(note.contains(&spanwise::handover::brief_sha256(&text)), "{note}");
    assert!(note.contains("stations 4190..4210 mm, heights 100..200 mm (margin 20 mm): cuts"), "{note}");
    let evidence = &hand.desk.state().evidence.last().expect("evidence").what;
    assert_eq!((evidence.defect.as_deref(), evidence.name.as_str()), (Some("d1"), "brief.txt"));
}

#[test]
fn a_session_that_is_shown_only_gets_the_file_and_no_entry() {
    let mut desk = desk();
    desk.read_only = Some("signed and closed".into());
    let mut hand = Hand::with(desk, Start::Worksheet);
    hand.size = (140, 45);
    hand.keys("0b<C-u>brief.txt<C-s>");
    assert!(hand.sees("the hand-over cannot be recorded"), "{}", hand.picture());
    hand.keys("<Tab>1<C-s>");
    assert_eq!(hand.message(), "the brief is in brief.txt");
}

#[test]
fn enter_goes_to_the_defect_and_a_session_without_one_says_so() {
    let mut hand = at_work();
    hand.keys("<Down><Down><Enter>");
    assert!(hand.sees("Defects") && hand.app.selected() == 1, "{}", hand.picture());
    let mut empty = Hand::at_work();
    empty.keys("0");
    assert!(empty.sees("none stands") && empty.sees("CAUTION"), "{}", empty.picture());
    empty.desk.record(Request::Pause { note: None });
    empty.keys("b x<Enter>");
}

#[test]
fn no_window_is_too_small() {
    for size in [(30, 10), (40, 12), (60, 16), (104, 20), (110, 30), (200, 60)] {
        let mut hand = at_work();
        hand.size = size;
        propose(&mut hand, "4190..4210", "100..200");
        hand.keys("<PgDn><PgDn><Home><PgDn>");
        assert!(!hand.picture().is_empty(), "{size:?}");
    }
}
