//! How the screens are asked to look: by arguments, else by environment variables, else as they were left last.

use super::look::Look;
use super::theme::{self, Theme};
use crate::command::Hand;

pub const BIG_VARIABLE: &str = "SPANWISE_BIG";
pub const ONE_HAND_VARIABLE: &str = "SPANWISE_ONE_HAND";

/// What was asked for; nothing means: as the environment says.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Wanted {
    pub theme: Option<Theme>,
    pub big: bool,
    pub hand: Option<Hand>,
    /// No colours, whatever the terminal has.
    pub is_plain: bool,
    /// Plain ASCII signs, or not; unset: as the terminal needs.
    pub ascii: Option<bool>,
}

impl Wanted {
    /// The look, and what of the environment was not understood, a line each. `kept` is what [`kept_text`] gave.
    pub fn look(self, variable: impl Fn(&str) -> Option<String>, kept: Option<&str>) -> (Look, Vec<String>) {
        let kept = kept.map(read_kept).unwrap_or_default();
        let mut unknown = Vec::new();
        let given = |name: &str| variable(name).filter(|value| !value.trim().is_empty());
        let mut look = Look::of_environment(&variable);
        // The settings' word for "as it was left last".
        let asked = given(theme::VARIABLE).filter(|name| name.trim() != "auto");
        let named = asked.and_then(|name| {
            let found = Theme::named(&name);
            if found.is_none() {
                let known = Theme::ALL.map(Theme::name).join(", ");
                unknown.push(say!(
                    "{}: there is no theme \"{name}\"; there are {known}",
                    theme::VARIABLE,
                    name,
                    known
                ));
            }
            found
        });
        let hand = given(ONE_HAND_VARIABLE).and_then(|word| {
            let found = Hand::ALL.into_iter().find(|hand| hand.word().eq_ignore_ascii_case(word.trim()));
            if found.is_none() {
                unknown.push(say!(
                    "{ONE_HAND_VARIABLE}: \"{word}\" is no hand; it is left or right",
                    ONE_HAND_VARIABLE,
                    word
                ));
            }
            found
        });
        let big = given(BIG_VARIABLE).map(|value| value != "0");
        look.theme = self.theme.or(named).or(kept.theme).unwrap_or_default();
        look.big = self.big || big.unwrap_or(kept.big);
        look.hand = self.hand.or(hand).or(kept.hand);
        look.colour &= !self.is_plain;
        look.ascii = self.ascii.unwrap_or(look.ascii);
        (look, unknown)
    }
}

/// What of a look is kept for the next run.
pub fn kept_text(look: Look) -> String {
    let big = if look.big { "yes" } else { "no" };
    let hand = look.hand.map_or("both", Hand::word);
    format!("theme = {}\nbig = {big}\none-hand = {hand}\n", look.theme.name())
}

/// Reads it; what is not understood counts as not there.
fn read_kept(text: &str) -> Wanted {
    let mut found = Wanted::default();
    let lines = text.lines().filter_map(|line| line.split_once('='));
    for (key, value) in lines.map(|(key, value)| (key.trim(), value.trim())) {
        match key {
            "theme" => found.theme = Theme::named(value),
            "big" => found.big = value == "yes",
            "one-hand" => found.hand = Hand::ALL.into_iter().find(|hand| hand.word() == value),
            _ => {}
        }
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    fn look(wanted: Wanted, pairs: &[(&str, &str)]) -> (Look, Vec<String>) {
        let variable =
            |name: &str| pairs.iter().find(|(key, _)| *key == name).map(|(_, value)| (*value).to_string());
        wanted.look(variable, None)
    }

    #[test]
    fn what_was_kept_comes_back_unless_something_else_is_asked_for() {
        let left = Look { theme: Theme::Sun, big: true, hand: Some(Hand::Left), ..Look::default() };
        let kept = kept_text(left);
        assert_eq!(Wanted::default().look(|_| None, Some(&kept)).0, left);
        let small = |name: &str| (name == BIG_VARIABLE).then(|| "0".to_string());
        let wanted = Wanted { theme: Some(Theme::Dark), ..Wanted::default() };
        let (look, _) = wanted.look(small, Some(&kept));
        assert_eq!((look.theme, look.big, look.hand), (Theme::Dark, false, Some(Hand::Left)));
        assert_eq!(Wanted::default().look(|_| None, Some("theme = pink\nnonsense")).0, Look::default());
        assert_eq!(Wanted::default().look(|_| None, Some(&kept_text(Look::default()))).0, Look::default());
    }

    #[test]
    fn an_argument_goes_before_the_environment() {
        let pairs = [("SPANWISE_THEME", "Sun"), ("SPANWISE_BIG", "1"), ("SPANWISE_ONE_HAND", "left")];
        let (by_environment, unknown) = look(Wanted::default(), &pairs);
        assert_eq!((by_environment.theme, by_environment.big), (Theme::Sun, true));
        assert_eq!((by_environment.hand, unknown), (Some(Hand::Left), vec![]));
        let wanted = Wanted {
            theme: Some(Theme::ColourBlind),
            big: false,
            hand: Some(Hand::Right),
            ..Wanted::default()
        };
        let (by_argument, _) = look(wanted, &pairs);
        assert_eq!((by_argument.theme, by_argument.hand), (Theme::ColourBlind, Some(Hand::Right)));
        let (plain, _) = look(Wanted::default(), &[("SPANWISE_BIG", "0"), ("SPANWISE_THEME", "")]);
        assert_eq!(plain, Look::default());
    }

    #[test]
    fn what_is_not_understood_is_told_with_what_there_is() {
        let (look, unknown) =
            look(Wanted::default(), &[("SPANWISE_THEME", "pink"), ("SPANWISE_ONE_HAND", "3")]);
        assert_eq!(look, Look::default());
        assert_eq!(unknown.len(), 2);
        assert!(unknown[0].contains("dark, sun, colour-blind"), "{unknown:?}");
    }
}
