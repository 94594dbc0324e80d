//! Every measurement in one list, and pictures of what is read.

use spanwise::command::{Id, Place};
use spanwise::event::ReadingValue;
use spanwise::screen::{App, Look, Start, Target};
use spanwise::state::ReadingVerdict;

use crate::fake::FakeDesk;
use crate::hand::{Hand, SERIES};

/// Sound airframes of the same build standard, all invented and stiffer than the table that is typed here (39
/// N/mm); one of another build standard; earlier annuals of the airframe itself.
fn record() -> FakeDesk {
    let reference = |registration: &str, standard: &str, stiffness: &str| {
        format!(
            "[[reference]]\nregistration = \"{registration}\"\ntype = \"larkspur-15\"\n\
             build_standard = [\"{standard}\"]\nstep = \"fin.flex\"\nmeasure = \"series\"\n\
             stiffness_n_per_mm = \"{stiffness}\"\ndate = 2025-10-19\nbelieved_sound = true\n\
             provenance = \"invented survey\"\n\n"
        )
    };
    let earlier = |date: &str, value: &str| {
        format!(
            "[[earlier_reading]]\nstep = \"controls.rudder\"\nmeasure = \"play\"\ndate = {date}\n\
             value = \"{value}\"\nunit = \"mm\"\nstandard_uncertainty = \"0.1\"\n\n"
        )
    };
    let tables: String = [
        reference("X-ONE", "A", "50.1"),
        reference("X-TWO", "A", "51.3"),
        reference("X-THREE", "A", "49.2"),
        reference("X-OTHER", "B", "70.0"),
        earlier("2022-11-20", "1.1"),
        earlier("2023-11-20", "1.3"),
        earlier("2024-11-20", "1.4"),
    ]
    .concat();
    FakeDesk::with_record("build_standard = [\"A\"]", &tables).opened()
}

/// A whole series and a play that is outside its limit are read.
fn read() -> Hand {
    let mut hand = Hand::with(record(), Start::Worksheet);
    hand.keys("<Down><Down><Down>").keys(SERIES).keys("<End>ra").keys("3.4<C-s>");
    hand
}

fn wide(mut hand: Hand) -> Hand {
    hand.size = (140, 45);
    hand
}

#[test]
fn the_list_shows_what_is_read_and_what_is_missing() {
    let mut hand = read();
    insta::assert_snapshot!(hand.keys("4").picture());
    let mut hand = wide(hand);
    insta::assert_snapshot!(hand.keys("<End>").picture());
}

#[test]
fn a_softer_fin_with_its_picture_and_its_references() {
    let mut hand = read();
    insta::assert_snapshot!(hand.keys("4u").picture());
    let mut hand = wide(hand);
    insta::assert_snapshot!(hand.picture());
    // What lies further down.
    hand.keys("<PgDn>");
    assert!(hand.sees("✓ used: X-ONE, 50.10 N/mm on 2025-10-19 · invented survey"), "{}", hand.picture());
    assert!(hand.sees("– not used: X-OTHER, 70.00 N/mm: another build standard"), "{}", hand.picture());
}

#[test]
fn earlier_annuals_make_a_picture_with_today_marked() {
    let mut hand = wide(read());
    hand.keys("4u<Down>");
    assert!(hand.sees("▲ now"), "{}", hand.picture());
    assert!(hand.sees("2022-11-20: 1.1 mm, standard uncertainty 0.1 mm"), "{}", hand.picture());
}

#[test]
fn the_filters_list_what_they_say() {
    let mut hand = read();
    hand.keys("4");
    // mass (none demanded at an optional step still counts as demanded), bulge, series, play, travel.
    assert!(hand.sees("[all 5] · missing 3 · outside or undecided 2 · targeted 0"), "{}", hand.picture());
    hand.keys("u");
    assert!(hand.sees("fin-top deflection") && hand.sees("play at the trailing edge"));
    assert!(!hand.sees("bulge"));
    assert!(hand.sees("1 of 2 · outside or undecided"), "{}", hand.picture());
    hand.keys("m");
    assert!(hand.sees("bulge") && !hand.sees("play at the trailing edge"));
    hand.keys("t");
    assert!(hand.sees("none") && hand.sees("No measurement is targeted"), "{}", hand.picture());
    hand.keys("r");
    assert_eq!(hand.app.key_place(), Place::Readings, "nothing is selected, nothing opens");
    hand.keys("a");
    assert!(hand.sees("[all 5]"));
}

#[test]
fn a_filter_keeps_what_was_selected() {
    let mut hand = read();
    hand.keys("4<Down><Down>");
    assert!(hand.sees("fin-top deflection · Lateral flex of the fin"), "{}", hand.picture());
    hand.keys("u");
    assert_eq!(hand.app.selected(), 0);
    hand.keys("a");
    assert_eq!(hand.app.selected(), 2);
}

#[test]
fn a_missing_reading_is_typed_where_it_is_listed_and_the_next_one_follows() {
    let mut hand = Hand::at_work();
    hand.keys("4m<Down><Down><Down>");
    assert!(hand.sees("play at the trailing edge · Rudder play"), "{}", hand.picture());
    hand.keys("<Enter>2.5<C-s>");
    let state = hand.desk.state().step("controls.rudder").expect("in the plan");
    let reading = state.readings_of("play").next().expect("recorded");
    assert!(
        matches!(&reading.taken.value, ReadingValue::Number { quantity } if quantity.to_string() == "2.5 mm")
    );
    assert!(hand.message().contains("saved, entry 1; within"), "{}", hand.message());
    assert_eq!(hand.app.key_place(), Place::Readings);
    // It has left the list, and the one behind it is selected.
    assert!(hand.sees("travel · Rudder play"), "{}", hand.picture());
    hand.keys("r30<Enter>29<C-s>");
    let state = hand.desk.state().step("controls.rudder").expect("in the plan");
    assert_eq!(state.readings_of("travel").count(), 1);
    // The last one of the list went: the one before it is selected, not nothing.
    assert!(hand.sees("fin-top deflection · Lateral flex of the fin"), "{}", hand.picture());
}

#[test]
fn a_reading_is_corrected_in_the_list_and_the_old_one_stays_struck() {
    let mut hand = read();
    hand.keys("4u<Down>c");
    assert!(hand.sees("correct the reading play at the trailing edge 3.4 mm"), "{}", hand.picture());
    hand.keys("12.9<Enter><Enter>misread the rule<C-s>");
    let state = hand.desk.state().step("controls.rudder").expect("in the plan");
    let holds = state.readings_of("play").next().expect("one holds");
    assert_eq!(holds.judgement.verdict, ReadingVerdict::Within);
    let mut hand = wide(hand);
    hand.keys("a<End><Up>");
    assert!(hand.sees("Struck, or from before a rectification"), "{}", hand.picture());
    assert!(hand.sees("misread"), "{}", hand.picture());
}

#[test]
fn nothing_to_correct_is_told() {
    let mut hand = Hand::at_work();
    hand.keys("4c");
    assert!(hand.message().contains("nothing is recorded here"), "{}", hand.message());
}

#[test]
fn a_measurement_leads_to_its_step_and_back() {
    let mut hand = Hand::at_work();
    hand.keys("4<End>g");
    assert_eq!(hand.app.place(), Place::Worksheet);
    assert!(hand.sees("Move the rudder by hand against locked pedals."));
    hand.keys("<Esc>");
    assert_eq!((hand.app.place(), hand.app.selected()), (Place::Readings, 4));
}

#[test]
fn a_click_on_the_selected_measurement_opens_it() {
    let mut hand = Hand::at_work();
    hand.keys("4");
    hand.click(Target::Item(1));
    assert_eq!((hand.app.selected(), hand.app.key_place()), (1, Place::Readings));
    hand.click(Target::Item(1));
    assert_eq!(hand.app.key_place(), Place::Form);
    hand.keys("<Esc>");
    hand.click(Target::Command(Id::FilterMissing));
    assert!(hand.sees("[missing 5]"), "{}", hand.picture());
}

#[test]
fn nothing_is_read_while_nobody_works() {
    let mut desk = FakeDesk::at_work();
    desk.read_only = Some("it is signed and closed".into());
    let mut hand = Hand::with(desk, Start::Worksheet);
    hand.keys("4<Enter>");
    assert_eq!(hand.app.key_place(), Place::Readings);
    assert!(hand.message().contains("shown only"), "{}", hand.message());
}

#[test]
fn the_picture_beside_the_table_grows_with_every_row() {
    let mut hand = wide(Hand::with(record(), Start::Worksheet));
    hand.keys("<Down><Down><Down>r40<Enter>1.0<Enter>80<Enter>2.0<Enter>");
    assert!(hand.sees("● up") && !hand.sees("○ down") && !hand.sees("· fit"), "{}", hand.picture());
    hand.keys("40<Enter>1.1<Enter>");
    assert!(hand.sees("○ down"), "{}", hand.picture());
    hand.keys("/40<Enter>1.0<Enter>80<Enter>2.0<Enter>120<Enter>3.1<Enter>80<Enter>2.1<Enter>");
    assert!(hand.sees("· fit") && hand.sees("░ sound airframes"), "{}", hand.picture());
    assert!(hand.sees("✗ Softer than sound airframes of the same build standard."), "{}", hand.picture());
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn one_key_shows_the_picture_on_a_small_screen_and_typing_goes_on() {
    let mut hand = Hand::with(record(), Start::Worksheet);
    hand.keys("<Down><Down><Down>");
    hand.keys(SERIES.trim_end_matches("<Enter>2<Enter>1<Enter>")).keys("40<Enter>1.2");
    assert!(hand.sees("= picture"), "the footer names the key:\n{}", hand.picture());
    hand.keys("=");
    insta::assert_snapshot!(hand.picture());
    hand.keys("5<Enter>");
    assert!(hand.sees("12  right"), "the next row follows:\n{}", hand.picture());
    hand.keys("140<Enter>");
    assert!(hand.sees("✗ ROW 12 IS ABOVE 130 N, the ceiling of the type"), "{}", hand.picture());
    hand.keys("=");
    assert!(hand.sees("✗ row 12 is above 130 N, the ceiling of the type"), "{}", hand.picture());
    // The instrument is chosen below the table, whatever was shown before.
    hand.keys("=<Tab>");
    assert!(hand.sees("deflection read with (demanded)"), "{}", hand.picture());
}

#[test]
fn a_ceiling_is_told_beside_the_picture_too() {
    let mut hand = Hand::at_work();
    hand.size = (110, 30);
    hand.keys("<Down><Down><Down>r140<Enter>");
    assert!(hand.sees("✗ row 1 is above 130 N, the ceiling of the type"), "{}", hand.picture());
}

#[test]
fn the_step_shows_the_picture_under_its_reading() {
    let mut hand = wide(read());
    hand.keys("<Home><Down><Down><Down><PgDn>");
    assert!(hand.sees("░ sound airframes") && hand.sees("· fit"), "{}", hand.picture());
}

#[test]
fn a_softer_fin_does_not_carry_the_sign_of_a_pass() {
    let mut hand = wide(read());
    hand.keys("<Home><Down><Down><Down>");
    assert!(hand.sees("✗ load-deflection table of 10 points · softer"), "{}", hand.picture());
}

#[test]
fn absurd_rows_draw_and_do_not_end_the_program() {
    for rows in [
        "",
        "=",
        "0<Enter>0<Enter>0<Enter>0<Enter>",
        "50<Enter>1<Enter>50<Enter>2<Enter>50<Enter>3<Enter>",
        "1000000000000000000<Enter>1000000000000000000<Enter>1<Enter>1<Enter>",
        "100<Enter>0<Enter>50<Enter>0<Enter>/100<Enter>0<Enter>50<Enter>0<Enter>",
        "nan<Enter>inf<Enter>-5<Enter>1e18<Enter>",
        "0.000000000000001<Enter>79228162514264337593543950335<Enter>",
        "40<Enter>1<Enter>80<Enter>2<Enter>40<Enter>1<Enter>/40<Enter>900000<Enter>80<Enter>1<Enter>40<Enter>5<Enter>",
    ] {
        let mut hand = Hand::with(record(), Start::Worksheet);
        hand.keys("<Down><Down><Down>r").keys(rows);
        for size in [(80, 24), (110, 30), (140, 45), (30, 10), (200, 12)] {
            hand.size = size;
            hand.keys("=");
            hand.picture();
        }
        hand.size = (80, 24);
        // What is accepted is drawn in the details, what is not stays in the form.
        hand.keys("<C-s><Esc>4");
        for _ in 0..5 {
            hand.keys("<Down>").picture();
        }
    }
}

#[test]
fn pictures_are_plain_where_the_terminal_is() {
    let mut hand = wide(read());
    hand.app = App::new(Start::Worksheet, Look { colour: false, ascii: true, ..Look::default() }, &hand.desk);
    hand.keys("4u");
    let (terminal, _) = hand.look();
    for cell in &terminal.backend().buffer().content {
        assert!(cell.symbol().is_ascii(), "{:?} is no plain sign", cell.symbol());
        assert_eq!(cell.fg, ratatui::style::Color::Reset, "no colour is set");
    }
    assert!(hand.sees(": sound airframes") && hand.sees("o up") && hand.sees("u down"), "{}", hand.picture());
}
