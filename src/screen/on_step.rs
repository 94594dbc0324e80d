//! Commands of the worksheet's selected step.

use super::app::{App, Overlay, Tone};
use super::desk::{Desk, SessionView, Wish};
use super::forms;
use super::pick::{Pick, Then};
use super::purpose::Purpose;
use super::reading;
use super::series::Series;
use super::text::some_of;
use super::worksheet;
use crate::audit::verify::paper_code;
use crate::checklist::MeasureKind;
use crate::command::Id;
use crate::event::{EntryNumber, StepResult};
use crate::plan::PlanStep;
use crate::session::{Request, value_words};
use crate::state::{Judgement, ReadingVerdict};

impl App {
    pub(super) fn on_step(&mut self, desk: &mut dyn Desk, id: Id) {
        let Some(planned) = App::planned(desk, self.cursor().at) else { return };
        if let Some(result) = App::result_of(id) {
            return self.answer(desk, &planned, result);
        }
        match id {
            Id::Initial => self.open_initial(desk, &planned, None),
            Id::Note => self.open_form(forms::note(Some(&planned))),
            Id::Evidence => {
                let wanting = desk.session().and_then(|view| first_wanting(&view, &planned));
                self.open_form(forms::evidence(Some(&planned), None, wanting));
            }
            Id::Defect => self.open_form(forms::defect(Some(&planned), forms::datum(desk).as_deref())),
            Id::Independent => self.open_inspection(desk, &planned),
            Id::Reading => self.choose_measure(desk, &planned),
            Id::Correct => self.choose_correction(desk, &planned),
            Id::Confirm => self.ask_configuration(&planned),
            _ => {}
        }
    }

    fn open_initial(&mut self, desk: &dyn Desk, planned: &PlanStep, wanted: Option<StepResult>) {
        let person = desk.person().map_or("nobody", |person| person.name.as_str());
        self.open_form(forms::initial(planned, person, wanted));
    }

    /// Asked before it is recorded: a stray key would say that the airframe stands as it does not.
    fn ask_configuration(&mut self, planned: &PlanStep) {
        let step = planned.step.id.clone();
        let mut pick = Pick::new("Does the airframe stand so now?")
            .intro(planned.step.configuration.to_string())
            .option("it stands so: confirm it", Then::Confirm { step })
            .option("back", Then::Nothing);
        pick.at = 1;
        self.overlays.push(Overlay::Pick(pick));
    }

    /// Warns when the person at the keys is the one who answered: the second look must be another's.
    fn open_inspection(&mut self, desk: &dyn Desk, planned: &PlanStep) {
        let first = desk
            .session()
            .and_then(|view| Some(view.state.step(&planned.step.id)?.answer()?.answered.by.clone()));
        let now = desk.person();
        let same = first.filter(|first| now.is_some_and(|now| now.id == first.id));
        let warning = same.map(|by| {
            format!("{} answered this step and is at the keys: another person must inspect it", by.name)
        });
        self.open_form(forms::inspect(planned).caution(warning));
    }

    pub(super) fn pause(&mut self, desk: &mut dyn Desk) {
        let is_paused = desk.session().is_some_and(|view| view.state.paused.is_some());
        if is_paused {
            // A refusal stands in the message.
            let _ = self.carry(desk, Wish::Record(Request::Resume));
        } else {
            self.open_form(forms::pause());
        }
    }

    /// One key answers; an answered step asks for the reason of the correction, and work out of
    /// configuration or out of turn asks first, since the signature would be refused for it.
    fn answer(&mut self, desk: &mut dyn Desk, planned: &PlanStep, result: StepResult) {
        let Some(view) = desk.session() else { return };
        let type_id = &view.plan.airframe.type_id;
        if desk.person().is_some_and(|person| !person.certifies(type_id, desk.today())) {
            return self.open_initial(desk, planned, Some(result));
        }
        let step = planned.step.id.clone();
        if let Some(answer) = view.state.step(&step).and_then(|state| state.answer()) {
            // A key held too long must not open a form and type into it.
            if answer.answered.result == result {
                let text = format!("{} already; c corrects it", result.word());
                return self.say(Tone::Plain, text);
            }
            return self.correct_answer(desk, &step, Some(result));
        }
        if result == StepResult::NotApplicable {
            if planned.step.may_be_not_applicable {
                return self.open_form(forms::not_applicable(planned));
            }
            return self.record_answer(desk, &step, result);
        }
        let unmet = planned.step.configuration.unmet_in(&view.state.configuration);
        let waiting: Vec<&str> = view
            .state
            .open_before(view.plan, planned)
            .into_iter()
            .map(|before| view.plan.step(before).map_or(before, |step| step.step.title.as_str()))
            .collect();
        if unmet.is_empty() && waiting.is_empty() {
            return self.record_answer(desk, &step, result);
        }
        let mut pick = Pick::new(format!("{}: {}", planned.step.title, result.word()));
        if !unmet.is_empty() {
            pick = pick.intro(format!("Its configuration is not confirmed: {unmet}."));
            if waiting.is_empty() {
                let then = Then::ConfirmAndAnswer { step: step.clone(), result };
                pick = pick.option("the airframe stands so: confirm it, and answer", then);
            }
        }
        if !waiting.is_empty() {
            pick = pick.intro(format!("It depends on steps that are open: {}.", some_of(&waiting)));
        }
        pick = pick
            .intro("Answered like this, it keeps the session from being signed until it is corrected.")
            .option("back, without an answer", Then::Nothing)
            .option("record it all the same", Then::Answer { step, result });
        // A stray Enter goes back.
        pick.at = pick.options.iter().position(|(_, then)| *then == Then::Nothing).unwrap_or(0);
        self.overlays.push(Overlay::Pick(pick));
    }

    pub(super) fn record_answer(&mut self, desk: &mut dyn Desk, step: &str, result: StepResult) {
        let request = Request::Answer { step: step.to_string(), result, reason: None, why: None };
        if self.carry(desk, Wish::Record(request)).is_err() {
            return;
        }
        self.say_what_is_missing(desk, step);
        if result == StepResult::Failed {
            self.open_defect_after_failure(desk, step);
        }
    }

    /// The fail stands whatever becomes of the form.
    fn open_defect_after_failure(&mut self, desk: &dyn Desk, step: &str) {
        let Some(view) = desk.session() else { return };
        let has_open = view.state.defects_of(step).any(|defect| defect.is_open());
        if let Some(planned) = view.plan.step(step).filter(|_| !has_open) {
            let saved = self.message.as_ref().map_or(String::new(), |message| message.text.clone());
            let form = forms::defect(Some(planned), forms::datum(desk).as_deref());
            self.open_form(form);
            if let Some(Overlay::Form(form)) = self.overlays.last_mut() {
                form.intro.insert(0, format!("The fail is {saved}. Esc leaves this form; the fail stays."));
            }
        }
    }

    fn say_what_is_missing(&mut self, desk: &dyn Desk, step: &str) {
        let Some(view) = desk.session() else { return };
        let (Some(planned), Some(state)) = (view.plan.step(step), view.state.step(step)) else { return };
        let flags = worksheet::flags(&view, planned, state);
        if let Some(message) = self.message.as_mut().filter(|_| !flags.is_empty()) {
            message.text.push_str(&format!("; still to do here: {}", flags.join(", ")));
        }
    }

    pub(super) fn confirm_configuration(&mut self, desk: &mut dyn Desk, step: &str) -> bool {
        let needed = desk.session().and_then(|view| Some(view.plan.step(step)?.step.configuration.clone()));
        match needed {
            Some(needed) => {
                let words = needed.to_string();
                let is_saved = self.carry(desk, Wish::Record(Request::Confirm(needed))).is_ok();
                if let Some(message) = self.message.as_mut().filter(|_| is_saved) {
                    message.text.push_str(&format!("; confirmed: {words}"));
                }
                is_saved
            }
            None => false,
        }
    }

    fn choose_measure(&mut self, desk: &dyn Desk, planned: &PlanStep) {
        let Some(view) = desk.session() else { return };
        let found: Vec<(String, String, u32)> = reading::missing(view.state, planned)
            .map(|(measure, missing)| (measure.id.clone(), measure.title.clone(), missing))
            .collect();
        if let [(measure, _, _)] = found.as_slice() {
            return self.open_reading(desk, &planned.step.id, measure, None);
        }
        let mut pick = Pick::new("Which measurement?").intro(planned.step.title.clone());
        for (measure, title, missing) in &found {
            let state = if *missing > 0 { format!("{missing} missing") } else { "complete".to_string() };
            let then = Then::Read { step: planned.step.id.clone(), measure: measure.clone(), corrects: None };
            pick = pick.option(format!("{title} ({state})"), then);
        }
        pick.at = found.iter().position(|(_, _, missing)| *missing > 0).unwrap_or(0);
        self.overlays.push(Overlay::Pick(pick));
    }

    pub(super) fn open_reading(
        &mut self,
        desk: &dyn Desk,
        step: &str,
        measure: &str,
        corrects: Option<EntryNumber>,
    ) {
        let Some(view) = desk.session() else { return };
        let Some(planned) = view.plan.step(step) else { return };
        let Some(found) = planned.step.measure(measure) else { return };
        let state = view.state.step(step);
        let replaced = state.and_then(|state| {
            state.readings_of(measure).find(|reading| Some(reading.stamp.entry) == corrects)
        });
        let usual = self.instruments.get(&format!("{step}/{measure}")).cloned();
        if matches!(found.kind, MeasureKind::LoadDeflection(_)) {
            let taken = state.map_or(0, |state| state.readings_of(measure).count());
            let needs_why = u32::try_from(taken).is_ok_and(|taken| taken >= found.readings);
            let series = Series::new(desk, view.plan, planned, found, replaced, usual.as_deref(), needs_why);
            if let Some(series) = series {
                self.open_series(series);
            }
        } else {
            self.open_form(reading::form(desk, planned, found, replaced, usual.as_deref()));
        }
    }

    fn choose_correction(&mut self, desk: &dyn Desk, planned: &PlanStep) {
        let Some(view) = desk.session() else { return };
        let id = planned.step.id.as_str();
        let Some(state) = view.state.step(id) else { return };
        let mut pick = Pick::new("What is to be corrected?")
            .intro("The earlier entry stays in the record, struck through, with who, when and why.");
        if let Some(answer) = state.answer() {
            let what =
                format!("the answer \"{}\" (entry {})", answer.answered.result.word(), answer.stamp.entry);
            pick = pick.option(format!("correct {what}"), Then::CorrectAnswer { step: id.to_string() });
            pick =
                pick.option(format!("take back {what}"), Then::TakeBack { entry: answer.stamp.entry, what });
        }
        for measure in &planned.step.measures {
            for reading in state.readings_of(&measure.id) {
                let value = value_words(&reading.taken.value);
                let entry = reading.stamp.entry;
                let what = format!("the reading {} {value} (entry {entry})", measure.title);
                let then =
                    Then::Read { step: id.to_string(), measure: measure.id.clone(), corrects: Some(entry) };
                pick = pick.option(format!("correct {what}"), then);
                pick = pick.option(format!("take back {what}"), Then::TakeBack { entry, what });
            }
        }
        for initials in state.initials() {
            let entry = initials.stamp.entry;
            let what = format!("the initials of {} (entry {entry})", initials.stamp.hand().name);
            pick = pick.option(format!("take back {what}"), Then::TakeBack { entry, what });
        }
        let needed = &planned.step.configuration;
        let confirmed = view.state.confirmations.iter().filter(|told| told.struck.is_none());
        for told in confirmed.filter(|told| told.what.iter().any(|(aspect, _)| needed.get(aspect).is_some()))
        {
            let entry = told.stamp.entry;
            let what = format!("the confirmation \"{}\" (entry {entry})", told.what);
            pick = pick.option(format!("take back {what}"), Then::TakeBack { entry, what });
        }
        let files = view.state.evidence.iter().filter(|told| told.what.step.as_deref() == Some(id));
        for told in files.filter(|told| told.struck.is_none()) {
            let what = format!("the evidence {} (entry {})", told.what.name, told.stamp.entry);
            pick = pick.option(format!("take back {what}"), Then::TakeBack { entry: told.stamp.entry, what });
        }
        self.overlays.push(Overlay::Pick(pick));
    }

    pub(super) fn correct_answer(&mut self, desk: &dyn Desk, step: &str, wanted: Option<StepResult>) {
        let Some(view) = desk.session() else { return };
        let Some(planned) = view.plan.step(step) else { return };
        let Some(answer) = view.state.step(step).and_then(|state| state.answer()) else { return };
        let wanted = wanted.unwrap_or(answer.answered.result);
        self.open_form(forms::correct_answer(planned, answer, wanted));
    }

    /// What follows from a saved form: the next thing to do, in the message or as a form.
    pub(super) fn after_saved(&mut self, desk: &mut dyn Desk, saved: &Overlay) {
        match saved {
            Overlay::Form(form) => match &form.purpose {
                Purpose::Reading { step, measure, .. } => {
                    let used = desk.session().and_then(|view| {
                        let found = view.plan.step(step)?.step.measure(measure)?.clone();
                        reading::chosen_instrument(form.chosen("instrument"), desk, &found)
                            .map(|instrument| instrument.id.clone())
                    });
                    if let Some(used) = used {
                        self.instruments.insert(format!("{step}/{measure}"), used);
                    }
                    self.say_verdict(desk, step, measure);
                }
                Purpose::CorrectAnswer { step } => {
                    let is_failed = desk
                        .session()
                        .is_some_and(|view| view.state.standing(step) == crate::state::StepStanding::Failed);
                    self.say_what_is_missing(desk, step);
                    if is_failed {
                        self.open_defect_after_failure(desk, step);
                    }
                }
                Purpose::Defect { step: Some(step) } => self.say_what_follows(desk, step),
                Purpose::NewReport { .. } => self.offer_form(desk),
                Purpose::Pause => self.say_code(desk),
                Purpose::Sign(_) => {
                    self.go_to(desk, 0);
                    self.say_code(desk);
                }
                _ => {}
            },
            Overlay::Series(series) => {
                if let Some(used) = series.instrument_id(desk) {
                    self.instruments.insert(format!("{}/{}", series.step, series.measure.id), used);
                }
                self.say_verdict(desk, &series.step, &series.measure.id);
            }
            Overlay::Pick(_) => {}
        }
    }

    /// The code of the entry just written: from the moment it stands on paper, nothing before it can change unseen.
    fn say_code(&mut self, desk: &dyn Desk) {
        let code = desk.session().and_then(|view| paper_code(&view.entries.last()?.hash));
        if let (Some(message), Some(code)) = (self.message.as_mut(), code) {
            message
                .text
                .push_str(&format!("; code {code}: write it on the worksheet with time and initials"));
        }
    }

    /// After a failure: steps that the checklist would pull forward.
    fn say_what_follows(&mut self, desk: &dyn Desk, step: &str) {
        let Some(view) = desk.session() else { return };
        let on_failure = view.plan.step(step).and_then(|planned| planned.step.on_failure.as_ref());
        let follow = on_failure.map_or(&[][..], |failure| failure.follow.as_slice());
        let open: Vec<&str> = follow
            .iter()
            .filter(|follow| view.state.standing(&follow.value).is_open())
            .filter_map(|follow| view.plan.step(&follow.value))
            .map(|planned| planned.step.title.as_str())
            .collect();
        if let Some(message) = self.message.as_mut().filter(|_| !open.is_empty()) {
            message.text.push_str(&format!("; look next at: {}", open.join(", ")));
        }
    }

    fn say_verdict(&mut self, desk: &dyn Desk, step: &str, measure: &str) {
        let Some(view) = desk.session() else { return };
        let Some(state) = view.state.step(step) else { return };
        let Some(reading) = state.readings_of(measure).last() else { return };
        let judged = &reading.judgement;
        let mut text = format!("; {}", judged.headline());
        if let Some(advice) = advice(judged) {
            text.push_str(&format!("; {advice}"));
        }
        let missing = view.plan.step(step).map_or(0, |planned| {
            planned.step.measures.iter().map(|measure| state.missing(measure)).sum::<u32>()
        });
        let wants_instrument = view
            .plan
            .step(step)
            .and_then(|planned| planned.step.measure(measure))
            .is_some_and(|m| m.instrument);
        if wants_instrument && reading.taken.instrument.is_none() {
            text.push_str("; NO INSTRUMENT is named, which keeps it from being signed (c corrects it)");
        }
        if missing > 0 {
            text.push_str(&format!("; {missing} more to take (r)"));
        }
        // Last, since it may be long: the details show it whole.
        text.push_str(&format!(": {}", judged.words));
        if let Some(message) = &mut self.message {
            message.text.push_str(&text);
            if advice(judged).is_some() {
                message.tone = Tone::Bad;
            }
        }
    }
}

/// What to do with a reading that does not simply pass. The certifier decides, not the program.
fn advice(judged: &Judgement) -> Option<&'static str> {
    match judged.verdict {
        ReadingVerdict::Outside => Some("fail the step (f) or raise a defect (d)"),
        ReadingVerdict::CannotDecide => {
            Some("measure better, raise a defect (d), or write in a note how it was decided (n)")
        }
        _ if judged.comparison == Some(crate::measure::compare::Verdict::Softer) => {
            Some("raise a defect (d), or write in a note why it is sound all the same (n)")
        }
        _ => None,
    }
}

/// Index of the first demand for evidence that is not met.
fn first_wanting(view: &SessionView<'_>, planned: &PlanStep) -> Option<usize> {
    planned.step.evidence.iter().position(|demand| {
        let given = view.state.evidence_for(&planned.step.id, &demand.id).count();
        u32::try_from(given).is_ok_and(|given| given < demand.count)
    })
}
