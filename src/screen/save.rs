//! Saving what was typed, keeping it as a draft, and finding the draft again.

use super::app::{App, Message, Overlay, Tone, is_touched, words_of};
use super::desk::{Desk, Told, Wish};
use super::file_form;
use super::form::{Form, FormStep, Problem};
use super::purpose::Purpose;
use super::series::Series;
use super::wishes::wish_of;

impl App {
    pub(super) fn after_form(&mut self, desk: &mut dyn Desk, step: FormStep) {
        match step {
            FormStep::Stays => {}
            FormStep::Save => self.save(desk),
            FormStep::ThrowAway => {
                self.overlays.pop();
                self.say(Tone::Plain, "thrown away");
            }
            FormStep::Leave => {
                if let Some(mut left) = self.overlays.pop()
                    && is_touched(&left)
                {
                    if let Overlay::Form(form) = &mut left {
                        form.forget_secrets();
                    }
                    self.say(Tone::Plain, format!("kept as a draft, not recorded: {}", words_of(&left)));
                    self.drafts.push(left);
                }
            }
        }
    }

    /// Saves what lies on top; on a refusal it stays open with the reason and everything typed.
    fn save(&mut self, desk: &mut dyn Desk) {
        match self.save_handover(desk).or_else(|| self.save_paper(desk)) {
            None => {}
            Some(Ok(())) => return,
            Some(Err(problem)) => {
                if let Some(Overlay::Form(form)) = self.overlays.last_mut() {
                    form.problem = Some(problem);
                }
                return;
            }
        }
        let wish = match self.overlays.last() {
            Some(Overlay::Form(form)) if form.purpose == Purpose::Search => {
                let text = form.text("text");
                self.overlays.pop();
                return self.find(desk, &text);
            }
            Some(Overlay::Form(form)) if form.purpose.asks_the_screen() => {
                let (purpose, text) = (form.purpose.clone(), form.text("text"));
                self.overlays.pop();
                return self.replay_asked(desk, &purpose, &text);
            }
            Some(Overlay::Form(form)) if form.purpose.is_on_file() => return self.save_on_file(desk),
            Some(Overlay::Form(form)) => wish_of(form, desk),
            Some(Overlay::Series(series)) => series.request(desk).map(Wish::Record),
            _ => return,
        };
        let problem = match wish {
            Err(problem) => problem,
            Ok(wish) => match self.carry(desk, wish) {
                Ok(()) => {
                    if let Some(saved) = self.overlays.pop() {
                        self.after_saved(desk, &saved);
                        self.keep_selection(desk);
                    }
                    return;
                }
                Err(problem) => problem,
            },
        };
        match self.overlays.last_mut() {
            Some(Overlay::Form(form)) => {
                form.forget_secrets();
                form.problem = Some(problem);
            }
            Some(Overlay::Series(series)) => series.problem = Some(problem),
            _ => {}
        }
    }

    /// The same for a form on a record or register, which goes to the field that is wrong.
    fn save_on_file(&mut self, desk: &mut dyn Desk) {
        let Some(Overlay::Form(mut form)) = self.overlays.pop() else { return };
        match file_form::wish(&form) {
            Err((at, problem)) => {
                form.at = at;
                self.say(Tone::Bad, format!("not written: {}; {}", problem.why, problem.next));
                form.problem = Some(problem);
            }
            Ok(wish) => match self.carry(desk, wish) {
                Ok(()) => return self.after_file(desk, &form),
                Err(problem) => {
                    form.problem = Some(problem);
                    self.on_newer_file(desk, &mut form);
                }
            },
        }
        form.forget_secrets();
        self.overlays.push(Overlay::Form(form));
    }

    /// Asks the desk; the message says "saved" only when the entry is durable.
    pub(super) fn carry(&mut self, desk: &mut dyn Desk, wish: Wish) -> Result<(), Problem> {
        let with_note = |text: String, note: Option<String>| match note {
            Some(note) => format!("{text}; {note}"),
            None => text,
        };
        match desk.carry_out(wish) {
            Told::Saved { entry, note } => {
                self.full = false;
                self.say(Tone::Good, with_note(format!("saved, entry {entry}"), note));
                Ok(())
            }
            Told::Done { note } => {
                self.message = note.map(|text| Message { tone: Tone::Plain, text });
                Ok(())
            }
            Told::Declined { why, next } => {
                self.say(Tone::Bad, format!("not recorded: {why}; {next}"));
                Err(Problem { why, next })
            }
            Told::Full { why, next, ballast } => {
                self.failed = true;
                self.full = ballast;
                let ballast =
                    if ballast { "; Ctrl-F gives the ballast back, for a pause or sign-off" } else { "" };
                let next = format!("{next}{ballast}; Ctrl-R makes a rescue copy on another disk");
                self.say(Tone::Bad, format!("NOT RECORDED, the disk is full: {next}. {why}"));
                Err(Problem { why, next })
            }
            Told::Failed { why, next } => {
                self.failed = true;
                let next = format!("{next}; Ctrl-R makes a rescue copy");
                self.say(Tone::Bad, format!("NOT RECORDED, the disk failed: {why}; {next}"));
                Err(Problem { why, next })
            }
        }
    }

    /// Opens a form, with what was typed into it before: the draft that was left, or what an earlier run kept.
    pub(super) fn open_form(&mut self, mut form: Form) {
        let same = |overlay: &Overlay| matches!(overlay, Overlay::Form(draft) if is_same(&draft.purpose, &form.purpose));
        match self.drafts.iter().position(same) {
            Some(at) => {
                let mut draft = self.drafts.remove(at);
                if let Overlay::Form(draft) = &mut draft {
                    // An entry may stand at another place of its file now.
                    draft.purpose = form.purpose;
                }
                self.overlays.push(draft);
                self.say(Tone::Plain, "your draft is back; Ctrl-X twice throws it away");
            }
            None => {
                let is_kept = self.take_kept(&mut form);
                self.overlays.push(Overlay::Form(form));
                if is_kept {
                    self.say(Tone::Plain, "what was typed before is back; Ctrl-X twice throws it away");
                }
            }
        }
    }

    pub(super) fn open_series(&mut self, series: Series) {
        let same = |overlay: &Overlay| match overlay {
            Overlay::Series(draft) => {
                (&draft.step, &draft.measure.id, draft.corrects)
                    == (&series.step, &series.measure.id, series.corrects)
            }
            _ => false,
        };
        match self.drafts.iter().position(same) {
            Some(at) => {
                let draft = self.drafts.remove(at);
                self.overlays.push(draft);
                self.say(Tone::Plain, "your table is back; Ctrl-X twice throws it away");
            }
            None => self.overlays.push(Overlay::Series(Box::new(series))),
        }
    }
}

/// Whether a draft is that of a form: an entry of a file is known by its name.
fn is_same(draft: &Purpose, form: &Purpose) -> bool {
    draft == form || (draft.is_on_file() && draft.kept_as().is_some() && draft.kept_as() == form.kept_as())
}
