//! A mouse or finger alone: every command, and a whole small job without a key except for text.

use crossterm::event::MouseEventKind;
use spanwise::checklist::Severity;
use spanwise::command::{Id, Place, of};
use spanwise::screen::{App, Look, Start, Target};
use spanwise::state::StepStanding;

use crate::fake::FakeDesk;
use crate::hand::{Hand, SERIES};
use crate::walk::each_screen;

#[test]
fn what_the_footer_names_can_be_clicked_where_it_stands() {
    each_screen(Look::default(), (140, 45), "clicks-footer", |name, buffer, seen| {
        for command in spanwise::command::TABLE.iter().filter(|command| !command.label.is_empty()) {
            let Some(area) = seen.place_of(Target::Command(command.id)).filter(|area| area.y > 40) else {
                continue;
            };
            let shown: String = (area.x..area.right()).map(|x| buffer[(x, area.y)].symbol()).collect();
            let labels: Vec<&str> =
                spanwise::command::TABLE.iter().filter(|c| c.id == command.id).map(|c| c.label).collect();
            let is_named =
                labels.iter().any(|label| shown.ends_with(label.trim_start_matches(char::is_numeric)));
            assert!(is_named, "{name}: \"{shown}\" is none of {labels:?}");
        }
    });
}

#[test]
fn every_command_of_every_screen_is_in_the_menu() {
    for (keys, place) in
        [("", Place::Worksheet), ("2", Place::Defects), ("9", Place::Order), ("0", Place::Handover)]
    {
        let mut hand = Hand::at_work();
        hand.size = (140, 100);
        hand.keys(keys);
        hand.click(Target::Command(Id::Menu));
        let picture = hand.picture();
        for command in
            of(place).filter(|command| !matches!(command.id, Id::Menu | Id::MakeRoom | Id::Continue))
        {
            let begin: String = command.help.chars().take(40).collect();
            assert!(picture.contains(&begin), "{place:?}: {:?} is missing\n{picture}", command.id);
        }
    }
}

/// Opens the menu and takes the line that begins so.
fn choose(hand: &mut Hand, wanted: &str) {
    let line = hand.picture().lines().position(|line| line.contains(wanted));
    let y =
        u16::try_from(line.unwrap_or_else(|| panic!("no \"{wanted}\":\n{}", hand.picture()))).expect("small");
    // The first click marks it, unless it is marked already; the second one takes it.
    let place = hand.app.key_place();
    for _ in 0..2 {
        if hand.app.key_place() == place {
            hand.mouse(MouseEventKind::Down(crossterm::event::MouseButton::Left), 6, y);
        }
    }
}

#[test]
fn the_head_leads_to_the_other_screens() {
    let mut hand = Hand::at_work();
    hand.look();
    hand.mouse(MouseEventKind::Down(crossterm::event::MouseButton::Left), 3, 0);
    assert_eq!(hand.app.key_place(), Place::Choose);
    choose(&mut hand, "the defects");
    assert_eq!(hand.app.place(), Place::Defects);
}

#[test]
fn a_second_click_on_a_step_tells_what_can_be_done() {
    let mut hand = Hand::at_work();
    hand.click(Target::Item(1));
    hand.click(Target::Item(1));
    assert!(hand.sees("Worksheet: what next?"), "{}", hand.picture());
    choose(&mut hand, "write a note");
    assert!(hand.sees("Note: Empty mass"), "{}", hand.picture());
}

#[test]
fn the_wheel_goes_through_what_lies_over_a_screen() {
    let mut hand = Hand::at_work();
    hand.click(Target::Command(Id::Menu));
    let before = hand.picture();
    hand.mouse(MouseEventKind::ScrollDown, 10, 10);
    assert_ne!(hand.picture(), before);
    hand.mouse(MouseEventKind::ScrollUp, 10, 10);
    assert_eq!(hand.picture(), before);
    hand.keys("<Esc>d");
    hand.mouse(MouseEventKind::ScrollDown, 10, 10);
    assert!(hand.sees("▶ how bad") || !hand.sees("▶ what is wrong"), "{}", hand.picture());
}

/// From the hangar to a failed step with its defect, a note, a reading taken back and a pause: clicks, and text.
fn small_job(big: bool) {
    let desk = FakeDesk::new();
    let app = App::new(Start::Hangar, Look { big, ..Look::default() }, &desk);
    let mut hand = Hand { app, desk, size: (80, 24) };
    // The running session is marked when the hangar opens.
    let at = hand.app.selected();
    hand.click(Target::Item(at));
    assert_eq!(hand.app.place(), Place::Worksheet);
    choose(&mut hand, "Ines Marlow");
    assert!(hand.message().contains("Ines Marlow"), "{}", hand.message());
    hand.click(Target::Command(Id::Pass));
    assert_eq!(hand.desk.state().standing("intake.papers"), StepStanding::Passed);
    hand.click(Target::Item(2));
    hand.click(Target::Command(Id::Fail));
    assert_eq!(hand.app.key_place(), Place::Form);
    hand.keys("crack at the root");
    while !hand.sees("grounding: affects") {
        hand.mouse(MouseEventKind::ScrollDown, 10, 10);
    }
    let mut at_severity = 0;
    while !hand.sees("1 ") && at_severity < 9 {
        hand.mouse(MouseEventKind::ScrollDown, 10, 10);
        at_severity += 1;
    }
    hand.click(Target::Command(Id::Save));
    assert_eq!(hand.desk.state().defect("d1").map(|d| d.raised.what.as_str()), Some("crack at the root"));
    hand.click(Target::Command(Id::Menu));
    while !hand.sees("write a note") {
        hand.mouse(MouseEventKind::ScrollDown, 10, 10);
    }
    choose(&mut hand, "write a note");
    hand.keys("low light");
    hand.click(Target::Command(Id::Save));
    assert!(hand.message().starts_with("saved"), "{}", hand.message());
    hand.mouse(MouseEventKind::Down(crossterm::event::MouseButton::Left), 3, 0);
    choose(&mut hand, "the defects");
    assert!(hand.sees("crack at the root"), "{}", hand.picture());
    hand.click(Target::Command(Id::Back));
    assert_eq!(hand.app.place(), Place::Worksheet);
}

#[test]
fn a_small_job_by_clicks() {
    small_job(false);
}

#[test]
fn a_small_job_by_taps_on_large_buttons() {
    small_job(true);
}

#[test]
fn a_choice_in_a_form_is_taken_by_a_click() {
    let mut hand = Hand::at_work();
    hand.keys("2dworn");
    hand.click(Target::Field(1));
    hand.click(Target::Choice(0));
    hand.click(Target::Command(Id::Save));
    let severity = hand.desk.state().defect("d1").map(|defect| defect.raised.severity);
    assert_eq!(severity, Some(Severity::Minor), "{}", hand.picture());
}

#[test]
fn cells_of_the_load_table_are_clicked() {
    let mut hand = Hand::at_work();
    hand.size = (80, 24);
    hand.keys("<Down><Down><Down>").keys(&SERIES[..SERIES.find("/40").expect("the other direction")]);
    hand.click(Target::Cell { row: 1, column: 4 });
    hand.keys("<Bs><Bs><Bs>9.9");
    assert!(hand.sees("9.9"), "{}", hand.picture());
    hand.click(Target::Cell { row: 1, column: 2 });
    let before = hand.picture();
    hand.click(Target::Cell { row: 1, column: 2 });
    assert_ne!(hand.picture(), before, "a second click turns the way");
    hand.click(Target::Field(0));
    let before = hand.picture();
    hand.click(Target::Field(0));
    assert_ne!(hand.picture(), before, "a second click takes the next instrument");
}
