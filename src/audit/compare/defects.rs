//! The defects of the earlier session, and what became of them.

use chrono::NaiveDate;
use serde::Serialize;

use super::sessions::Side;
use crate::state::{Defect, State, StepStanding, instant};
use crate::words::{date, said};

/// A defect of the earlier session.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct DefectThen {
    /// Its id in the earlier session, such as `d1`.
    pub id: String,
    pub step: Option<String>,
    pub severity: &'static str,
    pub what: String,
    /// How it stood at the end of the earlier session.
    pub standing: &'static str,
    /// It was left open: deferred, referred, undecided or grounding.
    pub open: bool,
    /// Limit of a deferral.
    pub until: Option<NaiveDate>,
    /// The limit lies before the last entry of the session now.
    pub overdue: bool,
    /// What the session now says of the same place, in plain words.
    pub now: String,
    /// Something speaks for another look: overdue, found again, or left open and not dealt with now.
    pub needs_a_look: bool,
}

pub(super) fn defects_then(then: Side<'_>, now: Side<'_>) -> Vec<DefectThen> {
    let today = last_day(now.state);
    then.state.standing_defects().map(|defect| one(defect, now, today)).collect()
}

fn last_day(state: &State) -> Option<NaiveDate> {
    instant(&state.last_wall).map(|wall| wall.date_naive())
}

fn one(defect: &Defect, now: Side<'_>, today: Option<NaiveDate>) -> DefectThen {
    let until = defect.disposition().and_then(|disposed| disposed.until);
    let overdue = defect.is_open() && until.zip(today).is_some_and(|(until, today)| until < today);
    let step = defect.raised.step.as_deref();
    let again: Vec<String> =
        step.map(|step| now.state.defects_of(step).map(found_again).collect()).unwrap_or_default();
    let standing =
        step.filter(|step| now.plan.step(step).is_some()).map(|step| (now.state.standing(step), step));
    let words = match (&again[..], standing) {
        ([], None) => say!("no step of the annual now looks there").to_string(),
        ([], Some((standing, step))) if standing.is_open() => say!("{step} is not answered now", step),
        ([], Some((standing, step))) => say!("{step} {} now", said(standing.word()), step),
        (found, _) => say!("a defect there now: {}", found.join("; ")),
    };
    let settled = standing.is_some_and(|(standing, _)| standing == StepStanding::Passed);
    DefectThen {
        id: defect.id.clone(),
        step: defect.raised.step.clone(),
        severity: defect.raised.severity.word(),
        what: defect.raised.what.clone(),
        standing: defect.standing().word(),
        open: defect.is_open(),
        until,
        overdue,
        needs_a_look: !again.is_empty() || (defect.is_open() && (overdue || !settled)),
        now: words,
    }
}

fn found_again(defect: &Defect) -> String {
    format!(
        "{} {} \"{}\" ({})",
        defect.id,
        said(defect.raised.severity.word()),
        defect.raised.what,
        said(defect.standing().word())
    )
}

impl DefectThen {
    pub fn words(&self) -> String {
        let until = self
            .until
            .map(|until| format!(" {}", say!("until {until}", until = date(until))))
            .unwrap_or_default();
        let overdue = if self.overdue { say!(", and that day has passed") } else { "" };
        format!(
            "{} {} \"{}\": {}{until}{overdue}; {}",
            self.id,
            said(self.severity),
            self.what,
            said(self.standing),
            self.now
        )
    }
}
