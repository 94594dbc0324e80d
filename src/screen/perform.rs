//! Commands of the full screens.

use super::app::{After, App, Overlay, Tone};
use super::begin::begin_pick;
use super::body;
use super::desk::{Desk, Wish};
use super::form::Form;
use super::forms;
use super::forms_due;
use super::hangar;
use super::list::Cursor;
use super::pick::{Pick, Then};
use super::readings;
use super::records;
use super::sign_off;
use super::worksheet;
use crate::command::{Id, Place};
use crate::completion::Subject;
use crate::event::StepResult;
use crate::plan::PlanStep;
use crate::session::Request;

impl App {
    pub(super) fn perform(&mut self, desk: &mut dyn Desk, id: Id) {
        if self.on_replay(desk, id)
            || self.on_order(desk, id)
            || self.on_handover(desk, id)
            || self.on_file(desk, id)
        {
            return;
        }
        match id {
            Id::Up => self.go_to(desk, self.cursor().at.saturating_sub(1)),
            Id::Down => self.go_to(desk, self.cursor().at + 1),
            Id::First => self.go_to(desk, 0),
            Id::Last => self.go_to(desk, usize::MAX),
            Id::ScrollUp => self.scroll(-self.page()),
            Id::ScrollDown => self.scroll(self.page()),
            Id::Back => self.go_back(desk),
            Id::Help => self.go(desk, Place::Help),
            Id::Menu => self.open_menu(desk),
            Id::Places => self.open_places(),
            Id::Undo => self.undo(desk),
            Id::FromPaper => self.open_paper(desk),
            Id::Pace => self.show_pace(desk),
            Id::NextHit | Id::PreviousHit => self.other_hit(desk, id == Id::NextHit),
            Id::GoWorksheet => self.go(desk, Place::Worksheet),
            Id::GoDefects => self.go(desk, Place::Defects),
            Id::ShowSketch | Id::OtherView => self.on_airframe(desk, id),
            Id::GoRecords => self.go(desk, Place::Records),
            Id::GoReadings => self.go(desk, Place::Readings),
            Id::GoSignOff => self.go(desk, Place::SignOff),
            Id::GoHistory => self.go(desk, Place::History),
            Id::GoFindings => self.go(desk, Place::Findings),
            Id::Jump if self.place == Place::Findings => self.show_entry(desk),
            Id::Who => self.ask_who(desk),
            Id::Open => self.open_item(desk),
            Id::Jump => self.jump(desk),
            Id::Continue => self.open_form(forms::continue_session()),
            Id::Answer => self.answer_record(desk),
            Id::NewReport | Id::LookForOffer | Id::BringForward => self.on_intake(desk, id),
            Id::Dispose | Id::Rectify | Id::Reinspect | Id::TakeBack => self.on_defect(desk, id),
            Id::FilterAll | Id::FilterMissing | Id::FilterUnsettled | Id::FilterTargeted => {
                self.on_measure(desk, id);
            }
            Id::Reading | Id::Correct if self.place == Place::Readings => self.on_measure(desk, id),
            Id::Evidence if self.place == Place::Defects => self.on_defect(desk, id),
            Id::Defect if self.place == Place::Defects => {
                self.open_form(forms::defect(None, forms::datum(desk).as_deref()))
            }
            Id::Note if self.place != Place::Worksheet => self.open_form(forms::note(None)),
            Id::Pause => self.pause(desk),
            Id::Search => self.open_form(forms::search(&self.last_search)),
            Id::NextOpen | Id::NextSection | Id::PreviousSection => self.move_on(desk, id),
            _ => self.on_step(desk, id),
        }
    }

    /// Items that can be selected at a place.
    pub(super) fn count(&self, desk: &dyn Desk, place: Place) -> usize {
        match (&self.replay, place) {
            (Some(replay), Place::Replay) => replay.len(),
            (Some(replay), Place::ReplaySheet) => replay.plan().steps.len(),
            (_, Place::Order) => self.order_len(),
            (_, Place::Handover) => self.handover_len(desk),
            (_, Place::Airframe | Place::Registers) => self.book.len(),
            _ => body::count(desk, place, self.readings),
        }
    }

    fn page(&self) -> isize {
        isize::try_from(self.seen.page.saturating_sub(1).max(1)).unwrap_or(1)
    }

    /// Selects an item; past the end means the last one.
    pub(super) fn go_to(&mut self, desk: &dyn Desk, at: usize) {
        let last = self.count(desk, self.place).saturating_sub(1);
        *self.cursor_mut() = Cursor { at: at.min(last), scroll: 0 };
    }

    /// Goes to a screen. One that lies on the way back is gone back to, so that the way never grows long.
    pub(super) fn go(&mut self, desk: &dyn Desk, place: Place) {
        if place == self.place {
            return;
        }
        match self.back.iter().position(|before| *before == place) {
            Some(at) => self.back.truncate(at),
            None => self.back.push(self.place),
        }
        self.show(desk, place);
    }

    pub(super) fn show(&mut self, desk: &dyn Desk, place: Place) {
        self.place = place;
        self.refresh_replay(desk);
        self.refresh_order(desk);
        if place == Place::History {
            self.go_to(desk, usize::MAX);
        } else {
            // The list may have grown shorter since.
            let at = self.cursor().at;
            if at >= self.count(desk, place) {
                self.go_to(desk, at);
            }
        }
        self.cursor_mut().scroll = 0;
    }

    pub(super) fn go_back(&mut self, desk: &mut dyn Desk) {
        let Some(before) = self.back.pop() else {
            return self.say(Tone::Plain, "there is nothing to go back to; q leaves the program");
        };
        if before == Place::Hangar && self.place != Place::Help {
            let drafts = self.session_drafts();
            if !drafts.is_empty() {
                self.back.push(before);
                let text = format!(
                    "not left: typed and not recorded: {}; open it where it was typed and save it, or throw it away (Ctrl-X twice)",
                    drafts.join("; ")
                );
                return self.say(Tone::Bad, text);
            }
            if self.carry(desk, Wish::LeaveSession).is_err() {
                self.back.push(before);
                return;
            }
            self.back.clear();
        }
        self.place = before;
        self.refresh_replay(desk);
        self.refresh_order(desk);
        let at = self.cursor().at;
        if at >= self.count(desk, before) {
            self.go_to(desk, at);
        }
    }

    fn ask_who(&mut self, desk: &dyn Desk) {
        let people = &desk.hangar().people;
        if people.is_empty() {
            return self.say(
                Tone::Bad,
                "the people register is empty; in the hangar r opens the registers, where people are entered",
            );
        }
        let mut pick = Pick::new("Who is working?").intro("Every entry from now on is made in this name.");
        for person in people {
            pick = pick.option(format!("{} ({})", person.name, person.role), Then::ActAs(person.id.clone()));
        }
        let now = desk.person().map(|person| person.id.as_str());
        pick.at = people.iter().position(|person| Some(person.id.as_str()) == now).unwrap_or(0);
        self.overlays.push(Overlay::Pick(pick));
    }

    fn open_item(&mut self, desk: &mut dyn Desk) {
        let at = self.cursor().at;
        match hangar::items(desk.hangar()).get(at) {
            Some(hangar::Item::Airframe(row)) if row.fault.is_some() => {
                self.say(Tone::Bad, "its record has a fault; e shows it, with what can be put right there");
            }
            Some(hangar::Item::Airframe(row)) => {
                let registration = row.registration.clone();
                if desk.person().is_none() {
                    self.say(Tone::Plain, "choose first who is working");
                    return self.ask_who(desk);
                }
                let name = desk.person().map_or("", |person| person.name.as_str());
                let plan = desk.preview(&registration);
                let pick = begin_pick(desk.hangar(), registration, name, &plan);
                self.overlays.push(Overlay::Pick(pick));
            }
            Some(hangar::Item::Session(row)) if !row.can_open => {
                let text = format!("it cannot be opened: {}", row.standing);
                self.say(Tone::Bad, text);
            }
            Some(hangar::Item::Session(row)) => {
                let sid = row.sid.clone();
                if self.carry(desk, Wish::OpenSession { sid }).is_ok() {
                    self.enter_session(desk);
                }
            }
            Some(hangar::Item::Fault(_)) => {
                self.say(Tone::Plain, "there is nothing to open; correct the file, then start again");
            }
            None => self.say(Tone::Plain, "nothing is here yet: r enters a person, n an airframe"),
        }
    }

    fn enter_session(&mut self, desk: &dyn Desk) {
        if desk.session().is_none() {
            return;
        }
        self.back = vec![Place::Hangar];
        self.place = Place::Worksheet;
        self.arrive(desk);
        if desk.person().is_none() {
            self.ask_who(desk);
        }
    }

    /// What a choice asked for.
    pub(super) fn then(&mut self, desk: &mut dyn Desk, then: Then) {
        match then {
            Then::Nothing => {}
            Then::Command(id) => self.command(desk, id),
            Then::Hit(at) => self.go_to_hit(desk, at),
            Then::Quit => self.after = After::Quit,
            Then::ActAs(id) => {
                if self.carry(desk, Wish::ActAs(id)).is_ok()
                    && self.message.is_none()
                    && let Some(person) = desk.person()
                {
                    self.say(Tone::Plain, format!("{} is working", person.name));
                }
                // The greeting must not hide what an earlier run left unrecorded.
                let drafts = self.not_recorded();
                if let Some(message) = self.message.as_mut().filter(|_| !drafts.is_empty()) {
                    message.text.push_str(&format!("; typed and NOT recorded: {}", drafts.join("; ")));
                }
            }
            Then::TakeOut { file, spot, was } => self.take_out(desk, file, spot, was),
            Then::MakeRoom => {
                if self.carry(desk, Wish::MakeRoom).is_ok() {
                    self.full = false;
                }
            }
            Then::Open { sid } => {
                if self.carry(desk, Wish::OpenSession { sid }).is_ok() {
                    self.enter_session(desk);
                }
            }
            Then::NewReport { kind } => self.open_new_report(desk, &kind),
            Then::Begin { registration } => {
                if self.carry(desk, Wish::Begin { registration }).is_ok() {
                    self.enter_session(desk);
                }
            }
            Then::Read { step, measure, corrects } => self.open_reading(desk, &step, &measure, corrects),
            Then::CorrectAnswer { step } => self.correct_answer(desk, &step, None),
            Then::TakeBack { entry, what } => self.open_form(forms::withdraw(entry, &what)),
            Then::Answer { step, result } => self.record_answer(desk, &step, result),
            Then::Confirm { step } => {
                self.confirm_configuration(desk, &step);
            }
            Then::ConfirmBlock { configuration } => {
                let words = configuration.to_string();
                let is_saved = self.carry(desk, Wish::Record(Request::Confirm(configuration))).is_ok();
                if let Some(message) = self.message.as_mut().filter(|_| is_saved) {
                    message.text.push_str(&format!("; confirmed: {words}"));
                }
            }
            Then::ConfirmAndAnswer { step, result } => {
                if self.confirm_configuration(desk, &step) {
                    self.record_answer(desk, &step, result);
                }
            }
        }
    }

    fn jump(&mut self, desk: &mut dyn Desk) {
        let at = self.cursor().at;
        let Some(view) = desk.session() else { return };
        let subject = match self.place {
            Place::SignOff => match sign_off::items(&view).get(at) {
                Some(sign_off::Item::Outcome(outcome)) => {
                    let outcome = *outcome;
                    if let Some(told) = &view.state.signed {
                        let is_signer = desk.person().is_none_or(|person| person.id == told.what.by.id);
                        if is_signer {
                            return self.say(
                                Tone::Plain,
                                "it is signed and closed; a second person (w) may countersign it",
                            );
                        }
                        let form = forms::countersign(desk, &view);
                        return self.open_form(form);
                    }
                    if !view.verdict.allows(outcome) {
                        let text = format!(
                            "\"{}\" cannot be signed yet; the reasons stand in the list",
                            outcome.word()
                        );
                        return self.say(Tone::Bad, text);
                    }
                    if let Some(why) = view.read_only {
                        let text = format!("it cannot be signed here: {why}");
                        return self.say(Tone::Bad, text);
                    }
                    let form = forms::sign(desk, &view, outcome);
                    return self.open_form(form);
                }
                Some(sign_off::Item::Refusal(refusal)) => Some(refusal.subject.clone()),
                None => None,
            },
            Place::Defects => {
                view.state.defects.get(at).and_then(|defect| defect.raised.step.clone()).map(Subject::Step)
            }
            Place::Readings => readings::items(&view, self.readings)
                .get(at)
                .map(|item| Subject::Step(item.planned.step.id.clone())),
            _ => view
                .entries
                .get(at)
                .and_then(|stamped| stamped.event.step())
                .map(|step| Subject::Step(step.to_string())),
        };
        match subject {
            Some(subject) => self.go_to_subject(desk, &subject),
            None => self.say(Tone::Plain, "it is about no step"),
        }
    }

    fn go_to_subject(&mut self, desk: &dyn Desk, subject: &Subject) {
        let Some(view) = desk.session() else { return };
        let record = |wanted: &dyn Fn(&records::Record<'_>) -> bool| {
            records::items(&view, desk.today()).iter().position(wanted)
        };
        let (place, at) = match subject {
            Subject::Step(id) => (Place::Worksheet, view.plan.position(id)),
            Subject::Defect(id) => {
                (Place::Defects, view.state.defects.iter().position(|defect| defect.id == *id))
            }
            Subject::Report(id) => {
                let wanted =
                    |item: &records::Record<'_>| matches!(item, records::Record::Report(r) if r.id == *id);
                (Place::Records, record(&wanted))
            }
            Subject::Directive(id) => {
                let wanted =
                    |item: &records::Record<'_>| matches!(item, records::Record::Directive(d) if d.id == *id);
                (Place::Records, record(&wanted))
            }
            Subject::LifeItem(id) => {
                let wanted =
                    |item: &records::Record<'_>| matches!(item, records::Record::LifeItem(i) if i.id == *id);
                (Place::Records, record(&wanted))
            }
            Subject::Record => (Place::History, Some(usize::MAX)),
            Subject::Signer => return self.ask_who(desk),
        };
        // Esc comes back to where the jump began.
        if place != self.place {
            self.back.push(self.place);
            self.show(desk, place);
        }
        if let Some(at) = at {
            self.go_to(desk, at);
        }
    }

    fn answer_record(&mut self, desk: &dyn Desk) {
        let Some(view) = desk.session() else { return };
        let form: Option<Form> = match records::items(&view, desk.today()).get(self.cursor().at) {
            Some(records::Record::Report(report)) => Some(forms::set_aside(report)),
            Some(records::Record::Directive(directive)) => {
                Some(forms_due::directive(&view, desk.today(), directive))
            }
            Some(records::Record::LifeItem(item)) => Some(forms_due::life_item(&view, desk.today(), item)),
            Some(records::Record::Due(_)) => {
                return self
                    .say(Tone::Plain, "it is answered where it stands above, or in the airframe's record");
            }
            Some(records::Record::CarriedDefect(defect)) => {
                Some(forms::dispose(view.plan, defect, desk.today()))
            }
            Some(
                records::Record::Withdrawn(_)
                | records::Record::FailedBefore(..)
                | records::Record::ReadingsBefore,
            )
            | None => None,
        };
        match form {
            Some(form) => self.open_form(form),
            None => self.say(Tone::Plain, "there is nothing to answer here; its details stand beside"),
        }
    }

    fn on_defect(&mut self, desk: &dyn Desk, id: Id) {
        let Some(view) = desk.session() else { return };
        let Some(defect) = view.state.defects.get(self.cursor().at) else { return };
        if id == Id::Reinspect && defect.raised.step.is_some() {
            // The form would be declined when it is filled.
            return self.say(Tone::Plain, "work its step again, that is the re-inspection: Enter goes there");
        }
        let form = match id {
            Id::Dispose => forms::dispose(view.plan, defect, desk.today()),
            Id::Rectify => forms::rectify(defect),
            Id::Reinspect => forms::reinspect(defect),
            Id::Evidence => forms::evidence(None, Some(&defect.id), None),
            _ => forms::withdraw(defect.stamp.entry, &format!("defect {}", defect.id)),
        };
        self.open_form(form);
    }

    fn move_on(&mut self, desk: &dyn Desk, id: Id) {
        let Some(view) = desk.session() else { return };
        let at = self.cursor().at;
        match id {
            Id::NextOpen => match worksheet::next_open(&view, at) {
                Some(next) => self.go_to(desk, next),
                None => self
                    .say(Tone::Good, "no mandatory step is open; s shows what else stands against signing"),
            },
            _ => {
                let next = worksheet::other_section(&view, at, id == Id::NextSection);
                self.go_to(desk, next);
            }
        }
    }

    /// In the replay the next entry that contains the text, elsewhere everything that does.
    pub(super) fn find(&mut self, desk: &mut dyn Desk, text: &str) {
        if matches!(self.place, Place::Replay | Place::ReplaySheet) {
            return self.find_in_record(text);
        }
        self.search(desk, text);
    }

    pub(super) fn planned(desk: &dyn Desk, at: usize) -> Option<PlanStep> {
        desk.session()?.plan.steps.get(at).cloned()
    }

    pub(super) fn result_of(id: Id) -> Option<StepResult> {
        match id {
            Id::Pass => Some(StepResult::Passed),
            Id::Fail => Some(StepResult::Failed),
            Id::NotApplicable => Some(StepResult::NotApplicable),
            _ => None,
        }
    }
}
