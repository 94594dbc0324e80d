//! The Hangar order screen, from keys: blocks, hands, confirming, jumping, the next step in its order.

use spanwise::checklist::{Aspect, Setting};
use spanwise::event::StepResult;
use spanwise::screen::{App, Look, Start, Target};
use spanwise::session::Request;

use crate::fake::FakeDesk;
use crate::hand::Hand;

#[test]
fn the_blocks_at_80_by_24() {
    let mut hand = Hand::at_work();
    insta::assert_snapshot!(hand.keys("9<End>").picture());
}

#[test]
fn the_blocks_at_140_by_45() {
    let mut hand = Hand::at_work();
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.keys("9<End>--+").picture());
}

#[test]
fn the_blocks_in_ascii_without_colour() {
    let desk = FakeDesk::at_work();
    let app = App::new(Start::Worksheet, Look { colour: false, ascii: true }, &desk);
    let mut hand = Hand { app, desk, size: (80, 24) };
    let picture = hand.keys("9<End>").picture();
    assert!(picture.is_ascii(), "{picture}");
    insta::assert_snapshot!(picture);
}

#[test]
fn it_tells_what_is_saved_and_that_it_is_proved() {
    let mut hand = Hand::at_work();
    hand.size = (140, 45);
    hand.keys("9");
    assert!(hand.sees("checklist order") && hand.sees("saved"), "{}", hand.picture());
    assert!(hand.sees("✓ proved: no order changes for fewer"), "{}", hand.picture());
}

#[test]
fn hands_are_set_by_keys_and_what_needs_more_is_told() {
    let mut hand = Hand::at_work();
    hand.size = (140, 45);
    hand.keys("9");
    assert!(hand.sees("people at hand: any number"));
    hand.keys("++<End>");
    assert!(hand.sees("✗ 2 at hand"), "{}", hand.picture());
    assert!(hand.sees("✗ needs 3 people"), "the step says so in the list");
    assert!(hand.sees("TOO FEW HANDS: fin.flex needs 3, 2 at hand"), "and in the detail");
    hand.keys("++");
    assert!(hand.sees("✓ 4 at hand: enough for all"));
    hand.keys("----");
    assert!(hand.sees("people at hand: any number"));
}

#[test]
fn a_block_is_confirmed_after_a_question_and_says_who_and_when() {
    let mut hand = Hand::at_work();
    hand.size = (140, 45);
    hand.keys("9<End>");
    assert!(hand.sees("○ support trestles: not confirmed yet"), "{}", hand.picture());
    hand.keys("k<Enter>");
    assert!(hand.desk.state().confirmations.is_empty(), "a stray Enter confirms nothing");
    hand.keys("k1");
    assert_eq!(hand.desk.state().configuration.get(Aspect::Support), Some(Setting::Trestles));
    assert_eq!(hand.desk.state().configuration.get(Aspect::Wings), None, "only what the block needs");
    assert!(hand.sees("✓ support trestles: confirmed by Ines Marlow · 2026-11-25"), "{}", hand.picture());
    assert!(hand.message().starts_with("saved, entry 1; confirmed:"), "{}", hand.message());
    // The order begins with what stands now: the block needs no change any more.
    assert!(hand.sees("Block 1: as it stands"), "{}", hand.picture());
}

#[test]
fn enter_and_a_second_click_go_to_the_step_and_esc_comes_back() {
    let mut hand = Hand::at_work();
    hand.keys("9<Down><Enter>");
    assert!(hand.sees("Worksheet"));
    hand.keys("<Esc>");
    assert!(hand.sees("Hangar order"));
    hand.click(Target::Item(0));
    hand.click(Target::Item(0));
    assert!(hand.sees("Worksheet"));
    assert_eq!(hand.app.selected(), 0);
}

#[test]
fn the_worksheet_goes_on_in_the_hangar_order_and_tells_the_change() {
    let mut hand = Hand::at_work();
    let mut seen = Vec::new();
    for _ in 0..6 {
        hand.keys("g");
        seen.push((hand.app.selected(), hand.message().to_string()));
    }
    let steps: std::collections::BTreeSet<usize> = seen.iter().map(|(at, _)| *at).collect();
    assert_eq!(steps.len(), 6, "every open step once: {seen:?}");
    let changes: Vec<&(usize, String)> = seen.iter().filter(|(_, text)| text.contains("change ")).collect();
    assert_eq!(changes.len(), 1, "{seen:?}");
    assert!(changes[0].1.contains("support wheel to trestles"), "{seen:?}");
}

#[test]
fn it_is_ordered_anew_after_each_entry() {
    let mut hand = Hand::at_work();
    hand.keys("9");
    assert!(hand.sees("1 of 6"), "{}", hand.picture());
    hand.keys("<Enter>p<Esc>");
    assert!(hand.sees("of 5"), "{}", hand.picture());
}

#[test]
fn what_a_failure_pulls_forward_is_marked_with_why() {
    let mut desk = FakeDesk::at_work();
    desk.record(Request::Answer {
        step: "fin.flex".into(),
        result: StepResult::Failed,
        reason: None,
        why: None,
    });
    let mut hand = Hand::with(desk, Start::Worksheet);
    hand.size = (140, 45);
    hand.keys("9<Home>");
    assert!(hand.sees("▲ pulled forward · Fin skin and root"), "{}", hand.picture());
    assert!(hand.sees("because this failed: Lateral flex of the fin"), "{}", hand.picture());
    hand.keys("1g");
    assert!(hand.message().contains("pulled forward, because fin.flex failed"), "{}", hand.message());
}

#[test]
fn the_hangar_shows_the_order_of_an_annual_not_begun() {
    let mut hand = Hand::with(FakeDesk::new(), Start::Hangar);
    hand.size = (140, 45);
    hand.keys("<Home>9");
    assert!(hand.sees("X-LARK: the annual that would begin now"), "{}", hand.picture());
    hand.keys("k");
    assert!(hand.message().contains("no session is open"), "{}", hand.message());
    hand.keys("<Enter>");
    assert!(hand.message().contains("no session is open"), "{}", hand.message());
    hand.keys("<Esc>");
    assert!(hand.sees("Demo hangar") && !hand.sees("Block 1"), "{}", hand.picture());
}

#[test]
fn no_window_is_too_small() {
    for size in [(30, 10), (40, 12), (60, 16), (104, 20), (200, 60)] {
        let mut hand = Hand::at_work();
        hand.size = size;
        hand.keys("9<End>+++<Home>v");
        assert!(hand.sees("order"), "{size:?}");
    }
}
