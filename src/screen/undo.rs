//! Taking back what one recorded last: a withdrawal with its reason, as on paper. Nothing is ever deleted.

use super::app::{App, Tone};
use super::desk::{Desk, SessionView};
use super::field::Field;
use super::form::Form;
use super::forms;
use super::words::words;
use crate::event::{EntryNumber, Event};
use crate::state::{Stamped, State};

/// What usually went wrong; the person says it in own words as well.
const SLIPS: [&str; 5] = ["wrong key", "wrong step", "misread or misheard", "not finished yet", "other"];

/// What can be taken back, and what was entered after it and cannot.
struct Last<'a> {
    entry: Option<&'a Stamped>,
    after: Vec<&'a Stamped>,
}

/// The person's last entry since the session was opened (behind its first `had`) that still holds and can be taken
/// back.
fn last_own<'a>(view: &SessionView<'a>, person: &str, had: usize) -> Last<'a> {
    let mut after = Vec::new();
    for stamped in view.entries.iter().skip(had).rev() {
        let is_own = stamped.event.actor().is_some_and(|by| by.id == person);
        if !is_own || matches!(stamped.event, Event::Carried(_) | Event::Opened(_)) {
            continue;
        }
        if can_be_taken_back(view.state, stamped.entry) {
            return Last { entry: Some(stamped), after };
        }
        after.push(stamped);
    }
    Last { entry: None, after }
}

/// As `session` decides it: what holds, and no defect that was rectified or stands in the airframe's record.
fn can_be_taken_back(state: &State, entry: EntryNumber) -> bool {
    let in_steps = state.steps.values().any(|step| {
        step.answers.iter().any(|told| told.stamp.entry == entry && told.struck.is_none())
            || step.readings.iter().any(|told| told.stamp.entry == entry && told.struck.is_none())
            || step.initials.iter().any(|told| told.stamp.entry == entry && told.struck.is_none())
    });
    let defect = state.standing_defects().find(|defect| defect.stamp.entry == entry);
    in_steps
        || defect
            .is_some_and(|defect| defect.rectifications.is_empty() && defect.raised.from_record.is_none())
        || state.evidence.iter().any(|told| told.stamp.entry == entry && told.struck.is_none())
        || state.confirmations.iter().any(|told| told.stamp.entry == entry && told.struck.is_none())
}

fn form(stamped: &Stamped, after: &[&Stamped]) -> Form {
    let what = format!("\"{}\" (entry {})", words(&stamped.event), stamped.entry);
    let mut form = forms::withdraw(stamped.entry, &what);
    let replaced = match stamped.event.inner() {
        Event::Answered(answered) => answered.corrects.as_ref(),
        Event::ReadingTaken(taken) => taken.corrects.as_ref(),
        _ => None,
    };
    if let Some(earlier) = replaced {
        form = form.intro(format!(
            "It corrected entry {}, which stays struck through: what is right has to be entered anew.",
            earlier.entry
        ));
    }
    if !after.is_empty() {
        let entries: Vec<String> = after.iter().map(|told| told.entry.to_string()).collect();
        form = form.intro(format!("Entered after it and not taken back by this: {}.", entries.join(", ")));
    }
    let slips = SLIPS.map(ToString::to_string).to_vec();
    form.fields.insert(0, Field::choice("slip", "what went wrong", slips, Some(0)));
    for field in form.fields.iter_mut().filter(|field| field.name == "why") {
        field.hint = "in your own words; it stands in the record".to_string();
    }
    form
}

/// The reason of a withdrawal: what went wrong, then the typed words. Without typed words there is none.
pub fn why(form: &Form) -> String {
    let typed = form.text("why");
    let slip = form.chosen("slip").and_then(|at| SLIPS.get(at)).filter(|slip| **slip != "other");
    match slip {
        Some(slip) if !typed.is_empty() => format!("{slip}: {typed}"),
        _ => typed,
    }
}

impl App {
    pub(super) fn undo(&mut self, desk: &dyn Desk) {
        let (Some(view), Some(person)) = (desk.session(), desk.person()) else { return };
        let last = last_own(&view, &person.id, self.had);
        match last.entry {
            Some(stamped) => {
                let form = form(stamped, &last.after);
                self.open_form(form);
            }
            None => {
                let text = match last.after.first() {
                    Some(stamped) => format!(
                        "nothing that you recorded since it was opened can be taken back; the last was \"{}\": write a further note (n)",
                        words(&stamped.event)
                    ),
                    None => {
                        "you recorded nothing since it was opened; c on its step corrects an earlier entry"
                            .to_string()
                    }
                };
                self.say(Tone::Plain, text);
            }
        }
    }
}
