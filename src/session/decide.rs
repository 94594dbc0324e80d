//! Whether a request can be recorded, and as which event.
//!
//! Only what would make the record false or dangerous is declined here. Work out of configuration or out of
//! turn is recorded as it happened; the completion engine refuses the signature for it.

use chrono::NaiveDate;

use super::{NewDefect, Request};
use crate::airframe::{AuthorisationKind, Instruments, People};
use crate::checklist::{Measure, MeasureKind};
use crate::diagnostic::suggest;
use crate::event::{
    Actor, Answered, Correction, DefectDisposed, DefectRaised, DefectRectified, DirectiveAnswer,
    DirectiveAnswered, Disposition, EntryNumber, Event, EvidenceAdded, IndependentlyInspected, InstrumentUse,
    LifeAnswer, LifeItemAnswered, ReadingTaken, ReadingValue, StepResult,
};
use crate::plan::{Plan, PlanStep};
use crate::quantity::Quantity;
use crate::state::{Defect, State, compute_table};

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

fn declined<T>(why: impl Into<String>, next: impl Into<String>) -> Result<T, Declined> {
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
        return declined("this session is signed and closed", "begin a new session that continues it");
    }
    if state.paused.is_some() && !matches!(request, Request::Resume) {
        return declined("the session is paused", "resume it first");
    }
    let by = by.clone();
    match request {
        Request::Confirm(configuration) if configuration.is_empty() => {
            declined("no configuration is named", "name at least one setting, such as tailplane=off")
        }
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
            declined("the note is empty", "write something, or leave it")
        }
        Request::Note { step, text } => {
            if let Some(step) = &step {
                planned(plan, step)?;
            }
            Ok(Event::Noted { by, step, text: text.trim().to_string() })
        }
        Request::AddEvidence { step, demand, defect, sha256, bytes, name } => {
            check_evidence_target(plan, state, step.as_deref(), demand.as_deref(), defect.as_deref())?;
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
        Request::SetReportAside { report, reason } => set_aside(plan, by, report, &reason, facts),
        Request::AnswerDirective { directive, answer, note, next_due } => {
            directive_answer(plan, by, directive, answer, note, next_due)
        }
        Request::AnswerLifeItem { item, answer, note, next_due } => {
            life_answer(plan, by, item, answer, note, next_due)
        }
        Request::InspectIndependently { step, connections, checked, satisfactory } => {
            inspect(plan, state, by, &step, connections, checked, satisfactory, facts)
        }
        Request::Pause { note } => Ok(Event::Paused { by, note: text(note) }),
        Request::Resume if state.paused.is_none() => {
            declined("the session is not paused", "go on with the work")
        }
        Request::Resume => Ok(Event::Resumed { by }),
    }
}

/// Trimmed, and nothing where nothing was written.
fn text(given: Option<String>) -> Option<String> {
    given.map(|text| text.trim().to_string()).filter(|text| !text.is_empty())
}

fn planned<'a>(plan: &'a Plan, id: &str) -> Result<&'a PlanStep, Declined> {
    match plan.step(id) {
        Some(step) => Ok(step),
        None => {
            let hint = suggest(id, plan.steps.iter().map(|step| step.step.id.as_str()));
            declined(
                format!("the plan has no step \"{id}\""),
                hint.unwrap_or("list the plan's steps".to_string()),
            )
        }
    }
}

fn known_defect<'a>(state: &'a State, id: &str) -> Result<&'a Defect, Declined> {
    match state.defect(id).filter(|defect| defect.struck.is_none()) {
        Some(defect) => Ok(defect),
        None => {
            let known: Vec<&str> = state.standing_defects().map(|defect| defect.id.as_str()).collect();
            let next = if known.is_empty() {
                "raise one first".to_string()
            } else {
                format!("known: {}", known.join(", "))
            };
            declined(format!("there is no defect \"{id}\""), next)
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
                format!("\"{}\" may not be answered as not applicable", step.title),
                "work it and pass or fail it, or let the type supplement withdraw it with a reason",
            );
        }
        if reason.is_none() {
            return declined(
                "\"not applicable\" needs a reason",
                "write why it does not apply to this airframe",
            );
        }
    }
    let current = state.step(id).and_then(|step| step.answer());
    let corrects = match (current, why) {
        (Some(current), Some(why)) => Some(Correction { entry: current.stamp.entry, why }),
        (Some(current), None) => {
            return declined(
                format!("\"{}\" is answered already ({})", step.title, current.answered.result.word()),
                "give the reason why the answer is corrected; the earlier one stays in the record, struck through",
            );
        }
        (None, _) => None,
    };
    let awaiting =
        state.defects_of(id).find(|defect| !defect.rectifications.is_empty() && defect.reinspected.is_none());
    let reinspects = awaiting.map(|defect| defect.id.clone());
    Ok(Event::Answered(Answered { by, step: id.to_string(), result, reason, corrects, reinspects }))
}

fn correction_of_reading(
    plan: &Plan,
    state: &State,
    step: &str,
    measure: &str,
    entry: Option<EntryNumber>,
    why: Option<String>,
) -> Result<Option<Correction>, Declined> {
    let Some(entry) = entry else {
        let full = planned(plan, step)?.step.measure(measure).map_or(u32::MAX, |measure| measure.readings);
        let taken = state.step(step).map_or(0, |state| state.readings_of(measure).count());
        if u32::try_from(taken).is_ok_and(|taken| taken >= full) && why.is_none() {
            return declined(
                "all demanded readings of this measurement are taken",
                "to replace one, correct it with a reason; to add one, give the reason for the further reading",
            );
        }
        return Ok(None);
    };
    let holds = state
        .step(step)
        .is_some_and(|state| state.readings_of(measure).any(|reading| reading.stamp.entry == entry));
    if !holds {
        return declined(
            format!("entry {entry} is no reading of this measurement that still holds"),
            "choose one that does",
        );
    }
    match why {
        Some(why) => Ok(Some(Correction { entry, why })),
        None => declined("a correction needs a reason", "write why the earlier reading is replaced"),
    }
}

#[expect(clippy::too_many_arguments, reason = "one parameter for each thing that was typed")]
fn read(
    plan: &Plan,
    by: Actor,
    step: &str,
    measure_id: &str,
    value: ReadingValue,
    instrument: Option<String>,
    corrects: Option<Correction>,
    facts: &Facts<'_>,
) -> Result<Event, Declined> {
    let planned = planned(plan, step)?;
    let Some(measure) = planned.step.measure(measure_id) else {
        let hint = suggest(measure_id, planned.step.measures.iter().map(|measure| measure.id.as_str()));
        return declined(
            format!("\"{}\" has no measurement \"{measure_id}\"", planned.step.title),
            hint.unwrap_or("it demands none; write a note instead".to_string()),
        );
    };
    check_value(plan, measure, &value)?;
    let instrument = match text(instrument) {
        Some(id) => Some(instrument_use(&id, facts)?),
        None => None,
    };
    Ok(Event::ReadingTaken(ReadingTaken {
        by,
        step: step.to_string(),
        measure: measure_id.to_string(),
        value,
        instrument,
        corrects,
    }))
}

fn instrument_use(id: &str, facts: &Facts<'_>) -> Result<InstrumentUse, Declined> {
    let Some(instrument) = facts.instruments.find(id) else {
        let hint = suggest(id, facts.instruments.0.iter().map(|instrument| instrument.id.as_str()));
        return declined(
            format!("the register has no instrument \"{id}\""),
            hint.unwrap_or("enter it into instruments.toml".to_string()),
        );
    };
    let quantity = |number: &Option<crate::quantity::Number>| {
        number.as_ref().map(|value| Quantity::new(*value, instrument.unit))
    };
    Ok(InstrumentUse {
        id: instrument.id.clone(),
        title: instrument.title.clone(),
        calibration_due: instrument.calibration_due,
        resolution: quantity(&instrument.resolution),
        uncertainty: quantity(&instrument.uncertainty),
    })
}

/// The kind of value fits the measurement, its units fit, and no load is above a ceiling.
fn check_value(plan: &Plan, measure: &Measure, value: &ReadingValue) -> Result<(), Declined> {
    let same_dimension = |quantity: &Quantity, unit: crate::quantity::Unit| match quantity.in_unit_f64(unit) {
        Ok(_) => Ok(()),
        Err(error) => declined(error.to_string(), format!("enter it in {}", unit.symbol())),
    };
    match (&measure.kind, value) {
        (MeasureKind::Number { unit, .. }, ReadingValue::Number { quantity }) => {
            same_dimension(quantity, *unit)
        }
        (MeasureKind::Pair { unit, .. }, ReadingValue::Pair { left, right }) => {
            same_dimension(left, *unit)?;
            same_dimension(right, *unit)
        }
        (MeasureKind::Choice { choices, .. }, ReadingValue::Choice { choice }) => {
            if choices.contains(choice) {
                Ok(())
            } else {
                declined(
                    format!("\"{choice}\" is no choice here"),
                    format!("choose one of: {}", choices.join(", ")),
                )
            }
        }
        (MeasureKind::Text, ReadingValue::Text { text }) if text.trim().is_empty() => {
            declined("the text is empty", "write what was found")
        }
        (MeasureKind::Count { .. }, ReadingValue::Count { .. })
        | (MeasureKind::Text, ReadingValue::Text { .. })
        | (MeasureKind::Date { .. }, ReadingValue::Date { .. }) => Ok(()),
        (MeasureKind::Table { compute }, ReadingValue::Table { text }) => check_table(compute, text),
        (MeasureKind::LoadDeflection(demand), ReadingValue::Series { points }) => {
            super::series::check_series(plan, demand, points)
        }
        _ => declined(
            format!("\"{}\" wants a {}", measure.title, measure.kind_word()),
            "enter the value in that form",
        ),
    }
}

/// A table goes into the record as it is, so it must be whole and small enough for one entry.
fn check_table(compute: &str, text: &str) -> Result<(), Declined> {
    const LARGEST_BYTES: usize = 32 * 1024;
    if text.len() > LARGEST_BYTES {
        return declined(
            format!("the table has {} bytes", text.len()),
            format!("keep it under {LARGEST_BYTES}; add the whole file as evidence"),
        );
    }
    match compute_table(compute, text) {
        Ok(_) => Ok(()),
        Err(why) => {
            declined(why, format!("correct the table; spanwise compute {compute} --example shows one"))
        }
    }
}

fn withdraw(state: &State, by: Actor, entry: EntryNumber, why: &str) -> Result<Event, Declined> {
    if why.trim().is_empty() {
        return declined("taking an entry back needs a reason", "write why");
    }
    let in_steps = state.steps.values().any(|step| {
        step.answers.iter().any(|answer| answer.stamp.entry == entry && answer.struck.is_none())
            || step.readings.iter().any(|reading| reading.stamp.entry == entry && reading.struck.is_none())
    });
    let defect = state.standing_defects().find(|defect| defect.stamp.entry == entry);
    if let Some(defect) = defect.filter(|defect| !defect.rectifications.is_empty()) {
        return declined(
            format!("defect {} was rectified already", defect.id),
            "record what changed as a note",
        );
    }
    let evidence = state.evidence.iter().any(|told| told.stamp.entry == entry && told.struck.is_none());
    if !(in_steps || defect.is_some() || evidence) {
        return declined(
            format!("entry {entry} is no answer, reading, defect or evidence that still holds"),
            "choose an entry that does",
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
            Some(_) => declined("an evidence demand belongs to a step", "name the step, too"),
            None => Ok(()),
        };
    };
    let planned = planned(plan, step)?;
    let demands = &planned.step.evidence;
    match demand {
        Some(demand) if !demands.iter().any(|known| known.id == demand) => declined(
            format!("\"{}\" demands no evidence \"{demand}\"", planned.step.title),
            suggest(demand, demands.iter().map(|known| known.id.as_str()))
                .unwrap_or("leave the demand out".to_string()),
        ),
        _ => Ok(()),
    }
}

fn raise(plan: &Plan, state: &State, by: Actor, defect: NewDefect) -> Result<Event, Declined> {
    if let Some(step) = &defect.step {
        planned(plan, step)?;
    }
    if defect.what.trim().is_empty() {
        return declined("the defect is not described", "write what is wrong");
    }
    Ok(Event::DefectRaised(DefectRaised {
        by,
        defect: state.next_defect_id(),
        step: defect.step,
        what: defect.what.trim().to_string(),
        component: text(defect.component),
        side: text(defect.side),
        station_mm: defect.station_mm,
        severity: defect.severity,
    }))
}

fn dispose(
    state: &State,
    by: Actor,
    id: &str,
    disposition: Disposition,
    note: String,
    until: Option<NaiveDate>,
    facts: &Facts<'_>,
) -> Result<Event, Declined> {
    let defect = known_defect(state, id)?;
    if !defect.is_open() {
        return declined(format!("defect {id} is closed"), "raise a new defect if there is more");
    }
    if disposition == Disposition::Defer {
        match until {
            None => return declined("a deferral needs a limit", "give the date until which it may wait"),
            Some(until) if until <= facts.today => {
                return declined(format!("{until} has passed already"), "give a date that lies ahead");
            }
            Some(_) => {}
        }
    }
    let until = until.filter(|_| disposition == Disposition::Defer);
    Ok(Event::DefectDisposed(DefectDisposed {
        by,
        defect: id.to_string(),
        disposition,
        note: note.trim().to_string(),
        until,
    }))
}

fn rectify(
    state: &State,
    by: Actor,
    id: &str,
    work: String,
    disturbed_controls: bool,
) -> Result<Event, Declined> {
    let defect = known_defect(state, id)?;
    if !defect.is_open() {
        return declined(format!("defect {id} is closed"), "raise a new defect if there is more");
    }
    if defect.disposition().is_none() {
        return declined(format!("defect {id} has no disposition"), "decide first what becomes of it");
    }
    if work.trim().is_empty() {
        return declined("the work is not described", "write what was done, by which data");
    }
    Ok(Event::DefectRectified(DefectRectified {
        by,
        defect: id.to_string(),
        work: work.trim().to_string(),
        disturbed_controls,
    }))
}

fn reinspect(
    state: &State,
    by: Actor,
    id: &str,
    satisfactory: bool,
    note: String,
) -> Result<Event, Declined> {
    let defect = known_defect(state, id)?;
    if let Some(step) = &defect.raised.step {
        return declined(
            format!("defect {id} was found by the step \"{step}\""),
            "work that step again: its answer is the re-inspection",
        );
    }
    if defect.rectifications.is_empty() {
        return declined(format!("defect {id} is not rectified yet"), "record the rectification first");
    }
    if note.trim().is_empty() {
        return declined("the re-inspection is not described", "write what was looked at and what was seen");
    }
    Ok(Event::DefectReinspected { by, defect: id.to_string(), satisfactory, note: note.trim().to_string() })
}

/// Setting a report aside is the certifier's decision (it may hide damage), not a helper's.
fn set_aside(
    plan: &Plan,
    by: Actor,
    report: String,
    reason: &str,
    facts: &Facts<'_>,
) -> Result<Event, Declined> {
    let Some(planned) = plan.reports.iter().find(|planned| planned.id == report) else {
        let hint = suggest(&report, plan.reports.iter().map(|planned| planned.id.as_str()));
        return declined(
            format!("there is no report \"{report}\""),
            hint.unwrap_or("none is recorded".to_string()),
        );
    };
    if reason.trim().is_empty() {
        return declined(
            "a report is set aside only with a written reason",
            "write why no targeted look is needed",
        );
    }
    let certifies = facts.people.find(&by.id).is_some_and(|person| {
        person.authorisations.iter().any(|held| held.kind == AuthorisationKind::AnnualRelease)
    });
    if !certifies {
        return declined(format!("{} certifies nothing", by.name), "let the certifier set the report aside");
    }
    Ok(Event::ReportSetAside { by, report: planned.id.clone(), reason: reason.trim().to_string() })
}

fn directive_answer(
    plan: &Plan,
    by: Actor,
    id: String,
    answer: DirectiveAnswer,
    note: String,
    next_due: Option<NaiveDate>,
) -> Result<Event, Declined> {
    let Some(directive) = plan.airframe.directives.iter().find(|directive| directive.id == id) else {
        let hint = suggest(&id, plan.airframe.directives.iter().map(|directive| directive.id.as_str()));
        return declined(
            format!("the airframe has no directive \"{id}\""),
            hint.unwrap_or("none is recorded".to_string()),
        );
    };
    if answer == DirectiveAnswer::NotApplicable && note.trim().is_empty() {
        return declined(
            "\"not applicable\" needs a reason",
            "write why it does not apply (type, serial number, modification)",
        );
    }
    if answer == DirectiveAnswer::NotYetDue
        && next_due.or(directive.due).is_none()
        && directive.due_hours.is_none()
    {
        return declined("it has no due date", "give the date when it falls due");
    }
    if answer == DirectiveAnswer::Complied && directive.repeating && next_due.is_none() {
        return declined("it repeats", "give the date when it falls due again");
    }
    Ok(Event::DirectiveAnswered(DirectiveAnswered {
        by,
        directive: id,
        answer,
        note: note.trim().to_string(),
        next_due,
    }))
}

fn life_answer(
    plan: &Plan,
    by: Actor,
    id: String,
    answer: LifeAnswer,
    note: String,
    next_due: Option<NaiveDate>,
) -> Result<Event, Declined> {
    if !plan.airframe.life_items.iter().any(|item| item.id == id) {
        let hint = suggest(&id, plan.airframe.life_items.iter().map(|item| item.id.as_str()));
        return declined(
            format!("the airframe has no life-limited item \"{id}\""),
            hint.unwrap_or("none is recorded".to_string()),
        );
    }
    if answer == LifeAnswer::Replaced && note.trim().is_empty() {
        return declined("the replacement is not described", "write what was fitted, with its serial number");
    }
    Ok(Event::LifeItemAnswered(LifeItemAnswered {
        by,
        item: id,
        answer,
        note: note.trim().to_string(),
        next_due,
    }))
}

#[expect(clippy::too_many_arguments, reason = "one parameter for each thing that was typed")]
fn inspect(
    plan: &Plan,
    state: &State,
    by: Actor,
    step: &str,
    connections: String,
    checked: Vec<crate::event::ControlCheck>,
    satisfactory: bool,
    facts: &Facts<'_>,
) -> Result<Event, Declined> {
    let planned = planned(plan, step)?;
    if state.step(step).and_then(|step| step.answer()).is_none() {
        return declined(
            format!("\"{}\" is not answered yet", planned.step.title),
            "the second look comes after the first",
        );
    }
    if connections.trim().is_empty() {
        return declined("the connections are not named", "write which connections were inspected");
    }
    if checked.is_empty() {
        return declined("nothing was checked", "name what was: assembly, locking, sense, range");
    }
    let authorisation = facts.people.find(&by.id).and_then(|person| {
        person
            .authorisations
            .iter()
            .find(|held| held.valid_until >= facts.today)
            .map(|held| held.number.clone())
    });
    let mut checked = checked;
    checked.sort_unstable();
    checked.dedup();
    Ok(Event::IndependentlyInspected(IndependentlyInspected {
        by,
        step: step.to_string(),
        connections: connections.trim().to_string(),
        checked,
        satisfactory,
        authorisation,
    }))
}
