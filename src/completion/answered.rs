//! The airframe's record as it will be once this annual's answers are in it: from it follows what falls due next.

use chrono::NaiveDate;

use super::totals::{Totals, totals};
use crate::airframe::{
    Airframe, Compliance, Counters, CountsFrom, DefectStanding, Directive, Interval, LifeItem, RecordedDefect,
};
use crate::due::Horizon;
use crate::event::{DirectiveAnswer, DirectiveAnswered, LifeAnswer, LifeItemAnswered};
use crate::measure::life::LifeError;
use crate::plan::Plan;
use crate::state::{Defect, Standing, State, Told};

/// The record with this annual's totals, answers and decisions; what is unanswered stands as it stood.
pub fn airframe_after(plan: &Plan, state: &State, today: NaiveDate) -> Airframe {
    let mut after = plan.airframe.clone();
    let Totals { hours, launches } = totals(plan, state);
    (after.hours, after.launches, after.totals_on) = (hours, launches, Some(today));
    let counters = Counters { hours: Some(hours), launches: Some(launches), cycles: after.cycles };
    let mut compliances = Vec::new();
    for directive in &mut after.directives {
        if let Some(told) = state.directives.get(&directive.id) {
            let on = day_of(told, today);
            let last_done = plan.airframe.last_compliance(&directive.id).map(|done| done.on);
            compliances.extend(answered_directive(directive, &told.what, on, &counters, last_done));
        }
    }
    after.compliances.extend(compliances);
    for item in &mut after.life_items {
        let told = state.life_items.get(&item.id);
        if let Some(told) = told.filter(|told| told.what.answer == LifeAnswer::Replaced) {
            replaced(item, &told.what, day_of(told, today), &counters);
        }
    }
    take_defects_over(&mut after, state);
    after
}

/// As [`airframe_after`], with the next annual counted from this one: `next`, else 12 months after `today`.
///
/// # Errors
/// A date outside the calendar; counters too large.
pub fn after_this_annual(
    plan: &Plan,
    state: &State,
    today: NaiveDate,
    next: Option<NaiveDate>,
) -> Result<(Airframe, Horizon), LifeError> {
    let mut after = airframe_after(plan, state, today);
    // The use to expect is that since the annual before: counted before this one takes its place.
    let horizon = Horizon::of(&after, today, after.hours, after.launches, next)?;
    after.last_annual = Some(today);
    after.hours_at_last_annual = Some(after.hours);
    after.launches_at_last_annual = Some(after.launches);
    Ok((after, horizon))
}

/// The day of an answer; a clock that ran ahead moves nothing past today.
fn day_of<T>(told: &Told<T>, today: NaiveDate) -> NaiveDate {
    told.stamp.day().map_or(today, |day| day.min(today))
}

fn answered_directive(
    directive: &mut Directive,
    answered: &DirectiveAnswered,
    on: NaiveDate,
    counters: &Counters,
    last_done: Option<NaiveDate>,
) -> Option<Compliance> {
    directive.applies = answered.answer != DirectiveAnswer::NotApplicable;
    match answered.answer {
        DirectiveAnswer::NotApplicable => None,
        DirectiveAnswer::NotYetDue => {
            // A later date in the answer does not move the date that the record holds, unless that was for a compliance
            // that has been done since.
            let last_done = directive.complied.max(last_done);
            let stands = directive.due.filter(|due| last_done.is_none_or(|done| *due > done));
            directive.due = [stands, answered.next_due].into_iter().flatten().min();
            directive.repeating = directive.repeating || answered.next_due.is_some();
            None
        }
        DirectiveAnswer::Complied => {
            // What was stated was for the compliance that is done now; a next due date makes it repeat.
            directive.due = answered.next_due;
            (directive.due_hours, directive.due_launches) = (None, None);
            directive.repeating = directive.repeating || answered.next_due.is_some();
            directive.complied = None;
            if answered.next_due.is_some_and(|due| due <= on) {
                // Due again on the day itself or before: as if nothing had been done.
                return None;
            }
            Some(Compliance {
                directive: directive.id.clone(),
                on,
                hours: counters.hours,
                launches: counters.launches,
                cycles: counters.cycles,
                by: answered.by.name.clone(),
                how: answered.note.clone(),
            })
        }
    }
}

/// The new one begins with nothing used. Its day of manufacture is not known: a calendar that counts from there is the
/// answer's date.
fn replaced(item: &mut LifeItem, answered: &LifeItemAnswered, on: NaiveDate, counters: &Counters) {
    item.due = answered.next_due;
    (item.due_hours, item.due_launches, item.due_cycles) = (None, None, None);
    (item.serial, item.note) = (None, Some(answered.note.clone()));
    let Some(life) = &mut item.life else { return };
    if life.from == CountsFrom::Manufacture {
        life.interval = Interval { months: None, calendar_months: None, days: None, ..life.interval.clone() };
    }
    (life.manufactured, life.installed) = (None, Some(on));
    (life.airframe_then, life.item_then) = (*counters, Counters::default());
    if life.interval.is_empty() {
        item.life = None;
    }
}

/// Defects of the record that this annual closed are closed; those that it deferred stand with their limit.
fn take_defects_over(after: &mut Airframe, state: &State) {
    for defect in &state.defects {
        let from = defect.raised.from_record.as_ref();
        if let Some(from) = from.filter(|_| defect.standing() != Standing::Struck) {
            after.defects.retain(|recorded| recorded.id != from.id);
        }
        if defect.standing() == Standing::Deferred {
            after.defects.push(deferred(defect));
        }
    }
}

fn deferred(defect: &Defect) -> RecordedDefect {
    let raised = &defect.raised;
    let from = raised.from_record.as_ref();
    RecordedDefect {
        id: from.map_or_else(|| defect.id.clone(), |from| from.id.clone()),
        what: raised.what.clone(),
        component: raised.component.clone(),
        side: raised.side.clone(),
        station_mm: raised.station_mm,
        severity: raised.severity,
        standing: DefectStanding::Deferred,
        found: defect.found_on().unwrap_or_default(),
        step: raised.step.clone(),
        session: None,
        session_defect: Some(defect.id.clone()),
        until: defect.deferred_until(),
        note: None,
        closed: None,
        closed_by: None,
    }
}
