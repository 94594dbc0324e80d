//! Reports and how each was dealt with; directives and life-limited items and how each was answered.

use serde::Serialize;

use super::Mark;
use crate::plan::Plan;
use crate::state::State;
use crate::vocabulary::kind_words;

#[derive(Debug, Clone, Serialize)]
pub struct ReportFacts {
    pub id: String,
    pub kind: String,
    pub date: String,
    pub by: String,
    pub text: String,
    /// Ids of the targeted modules that it selected.
    pub modules: Vec<String>,
    /// Steps that are in the plan because of it: all, and those that are answered.
    pub steps: usize,
    pub steps_done: usize,
    /// Why it was set aside, where it was.
    pub set_aside: Option<SetAside>,
}

#[derive(Debug, Clone, Serialize)]
pub struct SetAside {
    #[serde(flatten)]
    pub mark: Mark,
    pub reason: String,
}

#[derive(Debug, Clone, Serialize)]
pub struct RecordFacts {
    /// `directive`, `bulletin` or `life_item`.
    pub kind: &'static str,
    pub id: String,
    pub title: String,
    /// In words; none where it is unanswered.
    pub answer: Option<String>,
    pub note: Option<String>,
    pub next_due: Option<String>,
    pub mark: Option<Mark>,
}

pub(super) fn reports(plan: &Plan, state: &State) -> Vec<ReportFacts> {
    plan.reports
        .iter()
        .map(|report| {
            let steps = || plan.steps.iter().filter(|step| step.because.contains(&report.id));
            ReportFacts {
                id: report.id.clone(),
                kind: kind_words(&report.kind).to_string(),
                date: report.date.to_string(),
                by: report.by.clone(),
                text: report.text.clone(),
                modules: report.modules.clone(),
                steps: steps().count(),
                steps_done: steps().filter(|step| !state.standing(&step.step.id).is_open()).count(),
                set_aside: state
                    .set_aside
                    .get(&report.id)
                    .map(|told| SetAside { mark: Mark::of(&told.stamp), reason: told.what.clone() }),
            }
        })
        .collect()
}

impl ReportFacts {
    /// Set aside in writing, or every step that it selected is answered.
    pub fn is_dealt_with(&self) -> bool {
        self.set_aside.is_some() || (!self.modules.is_empty() && self.steps_done == self.steps)
    }
}

fn written(text: &str) -> Option<String> {
    (!text.trim().is_empty()).then(|| text.to_string())
}

pub(super) fn records(plan: &Plan, state: &State) -> Vec<RecordFacts> {
    let directives = plan.airframe.directives.iter().map(|directive| {
        let told = state.directives.get(&directive.id);
        RecordFacts {
            kind: if directive.is_bulletin { "bulletin" } else { "directive" },
            id: directive.id.clone(),
            title: directive.title.clone(),
            answer: told.map(|told| told.what.answer.word().to_string()),
            note: told.and_then(|told| written(&told.what.note)),
            next_due: told.and_then(|told| told.what.next_due).map(|day| day.to_string()),
            mark: told.map(|told| Mark::of(&told.stamp)),
        }
    });
    let items = plan.airframe.life_items.iter().map(|item| {
        let told = state.life_items.get(&item.id);
        RecordFacts {
            kind: "life_item",
            id: item.id.clone(),
            title: item.title.clone(),
            answer: told.map(|told| told.what.answer.word().to_string()),
            note: told.and_then(|told| written(&told.what.note)),
            next_due: told.and_then(|told| told.what.next_due).map(|day| day.to_string()),
            mark: told.map(|told| Mark::of(&told.stamp)),
        }
    });
    directives.chain(items).collect()
}
