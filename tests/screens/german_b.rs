//! The work of a session in German, and in the proof language, where a word that stays readable is one that the
//! catalogue does not have. What was typed, ids, keys and units stay as they are in every language.

use std::collections::BTreeSet;

use spanwise::screen::Start;
use spanwise::words::{Language, with_language};
use unicode_width::UnicodeWidthStr;

use crate::fake::FakeDesk;
use crate::hand::{Hand, SERIES};
use crate::pictures::busy;

/// Screens and forms: what is opened, the keys that lead there from a busy worksheet, and German that is seen there.
const SCREENS: &[(&str, &str, &str)] = &[("worksheet", "<Home>", "Rüst")];

/// What a person typed or a record holds: it is the same in every language.
const DATA: &[&str] = &["Marlow"];

fn rows(hand: &mut Hand) -> Vec<String> {
    hand.picture().lines().map(ToString::to_string).collect()
}

fn each(language: Language, mut asked: impl FnMut(&str, &str, &[String])) {
    with_language(language, || {
        for (name, keys, shows) in SCREENS {
            let mut hand = busy();
            hand.keys(keys);
            asked(name, shows, &rows(&mut hand));
        }
    });
}

#[test]
fn explore() {
    let keys = std::env::var("KEYS").unwrap_or_default();
    if keys.is_empty() {
        return;
    }
    let lang =
        if std::env::var("PROOF").is_ok_and(|p| !p.is_empty()) { Language::Proof } else { Language::German };
    with_language(lang, || {
        for keys in keys.split('|') {
            let mut hand = busy();
            hand.keys(keys);
            println!("=== {keys}\n{}", hand.picture());
        }
    });
}
