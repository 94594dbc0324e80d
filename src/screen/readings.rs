//! Readings: every measurement of the plan with its value, limit and verdict; the missing ones too.

use ratatui::style::Style;

use super::desk::SessionView;
use super::list::Row;
use super::look::Look;
use super::text::{column, pad};
use super::verdict;
use crate::checklist::Measure;
use crate::event::ReadingValue;
use crate::plan::PlanStep;
use crate::session::value_words;
use crate::state::{Judgement, Reading, StepStanding};
use crate::words::of_checklist;

/// Which measurements are listed.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Filter {
    #[default]
    All,
    Missing,
    /// Outside, softer, or not decided.
    Unsettled,
    /// Of steps that a report or an occurrence brought into the plan.
    Targeted,
}

impl Filter {
    pub fn words(self) -> &'static str {
        match self {
            Filter::All => say!("readings" => "all"),
            Filter::Missing => say!("missing"),
            Filter::Unsettled => say!("outside or undecided"),
            Filter::Targeted => say!("targeted"),
        }
    }
}

/// One measurement of one step.
pub struct Item<'a> {
    pub planned: &'a PlanStep,
    pub measure: &'a Measure,
    /// The readings that hold, oldest first.
    pub readings: Vec<&'a Reading>,
    /// Of each of them, or of their mean.
    pub judgements: Vec<Judgement>,
    pub missing: u32,
    pub is_applicable: bool,
}

impl Item<'_> {
    /// The judgement that asks most for a decision.
    pub fn worst(&self) -> Option<&Judgement> {
        self.judgements.iter().max_by_key(|judgement| verdict::weight(judgement))
    }

    fn is_in(&self, filter: Filter) -> bool {
        match filter {
            Filter::All => true,
            Filter::Missing => self.missing > 0,
            Filter::Unsettled => self.worst().is_some_and(|judgement| verdict::weight(judgement) > 0),
            Filter::Targeted => !self.planned.because.is_empty(),
        }
    }

    /// Sign, word and style, as the list tells how it stands.
    pub fn standing(&self, look: Look) -> (&'static str, String, Style) {
        let taken = self.readings.len();
        match self.worst() {
            Some(worst) if self.missing == 0 || verdict::weight(worst) > 0 => {
                (verdict::sign(worst), verdict::word(worst).to_string(), verdict::style(worst, look))
            }
            Some(_) => ("○", say!("{taken} of {} taken", self.measure.readings, taken), look.doubt()),
            None if !self.is_applicable => ("–", say!("not applicable").to_string(), look.quiet()),
            None if self.missing > 0 => ("○", say!("missing").to_string(), look.doubt()),
            None => ("·", say!("not demanded").to_string(), look.quiet()),
        }
    }
}

/// The measurements of the plan that pass the filter, in plan order.
pub fn items<'a>(view: &SessionView<'a>, filter: Filter) -> Vec<Item<'a>> {
    let of_step = |planned: &'a PlanStep| planned.step.measures.iter().map(move |measure| (planned, measure));
    let all = view.plan.steps.iter().flat_map(of_step).map(|(planned, measure)| item(view, planned, measure));
    all.filter(|item| item.is_in(filter)).collect()
}

fn item<'a>(view: &SessionView<'a>, planned: &'a PlanStep, measure: &'a Measure) -> Item<'a> {
    let id = planned.step.id.as_str();
    let state = view.state.step(id);
    let is_applicable = view.state.standing(id) != StepStanding::NotApplicable;
    let missing = match state {
        _ if !is_applicable => 0,
        Some(state) => state.missing(measure),
        None if measure.demanded => measure.readings,
        None => 0,
    };
    Item {
        planned,
        measure,
        readings: state.map(|state| state.readings_of(&measure.id).collect()).unwrap_or_default(),
        judgements: state.map(|state| state.judgements(measure)).unwrap_or_default(),
        missing,
        is_applicable,
    }
}

/// A value short enough for a list.
pub fn short_value(value: &ReadingValue) -> String {
    match value {
        ReadingValue::Series { points } => say!("{n} point" | "{n} points" % points.len()),
        ReadingValue::Pair { left, right } => format!("{} / {}", left.shown(), right.shown()),
        other => value_words(other),
    }
}

pub fn rows(view: &SessionView<'_>, filter: Filter, look: Look) -> Vec<Row> {
    let items = items(view, filter);
    let mut rows = vec![Row::heading(look, &summary(view, filter))];
    if items.is_empty() {
        rows.push(Row { item: None, parts: vec![(say!("  none").to_string(), Style::new())] });
    }
    rows.extend(items.iter().enumerate().map(|(index, item)| Row::item(index, parts(item, look))));
    rows
}

/// What is listed, and how many the other lists hold.
fn summary(view: &SessionView<'_>, filter: Filter) -> String {
    let all = items(view, Filter::All);
    [Filter::All, Filter::Missing, Filter::Unsettled, Filter::Targeted]
        .into_iter()
        .map(|other| {
            let number = all.iter().filter(|item| item.is_in(other)).count();
            let words = format!("{} {number}", other.words());
            if other == filter { format!("[{words}]") } else { words }
        })
        .collect::<Vec<_>>()
        .join(" · ")
}

/// What stands in the first column.
const WORDS: [&str; 8] = [
    "within",
    "outside",
    "cannot decide",
    "softer",
    "stiffer",
    "consistent",
    mark!("cannot tell"),
    mark!("not demanded"),
];

fn parts(item: &Item<'_>, look: Look) -> Vec<(String, Style)> {
    let (sign, word, style) = item.standing(look);
    let values: Vec<String> = item.readings.iter().map(|reading| short_value(&reading.taken.value)).collect();
    let values = if values.is_empty() { "–".to_string() } else { values.join("; ") };
    let mut parts = vec![
        (format!("{sign} {} ", pad(&word, column(13, &WORDS))), style),
        (format!("{} ", pad(&values, 13)), look.strong()),
        (of_checklist(&item.measure.title).to_string(), Style::new()),
        (format!(" · {}", of_checklist(&item.planned.step.title)), look.quiet()),
    ];
    if let Some(limit) = item.measure.limit_words() {
        parts.push((format!(" · {limit}"), look.quiet()));
    }
    parts
}
