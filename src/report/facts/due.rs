//! What falls due next, with the answers of this annual taken into account.

use chrono::NaiveDate;
use serde::Serialize;

use crate::airframe::{Airframe, Compliance, Counters, DefectStanding, RecordedDefect};
use crate::due::{Horizon, due_list, part_words};
use crate::event::{DirectiveAnswer, Disposition, LifeAnswer};
use crate::plan::Plan;
use crate::state::{Standing, State};

#[derive(Debug, Clone, Default, Serialize)]
pub struct DueFacts {
    /// The day from which it is seen: that of the sign-off, else of the last entry.
    pub seen_from: Option<String>,
    /// The expected next annual.
    pub next_annual: Option<String>,
    /// Why it cannot be told.
    pub trouble: Option<String>,
    pub rows: Vec<DueRow>,
}

#[derive(Debug, Clone, Serialize)]
pub struct DueRow {
    pub kind: String,
    pub id: String,
    pub title: String,
    pub standing: String,
    /// Every limit that counts; whichever comes first governs.
    pub limits: Vec<String>,
    /// The limit that is expected to be reached first, and when at the expected use.
    pub first: Option<String>,
    pub expected: Option<String>,
    pub trouble: Option<String>,
}

pub(super) fn due(plan: &Plan, state: &State) -> DueFacts {
    let signed = state.signed.as_ref().map(|told| &told.what);
    let last = crate::state::instant(&state.last_wall).map(|wall| wall.date_naive());
    let Some(day) = signed.map(|signed| signed.date).or(last) else {
        return DueFacts { trouble: Some("the record names no day".to_string()), ..DueFacts::default() };
    };
    let hours = signed.map_or(plan.airframe.hours, |signed| signed.hours);
    let launches = signed.map_or(plan.airframe.launches, |signed| signed.launches);
    let airframe = after_this_annual(plan, state, day);
    match Horizon::of(&airframe, day, hours, launches, None) {
        Err(error) => DueFacts {
            seen_from: Some(day.to_string()),
            trouble: Some(error.to_string()),
            ..DueFacts::default()
        },
        Ok(horizon) => DueFacts {
            seen_from: Some(day.to_string()),
            next_annual: Some(horizon.next.date.to_string()),
            trouble: None,
            rows: due_list(&airframe, &horizon)
                .into_iter()
                .map(|line| DueRow {
                    kind: line.kind.word().to_string(),
                    id: line.id,
                    title: line.title,
                    standing: line.standing.word().to_string(),
                    limits: line.parts.iter().map(part_words).collect(),
                    first: line.first.as_ref().map(|(part, _)| part_words(part)),
                    expected: line.first.map(|(_, day)| day.to_string()),
                    trouble: line.trouble,
                })
                .collect(),
        },
    }
}

/// The airframe's record as this annual leaves it. The record itself is not changed.
fn after_this_annual(plan: &Plan, state: &State, day: NaiveDate) -> Airframe {
    let mut airframe = plan.airframe.clone();
    let signed = state.signed.as_ref().map(|told| &told.what);
    if let Some(signed) = signed {
        airframe.last_annual = Some(signed.date);
        airframe.hours_at_last_annual = None;
        airframe.launches_at_last_annual = None;
    }
    let hours = signed.map_or(plan.airframe.hours, |signed| signed.hours);
    let launches = signed.map_or(plan.airframe.launches, |signed| signed.launches);
    for (id, told) in &state.directives {
        let Some(directive) = airframe.directives.iter_mut().find(|directive| directive.id == *id) else {
            continue;
        };
        match told.what.answer {
            DirectiveAnswer::NotApplicable => directive.applies = false,
            DirectiveAnswer::NotYetDue => directive.due = told.what.next_due.or(directive.due),
            DirectiveAnswer::Complied => {
                directive.due = told.what.next_due.or(directive.due);
                airframe.compliances.push(Compliance {
                    directive: id.clone(),
                    on: told.stamp.day().unwrap_or(day),
                    hours: Some(hours),
                    launches: Some(launches),
                    cycles: plan.airframe.cycles,
                    by: told.stamp.by.name.clone(),
                    how: told.what.note.clone(),
                });
            }
        }
    }
    replaced_items(&mut airframe, plan, state, day);
    deferred_here(&mut airframe, state, day);
    airframe
}

/// A replaced item begins a new life; limits that were stated for the old one no longer count.
fn replaced_items(airframe: &mut Airframe, plan: &Plan, state: &State, day: NaiveDate) {
    for (id, told) in &state.life_items {
        let Some(item) = airframe.life_items.iter_mut().find(|item| item.id == *id) else { continue };
        if told.what.answer != LifeAnswer::Replaced {
            continue;
        }
        item.due = told.what.next_due;
        (item.due_hours, item.due_launches, item.due_cycles) = (None, None, None);
        if let Some(life) = &mut item.life {
            life.installed = Some(told.stamp.day().unwrap_or(day));
            life.manufactured = None;
            life.item_then = Counters::default();
            life.airframe_then = Counters {
                hours: Some(plan.airframe.hours),
                launches: Some(plan.airframe.launches),
                cycles: plan.airframe.cycles,
            };
            life.from = crate::airframe::CountsFrom::Installation;
        }
    }
}

/// Defects that this annual deferred, beside those that the record held; one that it took over stands once.
fn deferred_here(airframe: &mut Airframe, state: &State, day: NaiveDate) {
    for defect in &state.defects {
        let from = defect.raised.from_record.as_ref();
        if let Some(from) = from {
            airframe.defects.retain(|recorded| recorded.id != from.id);
        }
        let until = defect
            .disposition()
            .filter(|disposed| disposed.disposition == Disposition::Defer)
            .and_then(|disposed| disposed.until);
        if defect.standing() != Standing::Deferred {
            continue;
        }
        airframe.defects.push(RecordedDefect {
            id: defect.id.clone(),
            what: defect.raised.what.clone(),
            component: defect.raised.component.clone(),
            side: defect.raised.side.clone(),
            station_mm: defect.raised.station_mm,
            severity: crate::airframe::DefectSeverity::Minor,
            standing: DefectStanding::Deferred,
            found: from.map_or(defect.stamp.day().unwrap_or(day), |from| from.found),
            step: defect.raised.step.clone(),
            session: None,
            session_defect: None,
            until,
            note: None,
            closed: None,
            closed_by: None,
        });
    }
}
