//! Every screen in every language and theme: nothing falls over, no label is lost, no word comes past the catalogue.

use std::collections::{BTreeMap, BTreeSet};

use ratatui::buffer::Buffer;
use spanwise::command::{Id, Place, TABLE};
use spanwise::screen::theme::Theme;
use spanwise::screen::{App, Look, Seen, Start, Target};
use spanwise::words::{Language, said, with_language};

use crate::fake::FakeDesk;
use crate::files::{empty, entered, reopened};
use crate::hand::Hand;
use crate::pictures::busy;
use crate::walk::{each_screen, text};

const SMALL: (u16, u16) = (80, 24);

/// Who works in the sessions and folders of the walk.
const PEOPLE: [&str; 3] = ["Ines Marlow", "Tomas Reed", "Ada Example"];

/// Commands that the footer of a screen names.
fn named(seen: &Seen) -> BTreeSet<Id> {
    let all = TABLE.iter().map(|command| command.id);
    all.filter(|id| seen.place_of(Target::Command(*id)).is_some_and(|place| place.y >= SMALL.1 - 2)).collect()
}

/// A column of the list that was cut: `…` with words behind it. The head may cut, its alarm is asked for by itself.
fn cut_columns(told: &str) -> Vec<&str> {
    told.lines()
        .skip(2)
        .filter(|line| line.split_once("… ").is_some_and(|(_, behind)| !behind.trim().is_empty()))
        .collect()
}

fn assert_whole(name: &str, buffer: &Buffer, seen: &Seen) {
    let told = text(buffer);
    let head: Vec<&str> = told.lines().take(2).collect();
    assert!(PEOPLE.iter().any(|who| head[0].contains(who)), "{name}: who works?\n{told}");
    if head[1].contains("d1 crack") {
        assert!(head[1].contains(said(" NOT AIRWORTHY ").trim()), "{name}: the alarm is lost\n{told}");
    }
    assert_eq!(cut_columns(&told), Vec::<&str>::new(), "{name}\n{told}");
    for id in named(seen) {
        let place = seen.place_of(Target::Command(id)).expect("named");
        assert!(place.right() <= SMALL.0, "{name}: {id:?} runs over the edge\n{told}");
    }
}

#[test]
fn every_screen_is_whole_in_every_language_and_theme() {
    let mut english: BTreeMap<String, BTreeSet<Id>> = BTreeMap::new();
    let folder = |theme: Theme| format!("languages-{}", theme.name());
    for theme in Theme::ALL {
        let look = Look { theme, ..Look::default() };
        each_screen(look, SMALL, &folder(theme), |name, buffer, seen| {
            assert_whole(name, buffer, seen);
            english.insert(name.to_string(), named(seen));
        });
    }
    let mut lost: BTreeMap<String, Vec<Id>> = BTreeMap::new();
    for (language, theme) in
        [Language::German, Language::Proof].into_iter().flat_map(|l| Theme::ALL.map(|theme| (l, theme)))
    {
        let look = Look { theme, ..Look::default() };
        with_language(language, || {
            each_screen(look, SMALL, &folder(theme), |name, buffer, seen| {
                assert_whole(name, buffer, seen);
                let now = named(seen);
                let missing = english.get(name).into_iter().flatten().filter(|id| !now.contains(id));
                lost.entry(name.to_string()).or_default().extend(missing);
            });
        });
    }
    lost.retain(|_, ids| !ids.is_empty());
    assert_eq!(lost, BTreeMap::new(), "commands that the footer names in English only");
}

#[test]
fn print_leftovers() {
    let mut all: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    with_language(Language::Proof, || {
        each_screen(Look::default(), SMALL, "leftovers", |name, buffer, _| {
            for word in
                text(buffer).split(|c: char| !c.is_alphabetic()).filter(|w| w.len() > 3 && w.is_ascii())
            {
                all.entry(name.to_string()).or_default().insert(word.to_string());
            }
        });
    });
    for (n, w) in all {
        println!("{n}: {w:?}");
    }
}

/// Screens whose words come from parts of the program that do not all pass the catalogue yet.
const NOT_YET: [&str; 0] = [];

#[test]
fn print_german() {
    with_language(Language::German, || {
        each_screen(Look::default(), SMALL, "pg", |name, buffer, _| {
            println!("=== {name}\n{}", text(buffer));
        });
    });
}
