//! Keys for one free hand, laid over the table of commands: the other hand holds the airframe.
//!
//! The right hand has digits (a number pad, with gloves), arrows and Enter; the left one letters around `f`, the
//! digits 1 to 4, Tab and Esc. What has no key of its own here keeps that of the table unless a command here
//! takes it, and stands in the menu.

use super::Key::{self, BackTab, Backspace, Char, Function, Tab};
use super::Place::{
    Airframe, Choose, Defects, Findings, Form, Handover, Hangar, History, Order, Readings, Records,
    Registers, Series, SignOff, Worksheet,
};
use super::table::LISTS;
use super::{Command, Id, Place, of};

/// The hand that is free.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Hand {
    Left,
    Right,
}

impl Hand {
    pub const ALL: [Hand; 2] = [Hand::Left, Hand::Right];

    pub fn word(self) -> &'static str {
        match self {
            Hand::Left => "left",
            Hand::Right => "right",
        }
    }
}

/// Further keys of a command where one hand works.
#[derive(Debug, Clone, Copy)]
pub struct OneHand {
    pub hand: Hand,
    pub id: Id,
    pub keys: &'static [Key],
    pub on: &'static [Place],
}

const fn right(id: Id, keys: &'static [Key], on: &'static [Place]) -> OneHand {
    OneHand { hand: Hand::Right, id, keys, on }
}

const fn left(id: Id, keys: &'static [Key], on: &'static [Place]) -> OneHand {
    OneHand { hand: Hand::Left, id, keys, on }
}

pub const ONE_HAND: &[OneHand] = &[
    right(Id::Pass, &[Char('1')], &[Worksheet]),
    right(Id::Fail, &[Char('2')], &[Worksheet]),
    right(Id::NotApplicable, &[Char('3')], &[Worksheet]),
    right(Id::Reading, &[Char('4')], &[Worksheet]),
    right(Id::Note, &[Char('5')], &[Worksheet, Defects]),
    right(Id::Confirm, &[Char('6')], &[Worksheet, Order]),
    right(Id::Defect, &[Char('7')], &[Worksheet, Defects]),
    right(Id::Evidence, &[Char('8')], &[Worksheet, Defects]),
    right(Id::Correct, &[Char('9')], &[Worksheet, Readings]),
    right(Id::NextOpen, &[Char('0')], &[Worksheet]),
    right(Id::Undo, &[Char('-')], &[Worksheet]),
    right(Id::Pause, &[Char('*')], &[Worksheet]),
    right(Id::GoSignOff, &[Char('+')], &[Worksheet]),
    right(Id::Dispose, &[Char('1')], &[Defects]),
    right(Id::Rectify, &[Char('2')], &[Defects]),
    right(Id::Reinspect, &[Char('3')], &[Defects]),
    right(Id::Save, &[Function(10)], &[Form, Series]),
    right(Id::KeepDraft, &[Function(9)], &[Form, Series]),
    right(Id::Back, &[Backspace], &[Choose]),
    left(Id::Pass, &[Char('a')], &[Worksheet]),
    left(Id::Note, &[Char('v')], &[Worksheet]),
    left(Id::Confirm, &[Char('b')], &[Worksheet]),
    left(Id::Up, &[Char('1')], LISTS),
    left(Id::Down, &[Char('2')], LISTS),
    left(Id::ScrollUp, &[Char('3')], LISTS),
    left(Id::ScrollDown, &[Char('4')], LISTS),
    left(Id::Menu, &[Char('q')], LISTS),
    left(Id::Open, &[Tab], &[Hangar]),
    left(Id::ChangeEntry, &[Tab], &[Airframe, Registers]),
    left(Id::Answer, &[Tab], &[Records]),
    left(Id::Reading, &[Tab], &[Readings]),
    left(Id::Jump, &[Tab], &[SignOff, Defects, History, Findings, Order, Handover]),
    left(Id::Enter, &[Tab], &[Choose]),
    left(Id::Down, &[Char(' ')], &[Choose]),
    left(Id::Up, &[BackTab], &[Choose]),
];

fn rows(hand: Hand, place: Place) -> impl Iterator<Item = &'static OneHand> {
    ONE_HAND.iter().filter(move |row| row.hand == hand && row.on.contains(&place))
}

/// Every key of a command in a place, the free hand's first.
pub fn keys_of(command: &Command, place: Place, hand: Option<Hand>) -> Vec<Key> {
    let Some(hand) = hand else { return command.keys.to_vec() };
    let own = rows(hand, place).filter(|row| row.id == command.id).flat_map(|row| row.keys.iter().copied());
    let mut keys: Vec<Key> = own.collect();
    let is_taken = |key: &Key| rows(hand, place).any(|row| row.id != command.id && row.keys.contains(key));
    let usual = command.keys.iter().copied().filter(|key| !is_taken(key));
    for key in usual {
        if !keys.contains(&key) {
            keys.push(key);
        }
    }
    keys
}

/// As [`super::find`], with the keys of the free hand laid over the table.
pub fn find_for(place: Place, key: Key, hand: Option<Hand>) -> Option<&'static Command> {
    let key = key.folded();
    of(place).find(|command| keys_of(command, place, hand).contains(&key))
}

#[cfg(test)]
mod tests {
    use std::collections::{BTreeMap, BTreeSet};

    use super::*;

    #[test]
    fn no_key_means_two_things_for_either_hand() {
        for (hand, place) in Hand::ALL.into_iter().flat_map(|hand| Place::ALL.map(|place| (hand, place))) {
            let mut seen: BTreeMap<Key, Id> = BTreeMap::new();
            for command in of(place) {
                for key in keys_of(command, place, Some(hand)) {
                    let earlier = seen.insert(key, command.id);
                    assert_eq!(earlier, None, "{hand:?}, {place:?}: {key:?} means {:?} too", command.id);
                }
            }
        }
    }

    #[test]
    fn every_row_names_a_command_of_its_place_by_a_folded_key() {
        for row in ONE_HAND {
            for place in row.on {
                assert!(of(*place).any(|command| command.id == row.id), "{:?} is not on {place:?}", row.id);
                for key in row.keys {
                    assert_eq!(*key, key.folded());
                    let found = find_for(*place, *key, Some(row.hand)).map(|command| command.id);
                    assert_eq!(found, Some(row.id), "{place:?}: {key:?}");
                }
            }
        }
    }

    #[test]
    fn what_lost_its_only_key_stands_in_the_menu_which_each_hand_reaches() {
        for (hand, place) in Hand::ALL.into_iter().flat_map(|hand| Place::ALL.map(|place| (hand, place))) {
            let has_menu = of(place).any(|command| command.id == Id::Menu);
            for command in of(place) {
                let is_reached = !keys_of(command, place, Some(hand)).is_empty() || has_menu;
                assert!(is_reached, "{hand:?}, {place:?}: {:?} is out of reach", command.id);
            }
        }
    }

    /// Keys on the side of that hand: a keyboard with a number pad for the right one (common practice, no source).
    fn is_within_reach(hand: Hand, key: Key) -> bool {
        match (hand, key) {
            (Hand::Left, Key::Char(c)) => "qwertasdfgzxcvb12345 ".contains(c),
            (Hand::Left, Key::Ctrl(c)) => "qwertasdfgzxcvb".contains(c),
            (Hand::Left, key) => matches!(key, Key::Tab | Key::BackTab | Key::Esc | Key::Function(1..=5)),
            (Hand::Right, Key::Char(c)) => "yuiophjklnm1234567890+-*/.,= ".contains(c),
            (Hand::Right, key) => {
                !matches!(key, Key::Ctrl(_) | Key::Tab | Key::BackTab | Key::Esc | Key::Function(1..=6))
            }
        }
    }

    #[test]
    fn a_whole_annual_is_within_reach_of_one_hand() {
        let moving: BTreeSet<Id> =
            [Id::Up, Id::Down, Id::ScrollUp, Id::ScrollDown, Id::Menu, Id::Back].into();
        let of_worksheet = [Id::Pass, Id::Fail, Id::NotApplicable, Id::Reading, Id::Note, Id::Confirm];
        let more = [Id::Defect, Id::Evidence, Id::Correct, Id::NextOpen, Id::GoSignOff];
        let typing = [Id::Save, Id::KeepDraft];
        let choosing = [Id::Up, Id::Down, Id::Enter, Id::Back];
        for hand in Hand::ALL {
            let reaches = |place: Place, id: Id| {
                of(place)
                    .filter(|command| command.id == id)
                    .flat_map(|command| keys_of(command, place, Some(hand)))
                    .any(|key| is_within_reach(hand, key))
            };
            for place in LISTS {
                for id in moving.iter().filter(|id| of(*place).any(|command| command.id == **id)) {
                    assert!(reaches(*place, *id), "{hand:?}, {place:?}: {id:?}");
                }
            }
            for id in of_worksheet.into_iter().chain(more) {
                assert!(reaches(Place::Worksheet, id), "{hand:?}: {id:?}");
            }
            for id in typing {
                assert!(reaches(Place::Form, id) && reaches(Place::Series, id), "{hand:?}: {id:?}");
            }
            for id in choosing {
                assert!(reaches(Place::Choose, id), "{hand:?}: {id:?}");
            }
        }
    }

    #[test]
    fn no_letter_is_a_command_where_text_is_typed() {
        for row in ONE_HAND.iter().filter(|row| row.on.contains(&Form) || row.on.contains(&Series)) {
            assert!(row.keys.iter().all(|key| !matches!(key, Key::Char(_))), "{:?}", row.id);
        }
    }
}
