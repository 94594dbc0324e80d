//! What an annual opens with: defects left open, readings to be set beside, reports since, what falls due, and what failed.

use chrono::NaiveDate;
use serde::Serialize;

use super::advice::repairs_without_report;
use crate::airframe::Airframe;
use crate::due::{DueLine, Horizon, Standing as DueStanding, due_list, part_words};
use crate::event::StepResult;
use crate::plan::Plan;
use crate::quantity::{Number, Unit};
use crate::state::{State, StepStanding};
use crate::vocabulary::kind_words;

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Carried {
    pub registration: String,
    pub on: NaiveDate,
    pub last_annual: Option<NaiveDate>,
    /// What the record says keeps it on the ground.
    pub grounded: Vec<String>,
    pub defects: Vec<CarriedDefect>,
    /// The newest of each measurement.
    pub readings: Vec<CarriedReading>,
    pub reports: Vec<CarriedReport>,
    /// Overdue, due now, cannot be told, or before the next annual.
    pub due: Vec<CarriedDue>,
    pub failed_before: Vec<FailedBefore>,
    pub advice: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CarriedDefect {
    pub id: String,
    pub what: String,
    pub severity: &'static str,
    pub standing: &'static str,
    pub found: NaiveDate,
    pub until: Option<NaiveDate>,
    pub overdue: bool,
    pub step: Option<String>,
    pub session: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CarriedReading {
    pub step: String,
    pub measure: String,
    pub date: NaiveDate,
    pub value: Number,
    pub unit: Unit,
    pub standard_uncertainty: Option<Number>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CarriedReport {
    pub id: String,
    pub kind: String,
    pub kind_words: String,
    pub date: NaiveDate,
    pub text: String,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct CarriedDue {
    pub kind: &'static str,
    pub id: String,
    pub title: String,
    pub standing: &'static str,
    pub words: String,
}

/// A step that failed at the annual before.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct FailedBefore {
    pub step: String,
    pub title: String,
    /// How it ended there.
    pub how: &'static str,
}

/// From the record as an annual sees it on that day, and the annual before it where there is one.
pub fn carried(record: &Airframe, day: NaiveDate, before: Option<(&Plan, &State)>) -> Carried {
    let due = Horizon::of_record(record, day).map(|horizon| due_list(record, &horizon)).unwrap_or_default();
    Carried {
        registration: record.registration.clone(),
        on: day,
        last_annual: record.last_annual,
        grounded: record.grounded_on(day),
        defects: defects(record, day),
        readings: readings(record),
        reports: reports(record),
        due: due.iter().filter(|line| line.standing != DueStanding::Later).map(due_line).collect(),
        failed_before: before.map(|(plan, state)| failed_before(plan, state)).unwrap_or_default(),
        advice: repairs_without_report(record),
    }
}

fn defects(record: &Airframe, day: NaiveDate) -> Vec<CarriedDefect> {
    let line = |defect: &crate::airframe::RecordedDefect| CarriedDefect {
        id: defect.id.clone(),
        what: defect.what.clone(),
        severity: defect.severity.word(),
        standing: defect.standing.word(),
        found: defect.found,
        until: defect.until,
        overdue: defect.until.is_some_and(|until| day > until),
        step: defect.step.clone(),
        session: defect.session.clone(),
    };
    record.open_defects().map(line).collect()
}

fn readings(record: &Airframe) -> Vec<CarriedReading> {
    let is_newest = |reading: &&crate::airframe::EarlierReading| {
        !record.earlier_readings.iter().any(|other| {
            other.step == reading.step && other.measure == reading.measure && other.date > reading.date
        })
    };
    record
        .earlier_readings
        .iter()
        .filter(is_newest)
        .map(|reading| CarriedReading {
            step: reading.step.clone(),
            measure: reading.measure.clone(),
            date: reading.date,
            value: reading.value,
            unit: reading.unit,
            standard_uncertainty: reading.standard_uncertainty,
        })
        .collect()
}

fn reports(record: &Airframe) -> Vec<CarriedReport> {
    record
        .open_reports()
        .map(|report| CarriedReport {
            id: report.id.clone(),
            kind: report.kind.value.clone(),
            kind_words: kind_words(&report.kind.value).to_string(),
            date: report.date,
            text: report.text.clone(),
        })
        .collect()
}

fn due_line(line: &DueLine) -> CarriedDue {
    let parts: Vec<String> = line.parts.iter().map(part_words).collect();
    CarriedDue {
        kind: line.kind.word(),
        id: line.id.clone(),
        title: line.title.clone(),
        standing: line.standing.word(),
        words: line.trouble.clone().unwrap_or_else(|| parts.join("; ")),
    }
}

/// Steps that failed in a session, in the order of its plan, with how each ended.
pub fn failed_before(plan: &Plan, state: &State) -> Vec<FailedBefore> {
    let failed = |id: &str| {
        state.step(id).is_some_and(|step| {
            step.answers
                .iter()
                .any(|answer| answer.struck.is_none() && answer.answered.result == StepResult::Failed)
        })
    };
    plan.steps
        .iter()
        .filter(|planned| failed(&planned.step.id))
        .map(|planned| FailedBefore {
            step: planned.step.id.clone(),
            title: planned.step.title.clone(),
            how: match state.standing(&planned.step.id) {
                StepStanding::Failed => say!("failed"),
                StepStanding::Passed => say!("failed, passed after the rectification"),
                _ => say!("failed, not worked again"),
            },
        })
        .collect()
}
