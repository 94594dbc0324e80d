//! Arguments for how the screens look and which hand works them.

use clap::Args;

use super::word::word_of;
use crate::command::Hand;
use crate::screen::Wanted;
use crate::screen::theme::Theme;
use crate::words::{LANGUAGES, Language};

const THEMES: [(&str, Theme); 3] =
    [("dark", Theme::Dark), ("sun", Theme::Sun), ("colour-blind", Theme::ColourBlind)];
const HANDS: [(&str, Hand); 2] = [("left", Hand::Left), ("right", Hand::Right)];

#[derive(Debug, Clone, Args)]
pub struct LookArgs {
    /// Colours of the screens; without it SPANWISE_THEME, else dark. F12 changes it.
    #[arg(long, global = true, value_name = "NAME", value_parser = word_of(&THEMES))]
    pub theme: Option<Theme>,
    /// Large rows and buttons, for gloves and fingers; or SPANWISE_BIG=1. Ctrl-L changes it.
    #[arg(long, global = true)]
    pub big: bool,
    /// Keys within reach of one hand; or SPANWISE_ONE_HAND. Ctrl-O changes it; the help tells the keys.
    #[arg(long, global = true, value_name = "HAND", value_parser = word_of(&HANDS))]
    pub one_hand: Option<Hand>,
    /// Language of screens, paper and messages; without it SPANWISE_LANGUAGE, else the locale's. Records are the same in all.
    #[arg(long, global = true, value_name = "TAG", value_parser = word_of(&LANGUAGES))]
    pub language: Option<Language>,
}

impl LookArgs {
    pub fn wanted(&self) -> Wanted {
        Wanted { theme: self.theme, big: self.big, hand: self.one_hand, ..Wanted::default() }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_words_are_the_screens_own() {
        assert_eq!(THEMES.map(|(word, _)| word), Theme::ALL.map(Theme::name));
        assert!(HANDS.iter().all(|(word, hand)| *word == hand.word()));
    }
}
