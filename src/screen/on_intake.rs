//! Commands around reports: a new one, what would change by it, and bringing the record forward after the signature.

use super::app::{App, Overlay, Tone};
use super::desk::{Desk, Wish};
use super::forms_intake;
use super::pick::{Pick, Then};
use crate::command::Id;
use crate::vocabulary::{OCCURRENCES, REPORTS};
use crate::words::said;

impl App {
    pub(super) fn on_intake(&mut self, desk: &mut dyn Desk, id: Id) {
        match id {
            Id::NewReport => self.ask_for_the_kind(),
            Id::LookForOffer => {
                if self.carry(desk, Wish::LookForOffer).is_ok() {
                    self.offer_form(desk);
                }
            }
            // The message tells what came of it.
            _ => drop(self.carry(desk, Wish::BringForward)),
        }
    }

    fn ask_for_the_kind(&mut self) {
        let mut pick = Pick::new(say!("What was reported, or what happened?")).intro(say!(
            "The kind selects the targeted steps; the report itself is written in the pilot's own words."
        ));
        for (id, words) in REPORTS.iter().chain(OCCURRENCES) {
            pick =
                pick.option(format!("{} ({id})", said(words)), Then::NewReport { kind: (*id).to_string() });
        }
        self.overlays.push(Overlay::Pick(pick));
    }

    pub(super) fn open_new_report(&mut self, desk: &dyn Desk, kind: &str) {
        let form = forms_intake::new_report(kind, desk.today());
        self.open_form(form);
    }

    /// What would change, in full, with one field for the reason: nothing is taken up without it.
    pub(super) fn offer_form(&mut self, desk: &dyn Desk) {
        let lines = desk.offered().to_vec();
        if lines.is_empty() {
            return;
        }
        let told = self.message.take();
        self.open_form(forms_intake::take_up(&lines));
        if let Some(told) = told {
            self.say(Tone::Plain, told.text);
        }
    }
}
