//! What an annual says of each step, in a few lines: shown at the step when it is worked the next time.

use std::collections::BTreeMap;

use super::account::account;
use super::sessions::Side;
use crate::plan::PlanStep;
use crate::session::value_words;
use crate::words::{date, of_checklist, said};

/// Lines by step id: the result with who and when, readings, defects, notes. A step that was left open has none.
pub fn last_time(earlier: Side<'_>) -> BTreeMap<String, Vec<String>> {
    let told = earlier.plan.steps.iter().map(|planned| (planned.step.id.clone(), lines(planned, earlier)));
    told.filter(|(_, lines)| !lines.is_empty()).collect()
}

fn lines(planned: &PlanStep, earlier: Side<'_>) -> Vec<String> {
    let id = &planned.step.id;
    let (Some(account), Some(state)) = (account(earlier.state, id), earlier.state.step(id)) else {
        return Vec::new();
    };
    let mut lines = Vec::new();
    if !account.standing.is_open() {
        lines.push(account.words());
    }
    for measure in &planned.step.measures {
        let readings: Vec<_> = state.readings_of(&measure.id).collect();
        if let Some(last) = readings.last() {
            let values: Vec<String> =
                readings.iter().map(|reading| value_words(&reading.taken.value)).collect();
            let with = last.taken.used().ids().map(|ids| say!(", with {ids}", ids)).unwrap_or_default();
            let verdict = last.judgement.headline();
            lines.push(format!("{}: {}{with} ({verdict})", of_checklist(&measure.title), values.join(", ")));
        }
    }
    for defect in earlier.state.defects_of(id) {
        let until = defect.disposition().and_then(|disposed| disposed.until);
        let until =
            until.map(|until| format!(" {}", say!("until {until}", until = date(until)))).unwrap_or_default();
        lines.push(say!(
            "defect, {}: {} ({}{until})",
            said(defect.raised.severity.word()),
            defect.raised.what,
            said(defect.standing().word()),
            until
        ));
    }
    lines.extend(account.notes.iter().map(|note| say!("note: {note}", note)));
    lines
}
