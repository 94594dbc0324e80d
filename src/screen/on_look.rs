//! Commands that change how the screens look and which hand works them: at any moment, also while typing.

use super::app::{App, Tone};
use super::desk::Desk;
use super::wanted::kept_text;
use crate::command::{Hand, Id};
use crate::words::said;

impl App {
    /// True where the command was one of these.
    pub(super) fn on_look(&mut self, desk: &mut dyn Desk, id: Id) -> bool {
        let mut told = match id {
            Id::NextTheme if !self.look.colour => {
                say!("this terminal is drawn without colour, so every theme looks the same").to_string()
            }
            Id::NextTheme => {
                self.look.theme = self.look.theme.next();
                let name = said(self.look.theme.name());
                say!("theme {name}; F12: the next one", name)
            }
            Id::Bigger => {
                self.look.big = !self.look.big;
                if self.look.big {
                    say!("large rows and buttons; Ctrl-L: small ones again").to_string()
                } else {
                    say!("small rows; Ctrl-L: large ones").to_string()
                }
            }
            Id::OtherHand => {
                self.look.hand = match self.look.hand {
                    None => Some(Hand::Right),
                    Some(Hand::Right) => Some(Hand::Left),
                    Some(Hand::Left) => None,
                };
                match self.look.hand {
                    Some(Hand::Left) => say!("keys for the left hand alone; the help tells them"),
                    Some(Hand::Right) => say!("keys for the right hand alone; the help tells them"),
                    None => say!("keys for both hands"),
                }
                .to_string()
            }
            _ => return false,
        };
        // Kept for the next run; that it cannot be is no reason to stop.
        if let Err(why) = desk.keep_look(&kept_text(self.look)) {
            told.push_str(&say!("; it will not be remembered: {why}", why));
        }
        self.say(Tone::Plain, told);
        true
    }
}
