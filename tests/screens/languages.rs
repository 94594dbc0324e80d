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

/// Named by the footer only where a gap is left, and in every menu.
const FILLERS: [Id; 2] = [Id::Quit, Id::SeekAny];

/// Commands that the footer of a screen names.
fn named(seen: &Seen) -> BTreeSet<Id> {
    let all = TABLE.iter().map(|command| command.id);
    all.filter(|id| seen.place_of(Target::Command(*id)).is_some_and(|place| place.y >= SMALL.1 - 2)).collect()
}

/// A column of the list that was cut: `…` with words behind it.
fn cut_columns(told: &str) -> Vec<&str> {
    let is_cut = |line: &&str| line.split_once("… ").is_some_and(|(_, behind)| !behind.trim().is_empty());
    told.lines().skip(2).filter(is_cut).collect()
}

/// The head tells who works, the alarm and what is open; no column is cut; no label runs over the edge.
fn assert_whole(name: &str, buffer: &Buffer, seen: &Seen) {
    let told = text(buffer);
    let head: Vec<&str> = told.lines().take(2).collect();
    assert!(PEOPLE.iter().any(|who| head[0].contains(who)), "{name}: who works?\n{told}");
    let is_grounded = head[1].contains("d1 crack") && !name.starts_with("replay");
    let alarm = said(" NOT AIRWORTHY ").trim();
    let is_told = head[1].contains(alarm) && !head[1].ends_with('…');
    assert!(!is_grounded || is_told, "{name}: the head is cut\n{told}");
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
    let looks = Theme::ALL.map(|theme| Look { theme, ..Look::default() });
    for look in looks {
        each_screen(look, SMALL, &folder(look.theme), |name, buffer, seen| {
            assert_whole(name, buffer, seen);
            english.insert(name.to_string(), named(seen));
        });
    }
    let mut lost: BTreeSet<(String, Id)> = BTreeSet::new();
    for (language, look) in
        [Language::German, Language::Proof].into_iter().flat_map(|l| looks.map(|look| (l, look)))
    {
        with_language(language, || {
            each_screen(look, SMALL, &folder(look.theme), |name, buffer, seen| {
                assert_whole(name, buffer, seen);
                let now = named(seen);
                let missing = english.get(name).into_iter().flatten();
                let missing = missing.filter(|id| !now.contains(id) && !FILLERS.contains(id));
                lost.extend(missing.map(|id| (name.to_string(), *id)));
            });
        });
    }
    assert_eq!(lost, BTreeSet::new(), "commands that the footer names in English only");
}

/// What people typed, names, and words of files: the same in every language.
const DATA: [&str; 26] = [
    "Ines Marlow, Tomas Reed, Ada Example, inspector, second",
    "X-LARK Larkspur, X-WREN Wren, Example Club",
    "crack across the fibres at the fin root",
    "to the repairer",
    "helper is late",
    "the placard was behind the seat",
    "it creaks when the tail is lifted",
    "half a turn in long grass",
    "the tail follows late",
    "invented certificate",
    "creaks in a slip to the left",
    "radio cuts out",
    "a pilot of the invented club",
    "Inspect the tow release (invented)",
    "Harness, left shoulder",
    "airframes/x-wren.toml:3:9: \"hours\" is no number",
    "checklists/own/1.0.0.toml:4:1: unknown key \"titel\"",
    "damaged: entry 12 does not verify",
    "the demo hangar's folder",
    "the plan would be the same as now; there is nothing to take up",
    // Signed as it stands, so that it is the same for whoever verifies it.
    "I certify that this aircraft has been inspected in accordance with annual inspection and was determined to be in \
     airworthy condition.",
    // A result as the record holds it.
    "released",
    // Key caps.
    "Enter Ctrl Space Shift Left Right Home Backspace Delete",
    // Parts of a command line and of a file's name.
    "spanwise FOLDER people target toml",
    // Ids of steps, people and kinds of report.
    "intake papers skin flex root, ines, vibration",
    "TOML SHA MiB",
];

/// Screens on which words still come past the catalogue.
const NOT_YET: [&str; 3] = ["which sheet", "from paper", "findings"];

/// Words of at least four plain letters that are no id, no path, no cut word and no data.
fn leftovers(told: &str) -> BTreeSet<String> {
    let is_long = |word: &&str| word.chars().count() > 3 && word.is_ascii();
    let words = |text: &str| -> BTreeSet<String> {
        text.split(|c: char| !c.is_alphabetic()).filter(is_long).map(str::to_string).collect()
    };
    let data: BTreeSet<String> = DATA.iter().flat_map(|phrase| words(phrase)).collect();
    let tokens = told.split(|c: char| c.is_whitespace() || "()[]\"“”„,;".contains(c));
    let is_id = |token: &&str| {
        let inner = token.trim_matches(|c: char| !c.is_alphanumeric());
        inner.contains(['-', '.', '/', '_', '…']) || token.ends_with('…')
    };
    tokens.filter(|token| !is_id(token)).flat_map(words).filter(|word| !data.contains(word)).collect()
}

#[test]
fn no_word_of_a_screen_comes_past_the_catalogue() {
    let mut found: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    let mut seen = BTreeSet::new();
    with_language(Language::Proof, || {
        each_screen(Look::default(), SMALL, "languages-proof", |name, buffer, _| {
            seen.insert(name.to_string());
            let left = leftovers(&text(buffer));
            if !left.is_empty() {
                found.insert(name.to_string(), left);
            }
        });
    });
    for name in NOT_YET {
        assert!(seen.contains(name), "there is no screen \"{name}\"");
    }
    found.retain(|name, _| !NOT_YET.contains(&name.as_str()));
    assert!(found.is_empty(), "{found:#?}");
}

#[test]
fn the_search_for_leftovers_finds_them_and_nothing_else() {
    let words = |words: &[&str]| words.iter().map(|word| (*word).to_string()).collect::<BTreeSet<_>>();
    assert_eq!(leftovers("Ďéƒéćţś · X-LARK Ines Marlow fin.skin target/tmp/a read"), words(&["read"]));
    assert_eq!(leftovers("a crack acr… and \"nowhere\" 12 mm"), words(&["nowhere"]));
}

fn german(hand: impl FnOnce() -> Hand) -> String {
    with_language(Language::German, || hand().picture())
}

fn pressed(mut hand: Hand, keys: &str) -> Hand {
    hand.keys(keys);
    hand
}

#[test]
fn hangar_in_german() {
    insta::assert_snapshot!(german(|| pressed(Hand::with(FakeDesk::new(), Start::Hangar), "<Home>")));
}

#[test]
fn worksheet_in_german() {
    insta::assert_snapshot!(german(|| pressed(busy(), "<Home><Down><Down>")));
}

#[test]
fn defects_in_german() {
    insta::assert_snapshot!(german(|| pressed(busy(), "2")));
}

#[test]
fn help_in_german() {
    insta::assert_snapshot!(german(|| pressed(busy(), "?")));
}

#[test]
fn menu_in_german() {
    insta::assert_snapshot!(german(|| pressed(busy(), "6.")));
}

/// The built-in checklists have their German; whoever knows the original words finds by them as well.
#[test]
fn steps_are_found_by_their_german_and_by_their_original_words() {
    let folder = empty("languages-search");
    with_language(Language::English, || drop(entered(&folder, SMALL)));
    with_language(Language::German, || {
        let mut hand = reopened(&folder);
        hand.app = App::new(Start::Hangar, Look::default(), &hand.desk);
        hand.keys("<Home><Enter>1");
        assert_eq!(hand.app.place(), Place::Worksheet);
        let mut at = Vec::new();
        for words in ["haubenrahmen", "canopy frame", "HAUBENRAHMEN UND SEIN SITZ"] {
            hand.keys("<Home>/").keys(words).keys("<Enter>");
            if hand.app.key_place() == Place::Choose {
                hand.keys("<Enter>");
            }
            assert!(hand.message().contains("Schritt · "), "{words}: {}", hand.message());
            at.push(hand.app.selected());
        }
        assert!(at[0] > 0 && at.iter().all(|found| *found == at[0]), "{at:?}");
        hand.keys("<Home>/gibt es nicht<Enter>");
        assert_eq!(hand.message(), "nichts hier enthält „gibt es nicht“");
    });
}
