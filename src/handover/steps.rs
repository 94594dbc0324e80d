//! The steps that found the defects, with their readings.

use serde::Serialize;

use super::related::Relation;
use crate::checklist::MeasureKind;
use crate::compute::Picture;
use crate::event::ReadingValue;
use crate::plan::PlanStep;
use crate::session::value_words;
use crate::state::{Reading, State, compute_table};
use crate::words::{self, Language, number, of_checklist, said, with_language};

/// Columns that a picture gets: a page less its indent.
const PICTURE_WIDTH: usize = 74;
const PICTURE_HEIGHT: usize = 18;

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BriefStep {
    pub id: String,
    pub title: String,
    /// Why it stands here: it found the defect, or looked at the same place.
    pub relation: &'static str,
    /// Where the check is written.
    pub origin: String,
    /// Results with who and when, oldest first; struck ones are left out.
    pub answers: Vec<String>,
    pub readings: Vec<BriefReading>,
    pub notes: Vec<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct BriefReading {
    pub measure: String,
    pub title: String,
    pub entry: u64,
    /// When, `2026-11-25 09:14` in every language.
    pub taken: String,
    /// When, as the language writes it.
    #[serde(skip)]
    pub taken_shown: String,
    pub by: String,
    /// In one line, as entered.
    pub shown: String,
    /// As recorded, every point of a series and every line of a table.
    pub value: ReadingValue,
    pub instruments: Option<String>,
    pub verdict: String,
    pub words: String,
    /// Taken before a rectification; the step was worked again since.
    pub before_rectification: bool,
    /// A tap map or plot as characters.
    pub pictures: Vec<String>,
}

/// The step as it stands in plan and record.
pub(super) fn brief_step(planned: &PlanStep, relation: Relation, state: &State) -> Option<BriefStep> {
    let id = planned.step.id.as_str();
    let step = state.step(id)?;
    let answers = step.answers.iter().filter(|answer| answer.struck.is_none()).map(|answer| {
        let reason = answer.answered.reason.as_ref().map(|reason| format!(": {reason}")).unwrap_or_default();
        say!(
            "{result} {day} by {by}, entry {entry}{reason}",
            result = said(answer.answered.result.word()),
            day = super::when(&answer.stamp),
            by = answer.stamp.by.name,
            entry = answer.stamp.entry,
            reason
        )
    });
    let readings = step.readings.iter().filter(|reading| reading.struck.is_none());
    let notes = step.notes.iter();
    Some(BriefStep {
        id: id.to_string(),
        title: of_checklist(&planned.step.title).to_string(),
        relation: relation.words(),
        origin: format!("{} {}", planned.origin.checklist, planned.origin.version),
        answers: answers.collect(),
        readings: readings
            .map(|reading| {
                let measure = planned.step.measure(&reading.taken.measure);
                let title =
                    measure.map_or(reading.taken.measure.as_str(), |measure| of_checklist(&measure.title));
                let title = title.to_string();
                let pictures = measure.map_or_else(Vec::new, |measure| pictures(&measure.kind, reading));
                brief_reading(reading, title, step.round, pictures)
            })
            .collect(),
        notes: notes
            .map(|note| format!("{} {}: {}", super::when(&note.stamp), note.stamp.by.name, note.text))
            .collect(),
    })
}

/// The headline of a verdict in the language that is spoken.
pub fn verdict_words(headline: &str) -> String {
    match headline.split_once(" (") {
        // "softer (within its limits)": the comparison, then the limits.
        Some((compared, rest)) => {
            let limits = rest.strip_suffix(" its limits)").unwrap_or(rest);
            say!("{compared} ({limits} its limits)", compared = verdict(compared), limits = verdict(limits))
        }
        None => verdict(headline).to_string(),
    }
}

fn verdict(word: &str) -> &str {
    match word {
        "within" => say!("within"),
        "outside" => say!("outside"),
        "cannot decide" => say!("cannot decide"),
        "recorded" => say!("of a verdict" => "recorded"),
        "consistent" => say!("consistent"),
        "softer" => say!("softer"),
        "stiffer" => say!("stiffer"),
        "cannot tell" => say!("of a comparison" => "cannot tell"),
        other => said(other),
    }
}

/// A reading as recorded, in one line.
pub fn reading_words(value: &ReadingValue) -> String {
    match value {
        ReadingValue::Choice { choice } => of_checklist(choice).to_string(),
        ReadingValue::Text { text } => text.clone(),
        ReadingValue::Date { date } => words::date(*date),
        other => number(&value_words(other)).into_owned(),
    }
}

fn brief_reading(reading: &Reading, title: String, round: u32, pictures: Vec<String>) -> BriefReading {
    BriefReading {
        measure: reading.taken.measure.clone(),
        title,
        entry: reading.stamp.entry,
        taken: reading.stamp.minute(),
        taken_shown: super::when(&reading.stamp),
        by: reading.stamp.by.name.clone(),
        shown: reading_words(&reading.taken.value),
        value: reading.taken.value.clone(),
        instruments: reading.taken.used().ids(),
        verdict: with_language(Language::English, || reading.judgement.headline()),
        words: reading.judgement.words.clone(),
        before_rectification: reading.round < round,
        pictures,
    }
}

/// Of a table: its tap map or plots, computed anew. Its words say where it cannot be computed.
fn pictures(kind: &MeasureKind, reading: &Reading) -> Vec<String> {
    let (MeasureKind::Table { compute, .. }, ReadingValue::Table { text }) = (kind, &reading.taken.value)
    else {
        return Vec::new();
    };
    compute_table(compute, text).map_or_else(
        |_| Vec::new(),
        |report| {
            report
                .pictures
                .iter()
                .map(|picture: &Picture| picture.text(PICTURE_WIDTH, PICTURE_HEIGHT, false))
                .collect()
        },
    )
}
