//! The forms that answer directives and life-limited items: what the record says falls due, and the next due day by its
//! interval, which is taken where none is typed.

use chrono::NaiveDate;

use super::desk::SessionView;
use super::field::Field;
use super::form::Form;
use super::forms::owned;
use super::purpose::Purpose;
use super::records_due::{Outlook, applies_words};
use crate::airframe::{CountsFrom, Directive, Interval, LifeItem};
use crate::completion::refusals::overdue::objection;
use crate::completion::totals::totals;
use crate::due::{Kind, next_day, next_parts};
use crate::event::{DirectiveAnswer, LifeAnswer};
use crate::measure::life::{Counter, Part, Usage};
use crate::words::{date, figure, said};

pub fn directive(view: &SessionView<'_>, today: NaiveDate, directive: &Directive) -> Form {
    let options = owned(&DirectiveAnswer::WORDS.map(|(_, answer)| said(answer.word())));
    let airframe = &view.plan.airframe;
    let next = directive.interval.as_ref().map(|interval| offered(interval, today, say!("the compliance")));
    let hint = match next {
        Some(hint) => hint,
        None if directive.repeating => say!("it repeats: the date is demanded").to_string(),
        None => String::new(),
    };
    let mut form = Form::new(
        Purpose::Directive { directive: directive.id.clone() },
        say!("Directive {}: {}", directive.id, directive.title),
    )
    .intro(say!("Applies: {}", applies_words(airframe, directive)))
    .intro(due_words(view, today, Kind::Directive, &directive.id));
    if let Some(words) = directive.interval.as_ref().and_then(|interval| counters(view, today, interval)) {
        form = form.intro(say!("Complied with today it also falls due at {words}.", words));
    }
    form.field(Field::choice("answer", say!("answer"), options, None))
        .field(Field::text(
            "note",
            say!("note (demanded for \"not applicable\")"),
            objection(airframe, directive).unwrap_or_default(),
        ))
        .field(Field::text("due", say!("next due, as 2026-11-25"), "").hint(hint))
}

pub fn life_item(view: &SessionView<'_>, today: NaiveDate, item: &LifeItem) -> Form {
    let options = owned(&LifeAnswer::WORDS.map(|(_, answer)| said(answer.word())));
    let hint = match &item.life {
        Some(life) if life.from == CountsFrom::Installation => {
            offered(&life.interval, today, say!("the installation"))
        }
        Some(life) if life.interval.has_calendar() => {
            say!("{} from the manufacture of what was fitted", life.interval.words())
        }
        _ => String::new(),
    };
    let mut form =
        Form::new(Purpose::LifeItem { item: item.id.clone() }, say!("Life-limited: {}", item.title))
            .intro(due_words(view, today, Kind::LifeItem, &item.id));
    if let Some(words) = item.life.as_ref().and_then(|life| counters(view, today, &life.interval)) {
        form = form.intro(say!("A new one fitted today falls due at {words}.", words));
    }
    form.field(Field::choice("answer", say!("answer"), options, None))
        .field(Field::text("note", say!("note (what was fitted, with its serial number)"), ""))
        .field(Field::text("due", say!("next due of what was fitted, as 2026-11-25"), "").hint(hint))
}

/// The day that is taken where none is typed.
fn offered(interval: &Interval, today: NaiveDate, since: &str) -> String {
    match next_day(interval, today) {
        Ok(Some(day)) => {
            say!("left empty: {day}, {} from {since} today", calendar_words(interval), day = date(day), since)
        }
        Ok(None) => say!("none is needed: {} from {since}", interval.words(), since),
        Err(error) => error.to_string(),
    }
}

fn calendar_words(interval: &Interval) -> String {
    Interval { hours: None, launches: None, cycles: None, ..interval.clone() }.words()
}

/// Readings of the airframe's counters at which an interval that begins today ends.
fn counters(view: &SessionView<'_>, today: NaiveDate, interval: &Interval) -> Option<String> {
    let read = totals(view.plan, view.state);
    let cycles = view.plan.airframe.cycles;
    let now = Usage {
        date: today,
        hours: read.hours.decimal(),
        launches: read.launches.into(),
        cycles: cycles.unwrap_or(0).into(),
    };
    let counted = Interval { cycles: interval.cycles.filter(|_| cycles.is_some()), ..interval.clone() };
    let words: Vec<String> = next_parts(&counted, &now)
        .ok()?
        .iter()
        .filter_map(|part| match part {
            Part::Counted { counter: Counter::Hours, due_at, .. } => Some(format!("{} h", figure(due_at))),
            Part::Counted { counter, due_at, .. } => Some(format!("{due_at} {}", said(&counter.to_string()))),
            Part::Calendar { .. } => None,
        })
        .collect();
    (!words.is_empty()).then(|| words.join(say!(" or ")))
}

/// What the airframe's record holds of it: the answer is judged against that.
fn due_words(view: &SessionView<'_>, today: NaiveDate, kind: Kind, id: &str) -> String {
    match Outlook::of(view, today).by_record(kind, id) {
        Some(words) => say!("By the record: {words}.", words),
        None => say!("By the record nothing of it falls due.").to_string(),
    }
}
