//! The worksheet: every step with all that was done at it.

use serde::Serialize;

use super::{EvidenceFacts, Gather, Mark, StruckFacts, neutral};
use crate::checklist::Measure;
use crate::event::{InstrumentUse, ReadingValue};
use crate::handover::{reading_words, verdict_words};
use crate::order::configuration_words;
use crate::plan::PlanStep;
use crate::session::value_words;
use crate::state::{Reading, StepStanding, StepState};

#[derive(Debug, Clone, Serialize)]
pub struct SectionFacts {
    pub id: String,
    pub title: String,
    pub steps: Vec<StepFacts>,
}

#[derive(Debug, Clone, Serialize)]
pub struct StepFacts {
    pub id: String,
    pub title: String,
    /// `open`, `re-inspect`, `passed`, `failed` or `not applicable`.
    pub result: String,
    #[serde(skip)]
    pub standing: StepStanding,
    pub mandatory: bool,
    /// Reports for which it is in the plan.
    pub because: Vec<String>,
    pub basis: Vec<String>,
    /// Checklist and version in which it is written.
    pub origin: String,
    /// Oldest first; one that holds is neither struck nor before a rectification.
    pub answers: Vec<AnswerFacts>,
    pub initials: Vec<InitialsFacts>,
    pub readings: Vec<ReadingFacts>,
    pub inspections: Vec<InspectionFacts>,
    pub evidence: Vec<EvidenceFacts>,
    pub notes: Vec<NoteFacts>,
}

#[derive(Debug, Clone, Serialize)]
pub struct AnswerFacts {
    #[serde(flatten)]
    pub mark: Mark,
    pub result: String,
    pub reason: Option<String>,
    /// What the step needs and was not confirmed at that moment.
    pub out_of_configuration: Option<String>,
    /// The same in the language that is spoken.
    #[serde(skip)]
    pub unmet: String,
    pub before_its_turn: Vec<String>,
    /// The step was worked again since, after a rectification.
    pub before_rectification: bool,
    pub struck: Option<StruckFacts>,
}

#[derive(Debug, Clone, Serialize)]
pub struct InitialsFacts {
    #[serde(flatten)]
    pub mark: Mark,
    pub work: String,
    pub before_rectification: bool,
    pub struck: Option<StruckFacts>,
}

#[derive(Debug, Clone, Serialize)]
pub struct ReadingFacts {
    #[serde(flatten)]
    pub mark: Mark,
    pub measure: String,
    pub title: String,
    /// In one line, as entered.
    pub value: String,
    /// The same in the language that is spoken; so limit and verdict, too.
    #[serde(skip)]
    pub value_shown: String,
    /// As recorded, every point of a series and every line of a table.
    pub recorded: ReadingValue,
    pub limit: Option<String>,
    #[serde(skip)]
    pub limit_shown: Option<String>,
    pub limit_source: Option<String>,
    pub instruments: Vec<InstrumentFacts>,
    pub verdict: String,
    #[serde(skip)]
    pub verdict_shown: String,
    pub words: String,
    pub before_rectification: bool,
    pub struck: Option<StruckFacts>,
}

/// The instrument as the register described it on the day.
#[derive(Debug, Clone, Serialize)]
pub struct InstrumentFacts {
    pub id: String,
    pub title: String,
    pub calibration_due: Option<String>,
    /// Expanded, k = 2.
    pub uncertainty: Option<String>,
}

#[derive(Debug, Clone, Serialize)]
pub struct InspectionFacts {
    #[serde(flatten)]
    pub mark: Mark,
    pub connections: String,
    pub checked: Vec<String>,
    pub satisfactory: bool,
    pub authorisation: Option<String>,
    pub sealed: bool,
    pub before_rectification: bool,
}

#[derive(Debug, Clone, Serialize)]
pub struct NoteFacts {
    #[serde(flatten)]
    pub mark: Mark,
    pub text: String,
}

impl StepFacts {
    /// The answer that holds now.
    pub fn holds(&self) -> Option<&AnswerFacts> {
        self.answers.iter().rev().find(|answer| answer.struck.is_none() && !answer.before_rectification)
    }
}

/// The sections of the plan with their steps. A section without a step is left out.
pub(super) fn sections(gather: &Gather<'_>) -> Vec<SectionFacts> {
    let plan = gather.material.plan;
    plan.sections
        .iter()
        .map(|section| SectionFacts {
            id: section.id.clone(),
            title: section.title.clone(),
            steps: plan
                .steps
                .iter()
                .filter(|planned| planned.step.section.value == section.id)
                .map(|planned| one(gather, planned))
                .collect(),
        })
        .filter(|section| !section.steps.is_empty())
        .collect()
}

fn one(gather: &Gather<'_>, planned: &PlanStep) -> StepFacts {
    let state = gather.material.state;
    let id = &planned.step.id;
    let blank = StepState::default();
    let worked = state.step(id).unwrap_or(&blank);
    let standing = state.standing(id);
    StepFacts {
        id: id.clone(),
        title: planned.step.title.clone(),
        result: standing.word().to_string(),
        standing,
        mandatory: planned.step.mandatory,
        because: planned.because.clone(),
        basis: planned.step.basis.iter().map(|basis| basis.value.clone()).collect(),
        origin: format!("{} {}", planned.origin.checklist, planned.origin.version),
        answers: answers(gather, worked),
        initials: worked
            .initials
            .iter()
            .map(|initials| InitialsFacts {
                mark: Mark::of(&initials.stamp),
                work: initials.work.clone(),
                before_rectification: initials.round < worked.round,
                struck: gather.struck(initials.struck.as_ref()),
            })
            .collect(),
        readings: worked.readings.iter().map(|read| reading(gather, planned, read, worked.round)).collect(),
        inspections: inspections(worked),
        evidence: state
            .evidence
            .iter()
            .filter(|told| told.what.step.as_deref() == Some(id))
            .map(|told| gather.evidence(told))
            .collect(),
        notes: worked
            .notes
            .iter()
            .map(|note| NoteFacts { mark: Mark::of(&note.stamp), text: note.text.clone() })
            .collect(),
    }
}

fn answers(gather: &Gather<'_>, worked: &StepState) -> Vec<AnswerFacts> {
    worked
        .answers
        .iter()
        .map(|answer| AnswerFacts {
            mark: Mark::of(&answer.stamp),
            result: answer.answered.result.word().to_string(),
            reason: answer.answered.reason.clone(),
            out_of_configuration: (!answer.unmet.is_empty()).then(|| neutral(|| answer.unmet.to_string())),
            unmet: configuration_words(&answer.unmet),
            before_its_turn: answer.before_its_turn.clone(),
            before_rectification: answer.round < worked.round,
            struck: gather.struck(answer.struck.as_ref()),
        })
        .collect()
}

fn inspections(worked: &StepState) -> Vec<InspectionFacts> {
    worked
        .inspections
        .iter()
        .map(|inspection| InspectionFacts {
            mark: Mark::of(&inspection.stamp),
            connections: inspection.inspected.connections.clone(),
            checked: inspection.inspected.checked.iter().map(|check| check.word().to_string()).collect(),
            satisfactory: inspection.inspected.satisfactory,
            authorisation: inspection.inspected.authorisation.clone(),
            sealed: inspection.inspected.seal.is_some(),
            before_rectification: inspection.round < worked.round,
        })
        .collect()
}

fn reading(gather: &Gather<'_>, planned: &PlanStep, read: &Reading, round: u32) -> ReadingFacts {
    let measure = planned.step.measure(&read.taken.measure);
    let used = read.taken.used();
    let verdict = neutral(|| read.judgement.headline());
    ReadingFacts {
        mark: Mark::of(&read.stamp),
        measure: read.taken.measure.clone(),
        title: measure.map_or_else(|| read.taken.measure.clone(), |measure| measure.title.clone()),
        value: neutral(|| value_words(&read.taken.value)),
        value_shown: reading_words(&read.taken.value),
        recorded: read.taken.value.clone(),
        limit: neutral(|| measure.and_then(Measure::limit_words)),
        limit_shown: measure.and_then(Measure::limit_words),
        limit_source: measure.and_then(|measure| measure.limit_source.clone()),
        instruments: [used.instrument, used.load].into_iter().flatten().map(instrument).collect(),
        verdict_shown: verdict_words(&verdict),
        verdict,
        words: read.judgement.words.clone(),
        before_rectification: read.round < round,
        struck: gather.struck(read.struck.as_ref()),
    }
}

fn instrument(used: &InstrumentUse) -> InstrumentFacts {
    InstrumentFacts {
        id: used.id.clone(),
        title: used.title.clone(),
        calibration_due: used.calibration_due.map(|day| day.to_string()),
        uncertainty: neutral(|| used.uncertainty.as_ref().map(ToString::to_string)),
    }
}
