//! Defects that stay open, those that were closed, and the repairs behind them.

use chrono::NaiveDate;

use super::{Forward, Signed, add, alter, date, free_id, given, text, without};
use crate::airframe::edit::{Change, Written};
use crate::airframe::{Airframe, DefectStanding, RecordedDefect};
use crate::state::{Defect, Standing};
use crate::words::{self, said};

const LIST: &str = "defect";

pub fn defects(session: &Signed<'_>, record: &Airframe, forward: &mut Forward) {
    let mut added: Vec<String> = Vec::new();
    for defect in &session.state.defects {
        match place_of(session, record, defect) {
            Some(at) => again(session, &record.defects[at], at, defect, forward),
            None if defect.is_open() => {
                let wanted = format!("{}-{}", session.signed.date, defect.id);
                let known = record.defects.iter().map(|known| known.id.as_str());
                let id = free_id(&wanted, known.chain(added.iter().map(String::as_str)));
                forward.change(add(LIST, entry(session, defect, &id)), words(defect, &id));
                added.push(id);
            }
            None => {}
        }
    }
}

/// Where the record holds it: the entry that it came from, or the one that an earlier session of this annual made.
fn place_of(session: &Signed<'_>, record: &Airframe, defect: &Defect) -> Option<usize> {
    let from = defect.raised.from_record.as_ref();
    record.defects.iter().position(|known| match from {
        Some(from) => known.id == from.id,
        None => {
            known.session.as_deref().is_some_and(|sid| session.is_of_chain(sid))
                && known.session_defect.as_deref() == Some(&defect.id)
        }
    })
}

fn again(session: &Signed<'_>, known: &RecordedDefect, at: usize, defect: &Defect, forward: &mut Forward) {
    let id = &known.id;
    match defect.standing() {
        Standing::Closed => {
            let how = closed_how(session, defect);
            let day =
                defect.reinspected.as_ref().and_then(|stamp| stamp.day()).unwrap_or(session.signed.date);
            let changes = vec![date("closed", day), text("closed_by", &how)];
            forward.change(
                alter(LIST, at, changes),
                say!("defect {id} \"{what}\": closed, {how}", id, what = known.what, how),
            );
        }
        Standing::Struck => {
            let why = defect.struck.as_ref().map_or("", |struck| &struck.why);
            let how = format!("taken back: {why} ({})", session.name());
            let changes = vec![date("closed", session.signed.date), text("closed_by", &how)];
            forward.change(
                alter(LIST, at, changes),
                say!("defect {id} \"{what}\": {how}", id, what = known.what, how),
            );
        }
        _ => {
            let mut changes = standing(session, defect);
            // It is found again, whatever was written of its closing.
            changes.extend([without("closed"), without("closed_by")]);
            forward.change(alter(LIST, at, changes), words(defect, id));
        }
    }
}

fn closed_how(session: &Signed<'_>, defect: &Defect) -> String {
    let work = defect.rectifications.last().map_or("no rectification", |told| told.what.work.as_str());
    let by = defect.reinspected.as_ref().map_or("nobody", |stamp| stamp.by.name.as_str());
    format!("rectified: {work}; re-inspected by {by} ({})", session.name())
}

fn entry(session: &Signed<'_>, defect: &Defect, id: &str) -> Vec<Change> {
    let raised = &defect.raised;
    let mut changes = vec![
        text("id", id),
        text("what", &raised.what),
        given("component", raised.component.as_ref()),
        given("side", raised.side.as_ref()),
        ("station_mm".to_string(), raised.station_mm.map(Written::Number)),
        text("severity", raised.severity.word()),
        date("found", defect.found_on().unwrap_or(session.signed.date)),
        given("step", raised.step.as_ref()),
        text("session", session.sid),
        text("session_defect", &defect.id),
    ];
    changes.extend(standing(session, defect));
    changes
}

/// `standing`, `until` and `note` as they are decided now.
fn standing(session: &Signed<'_>, defect: &Defect) -> Vec<Change> {
    let standing = recorded_standing(defect);
    let word =
        DefectStanding::WORDS.iter().find(|(_, known)| *known == standing).map_or("", |(word, _)| word);
    let until: Option<NaiveDate> = defect.deferred_until().filter(|_| standing == DefectStanding::Deferred);
    let decided = defect.dispositions.last().map(|told| {
        let note = &told.what.note;
        let note = if note.is_empty() { String::new() } else { format!(": {note}") };
        format!("{} by {} ({}){note}", told.what.disposition.word(), told.stamp.by.name, session.name())
    });
    vec![
        text("standing", word),
        ("until".to_string(), until.map(Written::Date)),
        given("note", decided.as_ref()),
    ]
}

/// Whatever is open and neither deferred nor referred keeps the airframe on the ground.
fn recorded_standing(defect: &Defect) -> DefectStanding {
    match defect.standing() {
        Standing::Deferred => DefectStanding::Deferred,
        Standing::Referred => DefectStanding::Referred,
        _ => DefectStanding::NotAirworthy,
    }
}

fn words(defect: &Defect, id: &str) -> String {
    let standing = recorded_standing(defect);
    let until = defect.deferred_until().filter(|_| standing == DefectStanding::Deferred);
    let (what, how) = (&defect.raised.what, said(standing.word()));
    match until.map(words::date) {
        Some(until) => say!("defect {id} \"{what}\": {how} until {until}", id, what, how, until),
        None => say!("defect {id} \"{what}\": {how}", id, what, how),
    }
}

/// One entry for each rectification.
pub fn repairs(session: &Signed<'_>, record: &Airframe, forward: &mut Forward) {
    let mut added: Vec<String> = Vec::new();
    for defect in session.state.standing_defects() {
        for told in &defect.rectifications {
            let day = told.stamp.day().unwrap_or(session.signed.date);
            let held = if defect.is_open() { "; the defect stands open" } else { "" };
            let what = format!("{}: {}{held}", defect.raised.what, told.what.work);
            let is_known = record.repairs.iter().any(|known| known.date == day && known.what == what);
            if is_known {
                continue;
            }
            let known = record.repairs.iter().map(|known| known.id.as_str());
            let id = free_id(&format!("{day}-{}", defect.id), known.chain(added.iter().map(String::as_str)));
            let changes = vec![
                text("id", &id),
                date("date", day),
                text("what", &what),
                given("component", defect.raised.component.as_ref()),
                given("side", defect.raised.side.as_ref()),
                ("station_mm".to_string(), defect.raised.station_mm.map(Written::Number)),
                text("by", &told.stamp.by.name),
            ];
            forward.change(add("repair", changes), say!("repair {id}: {what}", id, what));
            added.push(id);
        }
    }
}
