//! 11: a directive or life-limited item is overdue or unanswered.

use chrono::NaiveDate;

use super::{Context, Refusal, Subject};
use crate::airframe::{Directive, LifeItem};
use crate::completion::totals::{self, totals};
use crate::event::{DirectiveAnswer, LifeAnswer};

pub const NAME: &str = "directive or life-limited item";
pub const DOC: &str = "Every directive and every life-limited item of the airframe is answered at the annual, and \
none of them is overdue at sign-off. An overdue one keeps the airframe from being released; it can stand on the \
list of discrepancies (14 CFR 43.11(b)). Lives are judged against the higher of the airframe's record and the totals \
read at this annual; a total below the record needs a written note.";

pub fn find(context: &Context<'_>, found: &mut Vec<Refusal>) {
    let noted = context.state.step(totals::STEP).is_some_and(|step| !step.notes.is_empty());
    for why in totals::fallen(context.plan, context.state).into_iter().filter(|_| !noted) {
        let clears = "correct the reading, or write a note on the step why the record is wrong";
        found.push(refusal(Subject::Step(totals::STEP.to_string()), why, clears, false));
    }
    for directive in &context.plan.airframe.directives {
        if !context.state.directives.contains_key(&directive.id) {
            let why = format!("\"{}\" is unanswered", directive.title);
            found.push(refusal(
                Subject::Directive(directive.id.clone()),
                why,
                "answer it: complied, not applicable, or not yet due",
                false,
            ));
        } else if let Some(why) = directive_overdue(context, directive) {
            found.push(refusal(
                Subject::Directive(directive.id.clone()),
                why,
                "comply with it and answer it again",
                true,
            ));
        }
    }
    for item in &context.plan.airframe.life_items {
        if !context.state.life_items.contains_key(&item.id) {
            let why = format!("\"{}\" is unanswered", item.title);
            found.push(refusal(
                Subject::LifeItem(item.id.clone()),
                why,
                "answer it: within its life, or replaced",
                false,
            ));
        } else if let Some(why) = life_item_overdue(context, item) {
            found.push(refusal(
                Subject::LifeItem(item.id.clone()),
                why,
                "replace or overhaul it and answer it again",
                true,
            ));
        }
    }
}

fn refusal(subject: Subject, why: String, clears: &str, release_only: bool) -> Refusal {
    Refusal { number: 11, name: NAME, subject, why, clears: clears.to_string(), release_only }
}

/// Everything overdue, with its id and words, for the list of discrepancies.
pub fn overdue(context: &Context<'_>) -> Vec<(String, String)> {
    let airframe = &context.plan.airframe;
    let directives = airframe
        .directives
        .iter()
        .filter_map(|directive| directive_overdue(context, directive).map(|why| (directive.id.clone(), why)));
    let items = airframe
        .life_items
        .iter()
        .filter_map(|item| life_item_overdue(context, item).map(|why| (item.id.clone(), why)));
    directives.chain(items).collect()
}

fn directive_overdue(context: &Context<'_>, directive: &Directive) -> Option<String> {
    let answered = &context.state.directives.get(&directive.id)?.what;
    let passed =
        |due: NaiveDate| (due < context.today).then(|| format!("\"{}\" fell due on {due}", directive.title));
    match answered.answer {
        DirectiveAnswer::NotApplicable => None,
        DirectiveAnswer::Complied => answered.next_due.and_then(passed),
        // A later date in the answer does not move the date that the record holds.
        DirectiveAnswer::NotYetDue => {
            let earliest = [directive.due, answered.next_due].into_iter().flatten().min();
            earliest.and_then(passed).or_else(|| {
                let due = directive.due_hours?;
                let hours = totals(context.plan, context.state).hours;
                (due < hours).then(|| {
                    format!("\"{}\" fell due at {due} h; the airframe has {hours} h", directive.title)
                })
            })
        }
    }
}

fn life_item_overdue(context: &Context<'_>, item: &LifeItem) -> Option<String> {
    let answered = &context.state.life_items.get(&item.id)?.what;
    let airframe = totals(context.plan, context.state);
    if answered.answer == LifeAnswer::Replaced {
        let due = answered.next_due?;
        return (due < context.today).then(|| format!("\"{}\" fell due on {due}", item.title));
    }
    if let Some(due) = item.due.filter(|due| *due < context.today) {
        return Some(format!("\"{}\" fell due on {due}", item.title));
    }
    if let Some(due) = item.due_hours.as_ref().filter(|due| **due < airframe.hours) {
        return Some(format!(
            "\"{}\" fell due at {due} h; the airframe has {} h",
            item.title, airframe.hours
        ));
    }
    let due = item.due_launches.filter(|due| *due < airframe.launches)?;
    Some(format!("\"{}\" fell due at {due} launches; the airframe has {}", item.title, airframe.launches))
}
