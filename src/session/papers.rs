//! Reports, directives, life-limited items, and the second person's inspection.

use chrono::NaiveDate;

use super::decide::{Declined, Facts, declined, planned};
use crate::airframe::{AuthorisationKind, CountsFrom, Directive, Interval, Person};
use crate::diagnostic::suggest;
use crate::due::next_day;
use crate::event::{
    Actor, Countersigned, DirectiveAnswer, DirectiveAnswered, Event, IndependentlyInspected, LifeAnswer,
    LifeItemAnswered,
};
use crate::plan::Plan;
use crate::state::State;
use crate::words::of_checklist;

/// Setting a report aside may hide damage: only in writing.
pub(super) fn set_aside(plan: &Plan, by: Actor, report: String, reason: &str) -> Result<Event, Declined> {
    let Some(planned) = plan.reports.iter().find(|planned| planned.id == report) else {
        let hint = suggest(&report, plan.reports.iter().map(|planned| planned.id.as_str()));
        return declined(
            say!("there is no report \"{report}\"", report = report),
            hint.unwrap_or(say!("none is recorded").to_string()),
        );
    };
    if reason.trim().is_empty() {
        return declined(
            say!("a report is set aside only with a written reason"),
            say!("write why no targeted look is needed"),
        );
    }
    Ok(Event::ReportSetAside { by, report: planned.id.clone(), reason: reason.trim().to_string() })
}

pub(super) fn directive_answer(
    plan: &Plan,
    by: Actor,
    id: String,
    answer: DirectiveAnswer,
    note: String,
    next_due: Option<NaiveDate>,
    today: NaiveDate,
) -> Result<Event, Declined> {
    let Some(directive) = plan.airframe.directives.iter().find(|directive| directive.id == id) else {
        let hint = suggest(&id, plan.airframe.directives.iter().map(|directive| directive.id.as_str()));
        return declined(
            say!("the airframe has no directive \"{id}\"", id = id),
            hint.unwrap_or(say!("none is recorded").to_string()),
        );
    };
    let has_note = !note.trim().is_empty();
    if answer == DirectiveAnswer::NotApplicable && !has_note {
        let reason = directive.applicability.as_ref().and_then(|ranges| ranges.objection(&plan.airframe));
        let next = reason.map_or_else(
            || say!("write why it does not apply (type, serial number, modification)").to_string(),
            |why| say!("write why it does not apply; by the record {why}", why = why),
        );
        return declined(say!("\"not applicable\" needs a reason"), next);
    }
    if answer == DirectiveAnswer::NotYetDue && next_due.is_none() && !has_note && !has_due(directive) {
        return declined(
            say!("it has no due date"),
            say!("give the date when it falls due, or a note how that is told"),
        );
    }
    if answer == DirectiveAnswer::Complied
        && directive.repeating
        && next_due.is_none()
        && directive.interval.is_none()
    {
        return declined(say!("it repeats"), say!("give the date when it falls due again"));
    }
    let next_due = match (&directive.interval, answer, next_due) {
        (Some(interval), DirectiveAnswer::Complied, None) => counted_day(interval, today)?,
        (_, _, given) => given,
    };
    Ok(Event::DirectiveAnswered(DirectiveAnswered {
        by,
        directive: id,
        answer,
        note: note.trim().to_string(),
        next_due,
    }))
}

/// By a stated date or counter, or by an interval.
fn has_due(directive: &Directive) -> bool {
    directive.due.is_some()
        || directive.due_hours.is_some()
        || directive.due_launches.is_some()
        || directive.interval.is_some()
        || (directive.complied.is_some() && !directive.repeating)
}

/// When an interval of the record that begins today ends; `None` where it counts no days.
fn counted_day(interval: &Interval, today: NaiveDate) -> Result<Option<NaiveDate>, Declined> {
    match next_day(interval, today) {
        Ok(day) => Ok(day),
        Err(error) => declined(error.to_string(), say!("give the date when it falls due again")),
    }
}

pub(super) fn life_answer(
    plan: &Plan,
    by: Actor,
    id: String,
    answer: LifeAnswer,
    note: String,
    next_due: Option<NaiveDate>,
    today: NaiveDate,
) -> Result<Event, Declined> {
    let Some(item) = plan.airframe.life_items.iter().find(|item| item.id == id) else {
        let hint = suggest(&id, plan.airframe.life_items.iter().map(|item| item.id.as_str()));
        return declined(
            say!("the airframe has no life-limited item \"{id}\"", id = id),
            hint.unwrap_or(say!("none is recorded").to_string()),
        );
    };
    if answer == LifeAnswer::Replaced && note.trim().is_empty() {
        return declined(
            say!("the replacement is not described"),
            say!("write what was fitted, with its serial number"),
        );
    }
    let counted = item.life.as_ref().filter(|life| life.from == CountsFrom::Installation);
    let next_due = match (counted, answer, next_due) {
        (Some(life), LifeAnswer::Replaced, None) => counted_day(&life.interval, today)?,
        (_, _, given) => given,
    };
    // Without a date the new one would never fall due.
    let has_date = item.due.is_some() || item.life.as_ref().is_some_and(|life| life.interval.has_calendar());
    if answer == LifeAnswer::Replaced && has_date && next_due.is_none() {
        return declined(
            say!("the life of the replacement is not given"),
            say!("give the date when it falls due"),
        );
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
pub(super) fn inspect(
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
            say!("\"{}\" is not answered yet", of_checklist(&planned.step.title)),
            say!("the second look comes after the first"),
        );
    }
    if connections.trim().is_empty() {
        return declined(
            say!("the connections are not named"),
            say!("write which connections were inspected"),
        );
    }
    if checked.is_empty() {
        return declined(say!("nothing was checked"), say!("name what was: assembly, locking, sense, range"));
    }
    let authorisation = authorisation_of(plan, &by.id, facts);
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
        at: None,
        seal: None,
    }))
}

/// The number of the authorisation under which this person looks a second time, valid today for this type.
fn authorisation_of(plan: &Plan, person: &str, facts: &Facts<'_>) -> Option<String> {
    let person = facts.people.find(person)?;
    person
        .authorisations
        .iter()
        .filter(|held| held.covers(&plan.airframe.type_id) && held.valid_until >= facts.today)
        .max_by_key(|held| (held.kind == AuthorisationKind::IndependentInspection, held.valid_until))
        .map(|held| held.number.clone())
}

/// A second person's word on the sign-off, not yet sealed.
///
/// # Errors
/// The session is not signed, this person signed it, or a disagreement has no reason.
pub fn countersignature(
    plan: &Plan,
    state: &State,
    person: &Person,
    agrees: bool,
    note: &str,
    facts: &Facts<'_>,
) -> Result<Countersigned, Declined> {
    let Some(signed) = &state.signed else {
        return declined(
            say!("the session is not signed off yet"),
            say!("a countersignature comes after the sign-off"),
        );
    };
    let signer = &signed.what.by;
    if signer.id == person.id || signer.name.trim().eq_ignore_ascii_case(person.name.trim()) {
        return declined(
            say!("{} signed it", person.name),
            say!("a second person countersigns, with a key of their own"),
        );
    }
    let same = |by: &Actor| by.id == person.id || by.name.trim().eq_ignore_ascii_case(person.name.trim());
    if state.countersigned.iter().any(|told| same(&told.what.by)) {
        return declined(
            say!("{} has countersigned it already", person.name),
            say!("a countersignature stands once for each person; another person may countersign, too"),
        );
    }
    if !agrees && note.trim().is_empty() {
        return declined(say!("no reason is given for not agreeing"), say!("write what is not agreed with"));
    }
    Ok(Countersigned {
        by: Actor { id: person.id.clone(), name: person.name.clone() },
        entry: signed.stamp.entry,
        hash: state.signed_hash.clone(),
        authorisation: authorisation_of(plan, &person.id, facts),
        agrees,
        note: note.trim().to_string(),
        seal: None,
    })
}
