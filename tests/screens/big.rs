//! Large rows and buttons, for gloves and fingers.

use spanwise::command::{Id, Place, of};
use spanwise::screen::{App, Look, Start, Target};

use crate::hand::Hand;
use crate::pictures::busy;
use crate::walk::each_screen;

const BIG: Look = Look {
    colour: true,
    ascii: false,
    theme: spanwise::screen::theme::Theme::Dark,
    depth: spanwise::screen::theme::Depth::Cube,
    big: true,
    hand: None,
};

fn big() -> Hand {
    let mut hand = busy();
    hand.app = App::new(Start::Worksheet, BIG, &hand.desk);
    hand
}

#[test]
fn worksheet() {
    let mut hand = big();
    insta::assert_snapshot!(hand.keys("<Home>").picture());
    hand.size = (140, 45);
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn form_and_choice() {
    let mut hand = big();
    insta::assert_snapshot!(hand.keys("dcrack").picture());
    insta::assert_snapshot!(hand.keys("<C-x><C-x>w").picture());
}

#[test]
fn plain_signs() {
    let mut hand = Hand::looking(Look { colour: false, ascii: true, ..BIG });
    insta::assert_snapshot!(hand.picture());
}

#[test]
fn buttons_and_items_are_large_on_every_screen_and_size() {
    for size in [(80, 24), (80, 30), (104, 24), (140, 45), (200, 60)] {
        each_screen(BIG, size, "big-sizes", |name, buffer, seen| {
            let mut buttons = 0;
            for command in spanwise::command::TABLE {
                // The head and the details are no buttons.
                let Some(area) = seen.place_of(Target::Command(command.id)).filter(|area| area.y > 2) else {
                    continue;
                };
                buttons += 1;
                assert!(
                    area.height >= 3 && area.width >= 9,
                    "{name} at {size:?}: {:?} is {area}",
                    command.id
                );
                assert!(area.right() <= buffer.area.width && area.bottom() <= buffer.area.height, "{name}");
            }
            assert!(buttons >= 2, "{name} at {size:?}: {buttons} buttons");
            if let Some(item) = seen.place_of(Target::Item(0)) {
                assert_eq!(item.height, 3, "{name} at {size:?}");
            }
        });
    }
}

#[test]
fn the_main_commands_are_buttons_at_80_by_24() {
    let mut hand = Hand::looking(BIG);
    let (_, seen) = hand.look();
    for id in [Id::Pass, Id::Fail, Id::NotApplicable, Id::Up, Id::Down, Id::Menu, Id::Back] {
        assert!(seen.place_of(Target::Command(id)).is_some(), "{id:?}");
    }
    hand.keys("n");
    let (_, seen) = hand.look();
    for id in [Id::Save, Id::KeepDraft] {
        assert!(seen.place_of(Target::Command(id)).is_some(), "{id:?}");
    }
}

#[test]
fn every_item_is_reached_and_seen_by_its_button() {
    let mut hand = Hand::looking(BIG);
    for at in 0..6 {
        assert_eq!(hand.app.selected(), at);
        let (_, seen) = hand.look();
        assert!(seen.place_of(Target::Item(at)).is_some_and(|area| area.height == 3), "{}", hand.picture());
        hand.click(Target::Command(Id::Down));
    }
}

#[test]
fn a_tap_on_the_details_turns_the_page_and_comes_round() {
    let mut hand = Hand::looking(BIG);
    let first = hand.picture();
    hand.click(Target::Detail);
    assert_ne!(hand.picture(), first);
    for _ in 0..20 {
        hand.click(Target::Detail);
        if hand.picture() == first {
            return;
        }
    }
    panic!("the first page never came back");
}

#[test]
fn a_key_changes_to_large_and_back_and_the_typed_text_stays() {
    let mut hand = Hand::at_work();
    let small = hand.picture();
    hand.keys("nhalf<C-l> done");
    assert!(hand.sees("┌"), "{}", hand.picture());
    hand.keys("<C-l><C-s>");
    assert!(hand.sees("half done"));
    let here = of(Place::Worksheet).filter(|command| !command.label.is_empty()).count();
    assert!(here > 10 && small != hand.picture());
}

/// The rows of a load–deflection table and the fields below it are as large as any item, and the row at hand is in sight.
#[test]
fn rows_of_a_load_table_are_large() {
    for size in [(80, 24), (80, 30), (140, 45)] {
        let mut hand = Hand::looking(BIG);
        hand.size = size;
        hand.keys("<Down><Down><Down>r50<Enter>1.2<Enter>100<Enter>2.4<Enter>150<Enter>");
        let (_, seen) = hand.look();
        let cells: Vec<_> = (0..6).filter_map(|row| seen.place_of(Target::Cell { row, column: 3 })).collect();
        assert!(!cells.is_empty() && cells.iter().all(|cell| cell.height == 3), "{size:?}: {cells:?}");
        assert!(cells.windows(2).all(|pair| pair[1].y == pair[0].y + 3), "{size:?}: {cells:?}");
        let fields: Vec<_> = (0..6).filter_map(|at| seen.place_of(Target::Field(at))).collect();
        assert!(!fields.is_empty() && fields.iter().all(|field| field.height == 3), "{size:?}: {fields:?}");
        assert!(hand.sees("▶ 3") && hand.sees("LOAD at most"), "{}", hand.picture());
        insta::assert_snapshot!(format!("load_table_{}x{}", size.0, size.1), hand.picture());
    }
}

/// What the footer of a small window has no room for is one key away, and that key is named.
#[test]
fn keys_without_room_in_the_footer_stand_in_menu_and_help() {
    for colour in [true, false] {
        let mut hand = Hand::looking(Look { big: false, colour, ..BIG });
        assert!(hand.sees(". more") && hand.sees("? help"), "{}", hand.picture());
        let small = hand.keys(".").picture();
        assert!(small.contains("what next?"), "{small}");
        hand.size = (140, 120);
        let menu = hand.picture();
        for keys in ["[9, F10]", "[0, F11]", "[t]", "[g]"] {
            assert!(menu.contains(keys), "{keys}: {menu}");
        }
        let help = hand.keys("<Esc>?").picture();
        for keys in ["9", "0", "t", "g"] {
            assert!(
                help.lines()
                    .any(|line| line.split_whitespace().any(|word| word.trim_end_matches(',') == keys)),
                "{keys}: {help}"
            );
        }
    }
}
