//! The fold: one event at a time, without clock, file or terminal.

use super::{
    Answer, Card, Defect, Initials, Inspection, Judgement, Note, Reading, Stamp, Stamped, State, StepState,
    Struck, Told, judge_in_plan,
};
use crate::checklist::Configuration;
use crate::event::{
    Actor, Answered, Correction, Countersigned, DefectRaised, DefectRectified, EntryNumber, Event,
    IndependentlyInspected, PlanRevised, ReadingTaken, StepResult,
};
use crate::plan::{Plan, Plans};

/// An entry that does not fit the plan or the entries before it. The record is damaged or was made by
/// another program; nothing may be signed on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ApplyFault {
    pub entry: EntryNumber,
    pub why: String,
}

impl std::fmt::Display for ApplyFault {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "entry {} does not fit the record: {}", self.entry, self.why)
    }
}

impl std::error::Error for ApplyFault {}

/// Folds all entries over an empty state; a revision of the plan takes the next plan from `plans`.
pub fn replay<'a>(
    plans: &Plans,
    entries: impl IntoIterator<Item = &'a Stamped>,
) -> Result<State, ApplyFault> {
    let mut plan = plans.first();
    let mut state = State::new(plan);
    for stamped in entries {
        if let Event::PlanRevised(revised) = &stamped.event {
            let missing =
                || ApplyFault { entry: stamped.entry, why: "its new plan is not there".to_string() };
            plan = plans.of(&revised.plan).ok_or_else(missing)?;
        }
        state.apply(plan, stamped)?;
    }
    Ok(state)
}

impl State {
    /// Applies one event. On a fault the state is unchanged. Of a revision, `plan` is the plan from then on.
    pub fn apply(&mut self, plan: &Plan, stamped: &Stamped) -> Result<(), ApplyFault> {
        self.apply_known(plan, stamped, None)
    }

    /// As [`State::apply`]; `known` is what an earlier fold of the same entries judged of this reading. Judging a
    /// load–deflection series costs milliseconds, everything else of an entry microseconds.
    pub fn apply_known(
        &mut self,
        plan: &Plan,
        stamped: &Stamped,
        known: Option<&Judgement>,
    ) -> Result<(), ApplyFault> {
        let fault = |why: String| ApplyFault { entry: stamped.entry, why };
        if self.signed.is_some() && !may_follow_the_sign_off(&stamped.event) {
            return Err(fault("it stands after the sign-off".to_string()));
        }
        if stamped.entry != self.entries {
            return Err(fault(format!("entry {} was expected", self.entries)));
        }
        self.apply_event(plan, &stamped.event, stamp_of(stamped), known).map_err(fault)?;
        if matches!(stamped.event, Event::SignedOff(_)) {
            self.signed_hash.clone_from(&stamped.hash);
        }
        self.entries = stamped.entry + 1;
        self.head.clone_from(&stamped.hash);
        self.last_wall.clone_from(&stamped.wall);
        Ok(())
    }

    fn apply_event(
        &mut self,
        plan: &Plan,
        event: &Event,
        stamp: Stamp,
        known: Option<&Judgement>,
    ) -> Result<(), String> {
        match event {
            Event::Opened(opened) => {
                self.plan.clone_from(&opened.plan);
                self.opened = Some(told(stamp, opened.clone()));
            }
            Event::RunStarted(_) | Event::ClockStepped { .. } | Event::Recovered(_) => {}
            Event::ConfigurationConfirmed { configuration, .. } => {
                self.configuration.overlay(configuration);
                self.confirmations.push(told(stamp, configuration.clone()));
            }
            Event::Answered(answered) => self.answer(plan, stamp, answered)?,
            Event::ReadingTaken(taken) => self.read(plan, stamp, taken, known)?,
            Event::Withdrawn { entry, why, .. } => self.strike(plan, stamp, *entry, why)?,
            Event::Noted { step: Some(step), text, .. } => {
                self.step_mut(step)?.notes.push(Note { stamp, text: text.clone() });
            }
            Event::Noted { step: None, text, .. } => self.notes.push(told(stamp, text.clone())),
            Event::EvidenceAdded(added) => {
                if let Some(step) = &added.step {
                    self.step_mut(step)?;
                }
                self.evidence.push(told(stamp, added.clone()));
            }
            Event::Initialled(initialled) => {
                let step = self.step_mut(&initialled.step)?;
                let (round, work) = (step.round, initialled.work.clone());
                step.initials.push(Initials { stamp, work, struck: None, round });
            }
            Event::DefectRaised(raised) => self.raise(stamp, raised)?,
            Event::DefectDisposed(disposed) => {
                self.defect_mut(&disposed.defect)?.dispositions.push(told(stamp, disposed.clone()));
            }
            Event::DefectRectified(rectified) => self.rectify(stamp, rectified)?,
            Event::DefectReinspected { defect, satisfactory, .. } => {
                let defect = self.defect_mut(defect)?;
                if *satisfactory {
                    defect.reinspected = Some(stamp);
                }
            }
            Event::ReportSetAside { report, reason, .. } => {
                if !plan.reports.iter().any(|planned| planned.id == *report) {
                    return Err(format!("there is no report \"{report}\""));
                }
                self.set_aside.insert(report.clone(), told(stamp, reason.clone()));
            }
            Event::DirectiveAnswered(answered) => {
                if !plan.airframe.directives.iter().any(|directive| directive.id == answered.directive) {
                    return Err(format!("there is no directive \"{}\"", answered.directive));
                }
                self.directives.insert(answered.directive.clone(), told(stamp, answered.clone()));
            }
            Event::LifeItemAnswered(answered) => {
                if !plan.airframe.life_items.iter().any(|item| item.id == answered.item) {
                    return Err(format!("there is no life-limited item \"{}\"", answered.item));
                }
                self.life_items.insert(answered.item.clone(), told(stamp, answered.clone()));
            }
            Event::IndependentlyInspected(inspected) => self.inspect(stamp, inspected)?,
            Event::Paused { note, .. } => self.paused = Some(told(stamp, note.clone())),
            Event::Resumed { .. } => self.paused = None,
            Event::PlanRevised(revised) => self.revise(plan, stamp, revised)?,
            Event::Carried(carried) => self.apply_event(plan, &carried.event, stamp, known)?,
            Event::FromPaper(entered) => self.apply_event(plan, &entered.event, stamp, known)?,
            Event::SignedOff(signed) => self.signed = Some(told(stamp, signed.clone())),
            Event::Countersigned(added) => self.countersign(stamp, added)?,
        }
        Ok(())
    }

    fn step_mut(&mut self, id: &str) -> Result<&mut super::StepState, String> {
        self.steps.get_mut(id).ok_or_else(|| format!("the plan has no step \"{id}\""))
    }

    fn defect_mut(&mut self, id: &str) -> Result<&mut Defect, String> {
        self.defects
            .iter_mut()
            .find(|defect| defect.id == id)
            .ok_or_else(|| format!("there is no defect \"{id}\""))
    }

    fn answer(&mut self, plan: &Plan, stamp: Stamp, answered: &Answered) -> Result<(), String> {
        let planned =
            plan.step(&answered.step).ok_or_else(|| format!("the plan has no step \"{}\"", answered.step))?;
        let unmet = planned.step.configuration.unmet_in(&self.configuration);
        let before_its_turn: Vec<String> =
            self.open_before(plan, planned).into_iter().map(ToString::to_string).collect();
        let step = self.step_mut(&answered.step)?;
        if let Some(correction) = &answered.corrects {
            strike_answer(&mut step.answers, correction, &stamp)?;
        }
        let round = step.round;
        step.answers.push(Answer {
            stamp: stamp.clone(),
            answered: answered.clone(),
            struck: None,
            round,
            unmet,
            before_its_turn,
        });
        self.settle_reinspections(&answered.step, round, answered.result, &stamp);
        Ok(())
    }

    /// A pass in a round after the rectification re-inspects the step's defects; a later correction of that
    /// answer opens them again.
    fn settle_reinspections(&mut self, step: &str, round: u32, result: StepResult, stamp: &Stamp) {
        let passed = round > 0 && result == StepResult::Passed;
        for defect in self.defects.iter_mut().filter(|defect| defect.raised.step.as_deref() == Some(step)) {
            let rectified = defect.rectifications.last().is_some_and(|told| told.stamp.entry < stamp.entry);
            if rectified {
                defect.reinspected = passed.then(|| stamp.clone());
            }
        }
    }

    fn read(
        &mut self,
        plan: &Plan,
        stamp: Stamp,
        taken: &ReadingTaken,
        known: Option<&Judgement>,
    ) -> Result<(), String> {
        let planned =
            plan.step(&taken.step).ok_or_else(|| format!("the plan has no step \"{}\"", taken.step))?;
        let measure = planned
            .step
            .measure(&taken.measure)
            .ok_or_else(|| format!("the step \"{}\" has no measurement \"{}\"", taken.step, taken.measure))?;
        let card = Card { plan, step: &taken.step, measure: &taken.measure };
        let judgement = known
            .cloned()
            .unwrap_or_else(|| judge_in_plan(card, measure, &taken.value, taken.used(), stamp.day()));
        let step = self.step_mut(&taken.step)?;
        if let Some(correction) = &taken.corrects {
            let target = step
                .readings
                .iter_mut()
                .find(|reading| reading.stamp.entry == correction.entry && reading.struck.is_none())
                .ok_or_else(|| {
                    format!("entry {} is no reading of this step that still holds", correction.entry)
                })?;
            target.struck = Some(struck(&stamp, &correction.why));
        }
        let round = step.round;
        step.readings.push(Reading { stamp, taken: taken.clone(), struck: None, round, judgement });
        Ok(())
    }

    fn strike(&mut self, plan: &Plan, stamp: Stamp, entry: EntryNumber, why: &str) -> Result<(), String> {
        let mark = Some(struck(&stamp, why));
        for (id, step) in &mut self.steps {
            if let Some(answer) =
                step.answers.iter_mut().find(|answer| answer.stamp.entry == entry && answer.struck.is_none())
            {
                answer.struck = mark;
                for defect in self.defects.iter_mut().filter(|defect| defect.raised.step.as_ref() == Some(id))
                {
                    if defect.reinspected.as_ref().is_some_and(|reinspected| reinspected.entry == entry) {
                        defect.reinspected = None;
                    }
                }
                return Ok(());
            }
            if let Some(reading) = step
                .readings
                .iter_mut()
                .find(|reading| reading.stamp.entry == entry && reading.struck.is_none())
            {
                reading.struck = mark;
                return Ok(());
            }
            if let Some(initials) = step
                .initials
                .iter_mut()
                .find(|initials| initials.stamp.entry == entry && initials.struck.is_none())
            {
                initials.struck = mark;
                return Ok(());
            }
        }
        if let Some(defect) =
            self.defects.iter_mut().find(|defect| defect.stamp.entry == entry && defect.struck.is_none())
        {
            defect.struck = mark;
            return Ok(());
        }
        if let Some(told) =
            self.evidence.iter_mut().find(|told| told.stamp.entry == entry && told.struck.is_none())
        {
            told.struck = mark;
            return Ok(());
        }
        if let Some(told) =
            self.confirmations.iter_mut().find(|told| told.stamp.entry == entry && told.struck.is_none())
        {
            told.struck = mark;
            self.confirm_anew(plan, entry);
            return Ok(());
        }
        Err(format!(
            "entry {entry} is no answer, reading, defect, evidence or configuration that still holds"
        ))
    }

    /// After a confirmation was taken back: what is confirmed now, and for the answers given since then what was not confirmed
    /// when they were given. Answers before it stay as they are.
    fn confirm_anew(&mut self, plan: &Plan, taken_back: EntryNumber) {
        let standing: Vec<(EntryNumber, Configuration)> = self
            .confirmations
            .iter()
            .filter(|told| told.struck.is_none())
            .map(|told| (told.stamp.entry, told.what.clone()))
            .collect();
        let confirmed_before = |entry: EntryNumber| {
            let mut confirmed = Configuration::default();
            standing.iter().filter(|(at, _)| *at < entry).for_each(|(_, told)| confirmed.overlay(told));
            confirmed
        };
        self.configuration = confirmed_before(EntryNumber::MAX);
        for (id, step) in &mut self.steps {
            let Some(planned) = plan.step(id) else { continue };
            for answer in step.answers.iter_mut().filter(|answer| answer.stamp.entry > taken_back) {
                answer.unmet = planned.step.configuration.unmet_in(&confirmed_before(answer.stamp.entry));
            }
        }
    }

    fn raise(&mut self, stamp: Stamp, raised: &DefectRaised) -> Result<(), String> {
        if raised.defect != self.next_defect_id() {
            return Err(format!(
                "the next defect would be \"{}\", not \"{}\"",
                self.next_defect_id(),
                raised.defect
            ));
        }
        if let Some(step) = &raised.step {
            self.step_mut(step)?;
        }
        self.defects.push(Defect {
            id: raised.defect.clone(),
            stamp,
            raised: raised.clone(),
            struck: None,
            dispositions: Vec::new(),
            rectifications: Vec::new(),
            reinspected: None,
        });
        Ok(())
    }

    fn rectify(&mut self, stamp: Stamp, rectified: &DefectRectified) -> Result<(), String> {
        let entry = stamp.entry;
        let defect = self.defect_mut(&rectified.defect)?;
        defect.rectifications.push(told(stamp, rectified.clone()));
        defect.reinspected = None;
        if let Some(step) = defect.raised.step.clone() {
            let step = self.step_mut(&step)?;
            step.begin_round(entry);
            step.controls_disturbed |= rectified.disturbed_controls;
        }
        Ok(())
    }

    /// `plan` is the new one already. Answers to a changed step stay in the record and hold no longer.
    fn revise(&mut self, plan: &Plan, stamp: Stamp, revised: &PlanRevised) -> Result<(), String> {
        if revised.previous != self.plan {
            return Err("it revises another plan than the one that held until now".to_string());
        }
        for id in &revised.added {
            // A step that an earlier revision took away may come back: its old answers are not taken for new ones.
            match self.steps.get_mut(id) {
                Some(step) => step.begin_round(stamp.entry),
                None => drop(self.steps.insert(id.clone(), StepState::default())),
            }
        }
        for id in &revised.changed {
            self.step_mut(id)?.begin_round(stamp.entry);
        }
        if let Some(missing) = plan.steps.iter().find(|step| !self.steps.contains_key(&step.step.id)) {
            return Err(format!("it does not tell that the step \"{}\" is new", missing.step.id));
        }
        self.plan.clone_from(&revised.plan);
        self.revisions.push(told(stamp, revised.clone()));
        Ok(())
    }

    fn countersign(&mut self, stamp: Stamp, added: &Countersigned) -> Result<(), String> {
        let Some(signed) = &self.signed else {
            return Err("a countersignature stands only after the sign-off".to_string());
        };
        if signed.stamp.entry != added.entry {
            return Err(format!("entry {} is not the sign-off", added.entry));
        }
        if self.signed_hash != added.hash {
            return Err("it names another sign-off by its hash".to_string());
        }
        if signed.stamp.by.id == added.by.id {
            return Err("the signer cannot countersign".to_string());
        }
        self.countersigned.push(told(stamp, added.clone()));
        Ok(())
    }

    fn inspect(&mut self, stamp: Stamp, inspected: &IndependentlyInspected) -> Result<(), String> {
        let step = self.step_mut(&inspected.step)?;
        let round = step.round;
        step.inspections.push(Inspection { stamp, inspected: inspected.clone(), round });
        Ok(())
    }
}

/// What a second person adds, and what the program itself notes on the way to it.
fn may_follow_the_sign_off(event: &Event) -> bool {
    matches!(
        event,
        Event::Countersigned(_) | Event::RunStarted(_) | Event::ClockStepped { .. } | Event::Recovered(_)
    )
}

/// Something carried over keeps the time at which it was done.
fn stamp_of(stamped: &Stamped) -> Stamp {
    let program = || Actor { id: "program".to_string(), name: "the program".to_string() };
    let (wall, carried_from) = match &stamped.event {
        Event::Carried(carried) => (&carried.wall, Some(carried.from)),
        _ => (&stamped.wall, None),
    };
    Stamp {
        entry: stamped.entry,
        wall: wall.clone(),
        by: stamped.event.actor().cloned().unwrap_or_else(program),
        carried_from,
        paper: stamped.event.paper().cloned(),
    }
}

fn told<T>(stamp: Stamp, what: T) -> Told<T> {
    Told { stamp, what, struck: None }
}

fn struck(stamp: &Stamp, why: &str) -> Struck {
    Struck { by_entry: stamp.entry, who: stamp.by.name.clone(), why: why.to_string() }
}

fn strike_answer(answers: &mut [Answer], correction: &Correction, stamp: &Stamp) -> Result<(), String> {
    let target = answers
        .iter_mut()
        .find(|answer| answer.stamp.entry == correction.entry && answer.struck.is_none())
        .ok_or_else(|| format!("entry {} is no answer of this step that still holds", correction.entry))?;
    target.struck = Some(struck(stamp, &correction.why));
    Ok(())
}
