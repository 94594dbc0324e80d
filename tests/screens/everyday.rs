//! One hand, one search, undo, progress, and windows that change while one types.

use spanwise::command::{Hand as Side, Id, Key, Place, TABLE, find_for};
use spanwise::event::StepResult;
use spanwise::screen::{App, Look, Start};
use spanwise::session::Request;
use spanwise::state::StepStanding;

use crate::fake::FakeDesk;
use crate::hand::Hand;
use crate::pictures::busy;

fn one_hand(side: Side) -> Hand {
    Hand::looking(Look { hand: Some(side), ..Look::default() })
}

#[test]
fn the_right_hand_works_with_the_number_pad() {
    let mut hand = one_hand(Side::Right);
    insta::assert_snapshot!(hand.picture());
    hand.keys("1");
    assert_eq!(hand.desk.state().standing("intake.papers"), StepStanding::Passed);
    hand.keys("05dim<F10>");
    assert!(hand.message().starts_with("saved"), "{}", hand.message());
    hand.keys("2");
    assert_eq!(hand.desk.state().standing("fin.skin"), StepStanding::Failed);
    hand.keys("<F9>-");
    assert!(hand.sees("Take back entry"), "{}", hand.picture());
    hand.keys("<F9>,");
    assert!(hand.sees("Which screen?"));
    hand.keys("<Bs>");
    assert_eq!(hand.app.key_place(), Place::Worksheet);
}

#[test]
fn the_left_hand_works_with_letters() {
    let mut hand = one_hand(Side::Left);
    hand.keys("a");
    assert_eq!(hand.desk.state().standing("intake.papers"), StepStanding::Passed);
    hand.keys("22");
    assert_eq!(hand.app.selected(), 2);
    hand.keys("1vdim<C-s>");
    assert!(hand.message().starts_with("saved"), "{}", hand.message());
    hand.keys("q ");
    assert!(hand.sees("Worksheet: what next?"));
    hand.keys("<Esc>?");
    assert!(hand.sees("Help"));
}

#[test]
fn help_and_documentation_name_the_keys_of_the_free_hand() {
    let mut hand = one_hand(Side::Right);
    hand.size = (140, 60);
    hand.keys(".");
    assert!(hand.sees("pass the selected step [1, p]"), "{}", hand.picture());
    let told = spanwise::command::markdown();
    assert!(told.contains("One hand, right") && told.contains("| Worksheet | 1 | pass the selected step |"));
}

#[test]
fn a_key_changes_the_hand_and_both_again() {
    let mut hand = Hand::at_work();
    assert!(hand.keys("<C-o>").message().contains("right hand"));
    assert!(hand.keys("<C-o>").message().contains("left hand"));
    assert!(hand.keys("<C-o>").message().contains("both hands"));
    for command in TABLE {
        for place in command.on {
            for key in command.keys {
                assert_eq!(find_for(*place, *key, None).map(|found| found.id), Some(command.id));
            }
        }
    }
    assert_eq!(find_for(Place::Worksheet, Key::Char('1'), Some(Side::Right)).map(|c| c.id), Some(Id::Pass));
}

fn searched() -> Hand {
    let mut hand = busy();
    hand.keys("<Home>nThe ROOT was wiped first<C-s>");
    hand.keys("2nroot of all<C-s>1<Home>");
    hand
}

#[test]
fn one_search_finds_steps_notes_and_defects() {
    let mut hand = searched();
    hand.keys("/root<Enter>");
    insta::assert_snapshot!(hand.picture());
    // Step, note of a step, defect, note of the session.
    assert!(hand.sees("step · Fin skin and root"), "{}", hand.picture());
    assert!(hand.sees("note · Papers and placards · The ROOT was wiped first"));
    assert!(hand.sees("defect · defect d1 · …the fibres at the fin root"));
    assert!(hand.sees("note · the session · root of all"));
}

#[test]
fn enter_goes_to_a_hit_and_the_next_ones_are_one_key_away() {
    let mut hand = searched();
    hand.keys("/root<Enter>1");
    assert_eq!(hand.app.place(), Place::Worksheet);
    let first = hand.message().to_string();
    assert!(first.starts_with("\"root\": 1 of "), "{first}");
    let mut places = vec![hand.app.place()];
    for _ in 0..5 {
        hand.keys(">");
        places.push(hand.app.place());
    }
    assert!(places.contains(&Place::Defects) && places.contains(&Place::History), "{places:?}");
    hand.keys("<<<<<<<");
    hand.keys("/<C-u><Enter>");
    assert!(hand.message().starts_with("\"root\": "), "Enter alone: the next hit: {}", hand.message());
    hand.keys("/nowhere at all<Enter>");
    assert!(hand.message().contains("nothing here contains"), "{}", hand.message());
}

#[test]
fn undo_takes_the_last_own_entry_back_with_a_typed_reason_and_deletes_nothing() {
    let mut hand = Hand::at_work();
    hand.keys("pu");
    insta::assert_snapshot!(hand.picture());
    let before = hand.desk.state().entries;
    hand.keys("<Enter><Enter>");
    assert!(hand.sees("needs a reason"), "a preset alone is none: {}", hand.picture());
    assert_eq!(hand.desk.state().entries, before);
    hand.keys("meant the step below<Enter>");
    assert_eq!(hand.desk.state().standing("intake.papers"), StepStanding::Open);
    assert_eq!(hand.desk.state().entries, before + 1, "one entry more, none less");
    let answers = &hand.desk.state().step("intake.papers").expect("planned").answers;
    let struck = answers.first().and_then(|answer| answer.struck.as_ref()).expect("struck, and there");
    assert_eq!(struck.why, "wrong key: meant the step below");
    hand.keys("u");
    assert!(hand.message().contains("nothing that you recorded"), "{}", hand.message());
}

#[test]
fn undo_reaches_no_further_back_than_the_opening_of_the_session() {
    let mut hand = busy();
    hand.keys("u");
    assert!(hand.message().contains("you recorded nothing since it was opened"), "{}", hand.message());
    hand.keys("<Home><Down>nseen<C-s>u");
    assert!(hand.message().contains("the last was"), "a note is none to take back: {}", hand.message());
}

#[test]
fn undo_leaves_alone_what_others_recorded_and_says_what_came_after() {
    let mut hand = Hand::at_work();
    hand.keys("<Down><Down>f<Esc>nseen by daylight<C-s>u");
    assert!(hand.sees("Entered after it and not taken back by this: 2"), "{}", hand.picture());
    hand.keys("<Esc>w2u");
    assert!(hand.message().contains("you recorded nothing since it was opened"), "{}", hand.message());
}

#[test]
fn progress_is_told_by_the_checklists_minutes() {
    let mut hand = Hand::at_work();
    hand.keys("pl");
    insta::assert_snapshot!(hand.picture());
    hand.keys("<Esc>z<C-s>l");
    assert!(hand.sees("Paused. Once resumed"), "{}", hand.picture());
}

#[test]
fn the_pace_so_far_is_told_once_there_is_one() {
    let mut desk = FakeDesk::at_work();
    for step in ["intake.papers", "fin.skin"] {
        let (step, result) = (step.to_string(), StepResult::Passed);
        desk.record(Request::Answer { step, result, reason: None, why: None });
    }
    let mut hand = Hand::with(desk, Start::Worksheet);
    // 15 planned minutes were answered in 2: the invented desk counts a minute for each entry.
    hand.keys("l");
    assert!(hand.sees("Worked: 2 min") && hand.sees("13 min less"), "{}", hand.picture());
    assert!(hand.sees("at the pace so far"), "{}", hand.picture());
}

#[test]
fn a_window_that_changes_while_one_types_loses_nothing() {
    for big in [false, true] {
        let mut hand = Hand::looking(Look { big, ..Look::default() });
        hand.keys("n");
        for (size, word) in
            [((80, 24), "one "), ((200, 60), "two "), ((80, 24), "three "), ((104, 30), "four")]
        {
            hand.size = size;
            hand.keys(word);
        }
        hand.size = (20, 5);
        hand.picture();
        hand.size = (80, 24);
        hand.keys("<C-s>");
        let notes = &hand.desk.state().step("intake.papers").expect("planned").notes;
        assert_eq!(notes.first().map(|note| note.text.as_str()), Some("one two three four"));
    }
}

#[test]
fn every_size_can_be_drawn_large_too() {
    let mut hand = busy();
    hand.app = App::new(Start::Worksheet, Look { big: true, ..Look::default() }, &hand.desk);
    for keys in
        ["", "2", "2v", "<Esc>3", "4", "5", "6", "7", "9", "0", "?", "<Esc>1n", "<C-x>w", "<Esc>.", "<Esc>l"]
    {
        hand.size = (80, 24);
        hand.keys(keys);
        for size in [(1, 1), (30, 10), (31, 11), (80, 24), (104, 30), (200, 60)] {
            hand.size = size;
            hand.picture();
        }
    }
}
