//! Reports, directives, life-limited items, and the second person's inspection.

use chrono::NaiveDate;

use super::decide::{Declined, Facts, declined, planned};
use crate::airframe::{AuthorisationKind, Person};
use crate::diagnostic::suggest;
use crate::event::{
    Actor, Countersigned, DirectiveAnswer, DirectiveAnswered, Event, IndependentlyInspected, LifeAnswer,
    LifeItemAnswered,
};
use crate::plan::Plan;
use crate::state::State;

/// Setting a report aside is the certifier's decision (it may hide damage), not a helper's.
pub(super) fn set_aside(
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
    if let Some(why) = no_certifier(plan, &by, facts) {
        return declined(why, "let the certifier set the report aside");
    }
    Ok(Event::ReportSetAside { by, report: planned.id.clone(), reason: reason.trim().to_string() })
}

/// Why this person does not certify annuals of this type today.
fn no_certifier(plan: &Plan, by: &Actor, facts: &Facts<'_>) -> Option<String> {
    let held = facts.people.find(&by.id).map_or(&[][..], |person| person.authorisations.as_slice());
    let mut releases = held.iter().filter(|held| held.kind == AuthorisationKind::AnnualRelease).peekable();
    if releases.peek().is_none() {
        return Some(format!("{} certifies nothing", by.name));
    }
    let holds = releases.any(|held| held.covers(&plan.airframe.type_id) && held.valid_until >= facts.today);
    (!holds).then(|| format!("{} holds no valid authorisation to release annuals of this type", by.name))
}

pub(super) fn directive_answer(
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

pub(super) fn life_answer(
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
    // Without a date the new one would never fall due.
    let has_date = plan.airframe.life_items.iter().any(|item| item.id == id && item.due.is_some());
    if answer == LifeAnswer::Replaced && has_date && next_due.is_none() {
        return declined("the life of the replacement is not given", "give the date when it falls due");
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
        return declined("the session is not signed off yet", "a countersignature comes after the sign-off");
    };
    let signer = &signed.what.by;
    if signer.id == person.id || signer.name.trim().eq_ignore_ascii_case(person.name.trim()) {
        return declined(
            format!("{} signed it", person.name),
            "a second person countersigns, with a key of their own",
        );
    }
    let same = |by: &Actor| by.id == person.id || by.name.trim().eq_ignore_ascii_case(person.name.trim());
    if state.countersigned.iter().any(|told| same(&told.what.by)) {
        return declined(
            format!("{} has countersigned it already", person.name),
            "a countersignature stands once for each person; another person may countersign, too",
        );
    }
    if !agrees && note.trim().is_empty() {
        return declined("no reason is given for not agreeing", "write what is not agreed with");
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
