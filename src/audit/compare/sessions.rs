//! One annual against another, step by step: results, readings, defects, people and time.

use serde::Serialize;

use super::account::{Account, TimeTaken, account, time_taken};
use super::defects::{DefectThen, defects_then};
use super::plans::{PlanDifference, compare_plans};
use super::readings::{ReadingComparison, compare_readings};
use crate::plan::Plan;
use crate::state::{State, StepStanding};
use crate::words::{date, said};

/// One of the two sessions.
#[derive(Clone, Copy)]
pub struct Side<'a> {
    /// The plan that holds at the end of the session.
    pub plan: &'a Plan,
    pub state: &'a State,
    pub sid: &'a str,
    /// How it is called in the text, such as "annual of 2025-11-20".
    pub label: &'a str,
}

/// Which session a side is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SideName {
    pub session: String,
    pub label: String,
    pub registration: String,
    #[serde(rename = "type")]
    pub type_id: String,
    /// How it was signed, and by whom; nothing while it is not.
    pub signed: Option<String>,
    pub time: TimeTaken,
}

/// How a step's result changed.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Turn {
    /// Only the session now has it.
    New,
    /// Only the earlier session has it.
    Gone,
    /// It failed, and did not before.
    Worse,
    /// It failed before.
    Better,
    /// Another result, neither for better nor for worse.
    Changed,
    Same,
    /// Answered then, open now.
    NotYet,
}

/// One step in both sessions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct StepComparison {
    pub id: String,
    pub title: String,
    pub turn: Turn,
    pub then: Option<Account>,
    pub now: Option<Account>,
    pub readings: Vec<ReadingComparison>,
    /// What the step asks for otherwise than before.
    pub demand: Vec<String>,
    /// It is worth a look before the rest.
    pub needs_a_look: bool,
}

/// What the session now says otherwise than the earlier one.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct SessionDifference {
    pub then: SideName,
    pub now: SideName,
    pub same_airframe: bool,
    /// Of one type; else steps of the same id may ask for different things.
    pub same_type: bool,
    /// Steps in the order of the plan now, then those that are gone.
    pub steps: Vec<StepComparison>,
    pub defects_then: Vec<DefectThen>,
    pub plan: PlanDifference,
}

impl StepComparison {
    pub fn is_same(&self) -> bool {
        self.turn == Turn::Same && self.readings.iter().all(ReadingComparison::is_same)
    }
}

impl SessionDifference {
    /// Nothing differs: no step, no result, no reading.
    pub fn is_empty(&self) -> bool {
        self.plan.is_empty() && self.steps.iter().all(StepComparison::is_same)
    }

    pub fn of_turn(&self, turn: Turn) -> impl Iterator<Item = &StepComparison> {
        self.steps.iter().filter(move |step| step.turn == turn)
    }

    /// Keeps what differs; what stayed the same is left out.
    pub fn keep_changes(&mut self) {
        self.steps.retain(|step| !step.is_same() || step.needs_a_look);
    }
}

/// Compares two sessions by step id. Each side is what its plan and its state say; neither is changed.
pub fn compare_sessions(then: Side<'_>, now: Side<'_>) -> SessionDifference {
    let plan = compare_plans(then.plan, now.plan);
    let present = now.plan.steps.iter().map(|planned| step(&planned.step.id, &plan, then, now));
    let gone = plan.gone.iter().map(|id| step(id, &plan, then, now));
    let steps = present.chain(gone).collect();
    let (was, is) = (&then.plan.airframe, &now.plan.airframe);
    SessionDifference {
        then: name(then),
        now: name(now),
        same_airframe: was.registration.eq_ignore_ascii_case(&is.registration) && was.serial == is.serial,
        same_type: was.type_id == is.type_id,
        steps,
        defects_then: defects_then(then, now),
        plan,
    }
}

fn name(side: Side<'_>) -> SideName {
    let signed = side.state.signed.as_ref().map(|told| {
        say!("{} on {} by {}", said(told.what.outcome.word()), date(told.what.date), told.what.by.name)
    });
    SideName {
        session: side.sid.to_string(),
        label: side.label.to_string(),
        registration: side.plan.airframe.registration.clone(),
        type_id: side.plan.airframe.type_id.clone(),
        signed,
        time: time_taken(side.state),
    }
}

fn step(id: &str, plan: &PlanDifference, then: Side<'_>, now: Side<'_>) -> StepComparison {
    let (planned_then, planned_now) = (then.plan.step(id), now.plan.step(id));
    // A revision may have taken a step out of the plan while its answers stay in the record.
    let account_then = planned_then.and_then(|_| account(then.state, id));
    let account_now = planned_now.and_then(|_| account(now.state, id));
    let turn = match (&account_then, &account_now) {
        (None, _) => Turn::New,
        (_, None) => Turn::Gone,
        (Some(then), Some(now)) => turn(then.standing, now.standing),
    };
    let both = planned_then.zip(then.state.step(id)).zip(planned_now.zip(now.state.step(id)));
    let readings = both.map(|((was, old), (is, new))| compare_readings((&was.step, old), (&is.step, new)));
    let readings = readings.unwrap_or_default();
    // Failed again is the same result, and still the first thing to look at.
    let failed_now = account_now.as_ref().is_some_and(|now| now.standing == StepStanding::Failed);
    let demand = plan.changed.iter().find(|change| change.id == id);
    StepComparison {
        id: id.to_string(),
        title: planned_now.or(planned_then).map(|planned| planned.step.title.clone()).unwrap_or_default(),
        turn,
        needs_a_look: failed_now
            || turn == Turn::Worse
            || readings.iter().any(ReadingComparison::needs_a_look),
        then: account_then,
        now: account_now,
        readings,
        demand: demand
            .map(|change| change.what.iter().map(|what| what.words.clone()).collect())
            .unwrap_or_default(),
    }
}

fn turn(then: StepStanding, now: StepStanding) -> Turn {
    match (then, now) {
        (then, now) if then == now => Turn::Same,
        (_, StepStanding::Failed | StepStanding::Reinspect) => Turn::Worse,
        (_, StepStanding::Open) => Turn::NotYet,
        (StepStanding::Failed | StepStanding::Reinspect, _) => Turn::Better,
        _ => Turn::Changed,
    }
}
