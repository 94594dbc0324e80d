//! Reports, directives, life-limited items, the weighing.

use super::{Forward, Signed, add, alter, date, given, number, text, whole, without};
use crate::airframe::edit::{Change, Written};
use crate::airframe::{Airframe, CountsFrom, Directive, LifeItem};
use crate::completion::totals::totals;
use crate::due::next_day;
use crate::event::{DirectiveAnswer, DirectiveAnswered, LifeAnswer, LifeItemAnswered, ReadingValue};
use crate::plan::PlannedReport;
use crate::quantity::Number;
use crate::state::{StepStanding, Told, compute_table, held_readings};
use crate::words;

/// Reports of the plan are dealt with, and tell how; later ones wait for the next annual.
pub fn reports(session: &Signed<'_>, record: &Airframe, forward: &mut Forward) {
    for report in &session.plan.reports {
        let place =
            record.reports.iter().position(|known| known.id == report.id && known.dealt_with.is_none());
        let (Some(at), Some(how)) = (place, dealt_with(session, report)) else { continue };
        let changes = vec![date("dealt_with", session.signed.date), text("dealt_with_how", &how)];
        forward.change(
            alter("report", at, changes),
            say!("report {id}: dealt with, {how}", id = report.id, how),
        );
    }
}

/// How: by which steps, or set aside and why. `None` where neither was done.
fn dealt_with(session: &Signed<'_>, report: &PlannedReport) -> Option<String> {
    let name = session.name();
    let aside = session
        .state
        .set_aside
        .get(&report.id)
        .map(|told| format!("set aside by {}: {}", told.stamp.by.name, told.what));
    let steps: Vec<&str> = session
        .plan
        .steps
        .iter()
        .filter(|planned| planned.because.contains(&report.id))
        .map(|planned| planned.step.id.as_str())
        .collect();
    let failed: Vec<&str> =
        steps.iter().filter(|id| session.state.defects_of(id).next().is_some()).copied().collect();
    if steps.is_empty() {
        return aside.map(|aside| format!("{name}: {aside}"));
    }
    let found = match failed.as_slice() {
        [] => "no defect found by them".to_string(),
        found => format!("defects found by {}", found.join(", ")),
    };
    let aside = aside.map_or(String::new(), |aside| format!("; {aside}"));
    Some(format!(
        "{name}: targeted by {}, steps {}; {found}{aside}",
        report.modules.join(", "),
        steps.join(", ")
    ))
}

pub fn directives(session: &Signed<'_>, record: &Airframe, forward: &mut Forward) {
    for (id, told) in &session.state.directives {
        let Some(at) = record.directives.iter().position(|known| known.id == *id) else {
            forward.tell(say!(
                "directive {id}: the record no longer has it; its answer stays in the session",
                id
            ));
            continue;
        };
        let known = &record.directives[at];
        match told.what.answer {
            DirectiveAnswer::Complied => complied(session, record, at, told, forward),
            DirectiveAnswer::NotYetDue => {
                let earlier = told.what.next_due.filter(|next| known.due.is_none_or(|due| *next < due));
                if let Some(due) = earlier {
                    forward.change(
                        alter("directive", at, vec![date("due", due)]),
                        say!("directive {id}: due {day}", id, day = words::date(due)),
                    );
                }
            }
            DirectiveAnswer::NotApplicable if known.applies => forward.tell(say!(
                "directive {id}: answered as not applicable, and the record says that it applies; correct the record if \
                 that holds for good",
                id
            )),
            DirectiveAnswer::NotApplicable => {}
        }
    }
}

fn complied(
    session: &Signed<'_>,
    record: &Airframe,
    at: usize,
    told: &Told<DirectiveAnswered>,
    forward: &mut Forward,
) {
    let known = &record.directives[at];
    let day = told.stamp.day().unwrap_or(session.signed.date);
    let now = totals(session.plan, session.state);
    let is_listed = record.compliances.iter().any(|done| done.directive == known.id && done.on == day);
    if !is_listed {
        let mut changes = vec![
            text("directive", &known.id),
            date("on", day),
            number("hours", now.hours),
            whole("launches", now.launches),
        ];
        changes.extend(record.cycles.map(|cycles| whole("cycles", cycles)));
        changes.extend([text("by", &told.stamp.by.name), text("how", &told.what.note)]);
        forward.change(
            add("compliance", changes),
            say!("directive {id}: complied with on {day}", id = known.id, day = words::date(day)),
        );
    }
    let next = next_due(known, &told.what, (day, now.hours, now.launches), forward);
    if !next.is_empty() {
        forward.edits.push(alter("directive", at, next));
    }
}

/// The day that was given is the next one; without one, what was due for this compliance is history.
fn next_due(
    known: &Directive,
    answered: &DirectiveAnswered,
    (day, hours, launches): (chrono::NaiveDate, Number, u32),
    forward: &mut Forward,
) -> Vec<Change> {
    let mut changes = Vec::new();
    let counted = known.interval.as_ref().and_then(|interval| next_day(interval, day).ok().flatten());
    let again = |due| say!("directive {id}: falls due again on {day}", id = known.id, day = words::date(due));
    match answered.next_due {
        // Its interval gives the same day from the compliance: a day that stands beside it would outlast the next one.
        Some(due) if counted == Some(due) => {
            changes.extend(known.due.map(|_| without("due")));
            forward.tell(again(due));
        }
        Some(due) => {
            changes.push(date("due", due));
            forward.tell(again(due));
        }
        None if known.due.is_some() => changes.push(without("due")),
        None => {}
    }
    if known.complied.is_some_and(|before| before < day) {
        changes.push(date("complied", day));
    }
    let is_counted = |counted: bool| counted && known.repeating;
    let hours_stand = known.due_hours.is_some_and(|due| due > hours);
    let launches_stand = known.due_launches.is_some_and(|due| due > launches);
    if is_counted(hours_stand || launches_stand) {
        forward.tell(say!(
            "directive {id}: its limit by hours or launches is still the one from before; correct it by its text",
            id = known.id
        ));
    }
    changes
}

pub fn life_items(session: &Signed<'_>, record: &Airframe, forward: &mut Forward) {
    for (id, told) in &session.state.life_items {
        if told.what.answer != LifeAnswer::Replaced {
            continue;
        }
        match record.life_items.iter().position(|known| known.id == *id) {
            Some(at) => replaced(session, record, at, told, forward),
            None => {
                forward.tell(say!(
                    "{id}: the record no longer has it; its replacement stays in the session",
                    id
                ));
            }
        }
    }
}

fn replaced(
    session: &Signed<'_>,
    record: &Airframe,
    at: usize,
    told: &Told<LifeItemAnswered>,
    forward: &mut Forward,
) {
    let item = &record.life_items[at];
    let day = told.stamp.day().unwrap_or(session.signed.date);
    let note = format!("{day}: {}", told.what.note);
    // A session that continues another one carries the same replacement over.
    if item.note.as_ref().is_some_and(|known| known.ends_with(&note)) {
        return;
    }
    let now = totals(session.plan, session.state);
    let mut changes = vec![
        date("installed", day),
        number("airframe_hours_then", now.hours),
        whole("airframe_launches_then", now.launches),
    ];
    changes.extend(record.cycles.map(|cycles| whole("airframe_cycles_then", cycles)));
    changes.extend(["item_hours_then", "item_launches_then", "item_cycles_then"].map(without));
    changes.push(("due".to_string(), told.what.next_due.map(Written::Date)));
    let all = item.note.as_ref().map_or(note.clone(), |before| format!("{before}; {note}"));
    changes.push(given("note", Some(&all)));
    let due = told.what.next_due.map_or(String::new(), |due| say!(", due {day}", day = words::date(due)));
    let done = say!(
        "{title}: replaced or overhauled on {day} at {hours} h",
        title = item.title,
        day = words::date(day),
        hours = words::figure(now.hours)
    );
    forward.change(alter("life_item", at, changes), done + &due);
    for what in to_be_seen_to(item) {
        forward.tell(format!("{}: {what}", item.title));
    }
}

/// What the session does not know of the new item. What stands is the old one's, which falls due earlier.
fn to_be_seen_to(item: &LifeItem) -> Vec<&'static str> {
    let counted = item.due_hours.is_some() || item.due_launches.is_some() || item.due_cycles.is_some();
    let from_manufacture = item
        .life
        .as_ref()
        .is_some_and(|life| life.from == CountsFrom::Manufacture && life.interval.has_calendar());
    let named = item.serial.is_some() || item.part_number.is_some();
    [
        (counted, say!("its limits by hours, launches or cycles are still those of the old one; correct them")),
        (
            from_manufacture,
            say!("its life counts from manufacture, and the record has that of the old one; correct it"),
        ),
        (
            named,
            say!("part and serial number in the record are those of the old one; correct them if it was replaced"),
        ),
    ]
    .into_iter()
    .filter(|(applies, _)| *applies)
    .map(|(_, words)| words)
    .collect()
}

/// The weighing of the plan's weighing table, else of its readings of mass and arm, where they hold.
pub fn weighing(session: &Signed<'_>, record: &Airframe, forward: &mut Forward) {
    let Some((day, mass, arm, by)) = weighed_by_table(session).or_else(|| weighed_by_readings(session))
    else {
        return;
    };
    let is_known = record.weighings.iter().any(|known| known.date == day && known.empty_mass_kg == mass);
    if is_known {
        return;
    }
    let mut changes = vec![date("date", day), number("empty_mass_kg", mass)];
    changes.extend(arm.map(|arm| number("empty_cg_mm", arm)));
    changes.extend([text("by", by), text("reason", format!("annual inspection ({})", session.name()))]);
    let done =
        say!("weighing of {day}: empty mass {mass} kg", day = words::date(day), mass = words::figure(mass));
    forward.change(add("weighing", changes), done);
}

type Weighed = (chrono::NaiveDate, Number, Option<Number>, String);

fn weighed_by_table(session: &Signed<'_>) -> Option<Weighed> {
    let steps = session.plan.steps.iter();
    let readings =
        steps.filter_map(|planned| session.state.step(&planned.step.id).map(|state| (planned, state)));
    readings
        .filter(|(_, state)| state.standing() != StepStanding::NotApplicable)
        .flat_map(|(planned, state)| {
            planned.step.measures.iter().filter_map(|measure| state.readings_of(&measure.id).last())
        })
        .filter_map(|reading| {
            let ReadingValue::Table { text } = &reading.taken.value else { return None };
            let report = compute_table("weighing", text).ok()?;
            let figures = &report.json("table")["figures"];
            let figure = |key: &str, places: usize| -> Option<Number> {
                format!("{:.places$}", figures[key].as_f64()?).parse().ok()
            };
            // Finer than scales and tapes of a hangar read, so that nothing is lost by rounding.
            let (mass, arm) = (figure("empty_mass_kg", 2)?, figure("empty_cg_mm", 1));
            Some((reading.stamp.day()?, mass, arm, reading.stamp.by.name.clone()))
        })
        .next_back()
}

/// The programme's step of weighing, and its two measurements.
const WEIGHING: (&str, &str, &str) = ("measurement.weighing", "empty-mass", "empty-arm");

fn weighed_by_readings(session: &Signed<'_>) -> Option<Weighed> {
    let held = held_readings(session.plan, session.state);
    let of = |measure: &str, unit: crate::quantity::Unit| {
        let found = held.iter().find(|held| held.step == WEIGHING.0 && held.measure == measure)?;
        let quantity = crate::quantity::Quantity::new(found.value, found.unit).to(unit).ok()?;
        Some((found.day, quantity.value))
    };
    let (day, mass) = of(WEIGHING.1, crate::quantity::Unit::Kilogram)?;
    let arm = of(WEIGHING.2, crate::quantity::Unit::Millimetre).map(|(_, arm)| arm);
    let readings = session.state.step(WEIGHING.0)?;
    let by = readings.readings_of(WEIGHING.1).last()?.stamp.by.name.clone();
    Some((day, mass, arm, by))
}
