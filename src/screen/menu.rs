//! The menu: every command of a screen to choose from, and the other screens. For a mouse, a finger, or one hand:
//! what the footer has no room for is reached through it.

use super::app::{App, Overlay};
use super::desk::Desk;
use super::pick::{Pick, Then};
use crate::command::{self, Command, Id, Need, Place, keys_of, words_of};
use crate::words::said;

/// Screens in the order of their digits.
const SCREENS: [Id; 10] = [
    Id::GoWorksheet,
    Id::GoDefects,
    Id::GoRecords,
    Id::GoReadings,
    Id::GoHistory,
    Id::GoSignOff,
    Id::GoReplay,
    Id::GoFindings,
    Id::GoOrder,
    Id::GoHandover,
];

impl App {
    /// Everything that can be asked for here, the footer's order first.
    pub(super) fn open_menu(&mut self, desk: &dyn Desk) {
        let now = self.circumstances_here(desk);
        let place = self.place;
        let mut pick = Pick::new(say!("{}: what next?", said(place.title())));
        for command in command::of(place).filter(|command| command.id != Id::Menu) {
            let is_meant = match command.need {
                Need::Full => self.full,
                Need::Closed => now.read_only,
                _ => command.id != Id::Rescue || now.session,
            };
            if is_meant {
                pick = pick.option(self.line(command, place), Then::Command(command.id));
            }
        }
        self.overlays.push(Overlay::Pick(pick.option(say!("back"), Then::Nothing)));
    }

    /// The screens of the session, this one left out.
    pub(super) fn open_places(&mut self) {
        let mut pick = Pick::new(say!("Which screen?"));
        let place = self.place;
        for id in SCREENS {
            if let Some(command) = command::of(place).find(|command| command.id == id)
                && !super::footer::leads_here(id, place)
            {
                pick = pick.option(said(command.help), Then::Command(id));
            }
        }
        self.overlays.push(Overlay::Pick(pick.option(say!("back"), Then::Nothing)));
    }

    /// What it does, and its keys.
    fn line(&self, command: &Command, place: Place) -> String {
        let keys = words_of(&keys_of(command, place, self.look.hand));
        let help = said(command.help);
        if keys.is_empty() { help.to_string() } else { format!("{help} [{keys}]") }
    }
}
