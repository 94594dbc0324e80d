//! Defects on the picture of the airframe: below the words, over the screen, while they are typed.

use spanwise::checklist::Severity;
use spanwise::screen::{App, Look, Start};
use spanwise::session::{NewDefect, Request};

use crate::fake::FakeDesk;
use crate::hand::Hand;

fn raise(desk: &mut FakeDesk, component: &str, side: Option<&str>, station: Option<&str>) {
    desk.record(Request::RaiseDefect(NewDefect {
        step: None,
        what: "crack in the gelcoat".into(),
        component: Some(component.into()),
        side: side.map(Into::into),
        station_mm: station.and_then(|text| text.parse().ok()),
        severity: Severity::Major,
    }));
}

/// One of each kind: at a point, without a station, at the same place as another, off the airframe, unknown words.
fn damaged(mut desk: FakeDesk) -> Hand {
    raise(&mut desk, "fin root", Some("left"), Some("4250"));
    raise(&mut desk, "left wing", None, None);
    raise(&mut desk, "fin root", Some("right"), Some("4255"));
    raise(&mut desk, "tail boom", Some("right"), Some("9400"));
    raise(&mut desk, "gubbins", None, Some("-1200"));
    Hand::with(desk, Start::Worksheet)
}

fn plain(hand: &mut Hand) {
    hand.app = App::new(Start::Worksheet, Look { colour: false, ascii: true, ..Look::default() }, &hand.desk);
}

#[test]
fn below_the_words_of_a_defect() {
    let mut hand = damaged(FakeDesk::at_work());
    insta::assert_snapshot!(hand.keys("2").picture());
    insta::assert_snapshot!(hand.keys("<Down>").picture());
}

#[test]
fn below_the_words_of_the_only_defect() {
    let mut desk = FakeDesk::at_work();
    raise(&mut desk, "tailplane", Some("left"), Some("4400"));
    let mut hand = Hand::with(desk, Start::Worksheet);
    insta::assert_snapshot!(hand.keys("2").picture());
}

#[test]
fn below_the_words_wide() {
    let mut hand = damaged(FakeDesk::at_work());
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.keys("2").picture());
    insta::assert_snapshot!(hand.keys("<Down><Down><Down>").picture());
}

#[test]
fn all_defects_over_the_screen() {
    let mut hand = damaged(FakeDesk::at_work());
    insta::assert_snapshot!(hand.keys("2v").picture());
    // The same key turns it, Esc leads back.
    insta::assert_snapshot!(hand.keys("v").picture());
    assert!(hand.keys("v").sees("from the left"));
    assert!(hand.keys("<Esc>").sees("1 of 5"));
}

#[test]
fn all_defects_wide() {
    let mut hand = damaged(FakeDesk::at_work());
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.keys("2v").picture());
}

#[test]
fn all_defects_without_colour_and_unicode() {
    let mut hand = damaged(FakeDesk::at_work());
    plain(&mut hand);
    let picture = hand.keys("2<Down>v").picture();
    assert!(picture.is_ascii(), "{picture}");
    insta::assert_snapshot!(picture);
}

#[test]
fn a_type_without_an_outline_is_drawn_by_component_only() {
    let mut hand = damaged(FakeDesk::at_work().without_outline());
    let picture = hand.keys("2v").picture();
    assert!(picture.contains("not to scale: the type file has no outline"), "{picture}");
    insta::assert_snapshot!(picture);
}

#[test]
fn the_form_tells_where_a_typed_station_lies() {
    let mut hand = Hand::at_work();
    hand.keys("2dcrack<Tab><Tab>fin<Tab><Tab>4250");
    assert!(hand.sees("station 4250 mm: fin, 180 mm behind its leading edge root"), "{}", hand.picture());
    insta::assert_snapshot!(hand.picture());
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn a_station_off_the_airframe_is_warned_about_and_saved() {
    let mut hand = Hand::at_work();
    hand.keys("2dcrack<Tab><Tab>fin<Tab><Tab>9400");
    assert!(hand.sees("station 9400 mm lies behind the tail end (5000 mm)"), "{}", hand.picture());
    hand.keys("<C-s>");
    let station = hand.desk.state().defects.first().and_then(|defect| defect.raised.station_mm);
    assert_eq!(station.map(|station| station.to_string()).as_deref(), Some("9400"));
}

#[test]
fn no_window_is_too_small_or_too_large() {
    let mut hand = damaged(FakeDesk::at_work());
    hand.keys("2");
    for width in [30, 38, 60, 80, 104, 140, 200] {
        for height in [10, 14, 24, 45, 60] {
            hand.size = (width, height);
            for keys in ["v", "v", "<Esc>", "<Down>", "d", "<C-x><C-x>"] {
                hand.keys(keys);
            }
        }
    }
}
