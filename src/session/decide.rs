//! Whether a request can be recorded, and as which event.
//!
//! Only what would make the record false or dangerous is declined here. Work out of configuration or out of
//! turn is recorded as it happened; the completion engine refuses the signature for it.

use chrono::NaiveDate;

use super::defects::{dispose, raise, rectify, reinspect};
use super::papers::{directive_answer, inspect, life_answer, set_aside};
use super::readings::{correction_of_reading, read};
use super::{Request, authority};
use crate::airframe::{Instruments, People};
use crate::diagnostic::suggest;
use crate::event::{Actor, Answered, Correction, EntryNumber, Event, EvidenceAdded, Initialled, StepResult};
use crate::plan::{Plan, PlanStep};
use crate::state::{Defect, State};
use crate::words::{of_checklist, said};

/// What the decision needs to know of the world.
pub struct Facts<'a> {
    pub today: NaiveDate,
    pub people: &'a People,
    pub instruments: &'a Instruments,
}

/// Why nothing was recorded, and what to do instead.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Declined {
    pub why: String,
    pub next: String,
}

impl std::fmt::Display for Declined {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(f, "{}; {}", self.why, self.next)
    }
}

impl std::error::Error for Declined {}

pub(super) fn declined<T>(why: impl Into<String>, next: impl Into<String>) -> Result<T, Declined> {
    Err(Declined { why: why.into(), next: next.into() })
}

/// Turns a request into the event to append.
pub fn decide(
    plan: &Plan,
    state: &State,
    by: &Actor,
    request: Request,
    facts: &Facts<'_>,
) -> Result<Event, Declined> {
    if state.signed.is_some() {
        return declined(
            say!("this session is signed and closed"),
            say!("begin a new session that continues it"),
        );
    }
    if state.paused.is_some() && !matches!(request, Request::Resume) {
        return declined(say!("the session is paused"), say!("resume it first"));
    }
    authority::check(plan, state, by, &request, facts)?;
    let by = by.clone();
    match request {
        Request::Confirm(configuration) if configuration.is_empty() => declined(
            say!("no configuration is named"),
            say!("name at least one setting, such as tailplane=off"),
        ),
        Request::Confirm(configuration) => Ok(Event::ConfigurationConfirmed { by, configuration }),
        Request::Answer { step, result, reason, why } => {
            answer(plan, state, by, &step, result, text(reason), text(why))
        }
        Request::Read { step, measure, value, instrument, corrects, why } => {
            let correction = correction_of_reading(plan, state, &step, &measure, corrects, text(why))?;
            read(plan, by, &step, &measure, value, instrument, correction, facts)
        }
        Request::Withdraw { entry, why } => withdraw(state, by, entry, &why),
        Request::Note { text: note, .. } if note.trim().is_empty() => {
            declined(say!("the note is empty"), say!("write something, or leave it"))
        }
        Request::Note { step, text } => {
            if let Some(step) = &step {
                planned(plan, step)?;
            }
            Ok(Event::Noted { by, step, text: text.trim().to_string() })
        }
        Request::Initial { step, work } => initial(plan, by, &step, &work),
        Request::AddEvidence { step, demand, defect, sha256, bytes, name } => {
            check_evidence_target(plan, state, step.as_deref(), demand.as_deref(), defect.as_deref())?;
            // The first question comes before the file is read, and has no hash yet.
            if bytes == 0 && !sha256.is_empty() {
                return declined(
                    say!("\"{name}\" is empty and shows nothing", name = name),
                    say!("name the file that was meant"),
                );
            }
            Ok(Event::EvidenceAdded(EvidenceAdded { by, step, demand, defect, sha256, bytes, name }))
        }
        Request::RaiseDefect(defect) => raise(plan, state, by, defect),
        Request::DisposeDefect { defect, disposition, note, until } => {
            dispose(state, by, &defect, disposition, note, until, facts)
        }
        Request::RectifyDefect { defect, work, disturbed_controls } => {
            rectify(state, by, &defect, work, disturbed_controls)
        }
        Request::ReinspectDefect { defect, satisfactory, note } => {
            reinspect(state, by, &defect, satisfactory, note)
        }
        Request::SetReportAside { report, reason } => set_aside(plan, by, report, &reason),
        Request::AnswerDirective { directive, answer, note, next_due } => {
            directive_answer(plan, by, directive, answer, note, next_due, facts.today)
        }
        Request::AnswerLifeItem { item, answer, note, next_due } => {
            life_answer(plan, by, item, answer, note, next_due, facts.today)
        }
        Request::InspectIndependently { step, connections, checked, satisfactory } => {
            inspect(plan, state, by, &step, connections, checked, satisfactory, facts)
        }
        Request::Pause { note } => Ok(Event::Paused { by, note: text(note) }),
        Request::Resume if state.paused.is_none() => {
            declined(say!("the session is not paused"), say!("go on with the work"))
        }
        Request::Resume => Ok(Event::Resumed { by }),
    }
}

fn initial(plan: &Plan, by: Actor, step: &str, work: &str) -> Result<Event, Declined> {
    planned(plan, step)?;
    if work.trim().is_empty() {
        return declined(say!("nothing is said of what was done"), say!("write what you did and saw"));
    }
    Ok(Event::Initialled(Initialled { by, step: step.to_string(), work: work.trim().to_string() }))
}

/// Trimmed, and nothing where nothing was written.
pub(super) fn text(given: Option<String>) -> Option<String> {
    given.map(|text| text.trim().to_string()).filter(|text| !text.is_empty())
}

pub(super) fn planned<'a>(plan: &'a Plan, id: &str) -> Result<&'a PlanStep, Declined> {
    match plan.step(id) {
        Some(step) => Ok(step),
        None => {
            let hint = suggest(id, plan.steps.iter().map(|step| step.step.id.as_str()));
            declined(
                say!("the plan has no step \"{id}\"", id = id),
                hint.unwrap_or(say!("list the plan's steps").to_string()),
            )
        }
    }
}

pub(super) fn known_defect<'a>(state: &'a State, id: &str) -> Result<&'a Defect, Declined> {
    match state.defect(id).filter(|defect| defect.struck.is_none()) {
        Some(defect) => Ok(defect),
        None => {
            let known: Vec<&str> = state.standing_defects().map(|defect| defect.id.as_str()).collect();
            let next = if known.is_empty() {
                say!("raise one first").to_string()
            } else {
                say!("known: {}", known.join(", "))
            };
            declined(say!("there is no defect \"{id}\"", id = id), next)
        }
    }
}

fn answer(
    plan: &Plan,
    state: &State,
    by: Actor,
    id: &str,
    result: StepResult,
    reason: Option<String>,
    why: Option<String>,
) -> Result<Event, Declined> {
    let step = &planned(plan, id)?.step;
    if result == StepResult::NotApplicable {
        if !step.may_be_not_applicable {
            return declined(
                say!("\"{}\" may not be answered as not applicable", of_checklist(&step.title)),
                say!("work it and pass or fail it, or let the type supplement withdraw it with a reason"),
            );
        }
        if reason.is_none() {
            return declined(
                say!("\"not applicable\" needs a reason"),
                say!("write why it does not apply to this airframe"),
            );
        }
    }
    let current = state.step(id).and_then(|step| step.answer());
    let corrects = match (current, why) {
        (Some(current), Some(why)) => Some(Correction { entry: current.stamp.entry, why }),
        (Some(current), None) => {
            return declined(
                say!(
                    "\"{}\" is answered already ({})",
                    of_checklist(&step.title),
                    said(current.answered.result.word())
                ),
                say!(
                    "give the reason why the answer is corrected; the earlier one stays in the record, struck through"
                ),
            );
        }
        (None, _) => None,
    };
    let awaiting =
        state.defects_of(id).find(|defect| !defect.rectifications.is_empty() && defect.reinspected.is_none());
    let reinspects = awaiting.map(|defect| defect.id.clone());
    Ok(Event::Answered(Answered { by, step: id.to_string(), result, reason, corrects, reinspects }))
}

fn withdraw(state: &State, by: Actor, entry: EntryNumber, why: &str) -> Result<Event, Declined> {
    if why.trim().is_empty() {
        return declined(say!("taking an entry back needs a reason"), say!("write why"));
    }
    let in_steps = state.steps.values().any(|step| {
        step.answers.iter().any(|answer| answer.stamp.entry == entry && answer.struck.is_none())
            || step.readings.iter().any(|reading| reading.stamp.entry == entry && reading.struck.is_none())
            || step.initials.iter().any(|found| found.stamp.entry == entry && found.struck.is_none())
    });
    let defect = state.standing_defects().find(|defect| defect.stamp.entry == entry);
    if let Some(defect) = defect.filter(|defect| !defect.rectifications.is_empty()) {
        return declined(
            say!("defect {} was rectified already", defect.id),
            say!("record what changed as a note"),
        );
    }
    if let Some(record) = defect.and_then(|defect| defect.raised.from_record.as_ref()) {
        return declined(
            say!("the defect stands in the airframe's record ({}): taking it back would lose it", record.id),
            say!("decide on it: rectify and re-inspect it, and it is closed there, too"),
        );
    }
    let evidence = state.evidence.iter().any(|told| told.stamp.entry == entry && told.struck.is_none());
    let confirmed = state.confirmations.iter().any(|told| told.stamp.entry == entry && told.struck.is_none());
    if !(in_steps || defect.is_some() || evidence || confirmed) {
        return declined(
            say!(
                "entry {entry} is no answer, reading, defect, evidence or configuration that still holds",
                entry = entry
            ),
            say!("choose an entry that does"),
        );
    }
    Ok(Event::Withdrawn { by, entry, why: why.trim().to_string() })
}

fn check_evidence_target(
    plan: &Plan,
    state: &State,
    step: Option<&str>,
    demand: Option<&str>,
    defect: Option<&str>,
) -> Result<(), Declined> {
    if let Some(defect) = defect {
        known_defect(state, defect)?;
    }
    let Some(step) = step else {
        return match demand {
            Some(_) => declined(say!("an evidence demand belongs to a step"), say!("name the step, too")),
            None => Ok(()),
        };
    };
    let planned = planned(plan, step)?;
    let demands = &planned.step.evidence;
    match demand {
        Some(demand) if !demands.iter().any(|known| known.id == demand) => declined(
            say!(
                "\"{}\" demands no evidence \"{demand}\"",
                of_checklist(&planned.step.title),
                demand = demand
            ),
            suggest(demand, demands.iter().map(|known| known.id.as_str()))
                .unwrap_or(say!("leave the demand out").to_string()),
        ),
        _ => Ok(()),
    }
}
