//! Worksheet: sections and steps, each with its state by sign, word and colour.

use ratatui::style::Style;

use super::desk::SessionView;
use super::list::Row;
use super::look::{Look, sign_of_standing};
use super::text::{column, pad};
use crate::plan::{Plan, PlanStep};
use crate::state::{ReadingVerdict, StepStanding, StepState};
use crate::words::{of_checklist, said};

/// A row: the step of this number, or the heading above it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line {
    Heading(usize),
    Step(usize),
}

impl Line {
    pub fn item(self) -> Option<usize> {
        match self {
            Line::Heading(_) => None,
            Line::Step(index) => Some(index),
        }
    }
}

/// Which rows there are: at each key of the whole plan, however long.
pub fn lines(plan: &Plan) -> Vec<Line> {
    let mut lines = Vec::new();
    let mut section = None;
    for (index, planned) in plan.steps.iter().enumerate() {
        let id = planned.step.section.value.as_str();
        if section != Some(id) {
            section = Some(id);
            lines.push(Line::Heading(index));
        }
        lines.push(Line::Step(index));
    }
    lines
}

/// All rows, for a text.
pub fn rows(view: &SessionView<'_>, look: Look) -> Vec<Row> {
    lines(view.plan).into_iter().map(|line| row(view, line, look)).collect()
}

/// What a row shows: made of the visible ones only.
pub fn row(view: &SessionView<'_>, line: Line, look: Look) -> Row {
    let (Line::Heading(index) | Line::Step(index)) = line;
    match (line, view.plan.steps.get(index)) {
        (Line::Heading(_), Some(first)) => Row::heading(look, &section_line(view, &first.step.section.value)),
        (Line::Step(_), Some(planned)) => Row::item(index, parts(view, planned, look)),
        // Lines are made of the same plan.
        (_, None) => Row::heading(look, ""),
    }
}

fn section_line(view: &SessionView<'_>, id: &str) -> String {
    let of_section = || view.plan.steps.iter().filter(|step| step.step.section.value == id);
    let answered = of_section().filter(|step| !view.state.standing(&step.step.id).is_open()).count();
    let title = of_checklist(view.plan.section_title(id).unwrap_or(id));
    format!("{title}  {answered}/{}", of_section().count())
}

/// How a step can stand.
const STANDINGS: [&str; 4] = ["open", "passed", "failed", "not applicable"];

fn parts(view: &SessionView<'_>, planned: &PlanStep, look: Look) -> Vec<(String, Style)> {
    let standing = view.state.standing(&planned.step.id);
    let style = look.of_standing(standing);
    let mut parts = vec![
        (
            format!("{} {} ", sign_of_standing(standing), pad(said(standing.word()), column(14, &STANDINGS))),
            style,
        ),
        (of_checklist(&planned.step.title).to_string(), Style::new()),
    ];
    if !planned.step.mandatory {
        parts.push((say!(" · optional").to_string(), look.quiet()));
    }
    if standing.is_open()
        && let Some(last) = view.state.step(&planned.step.id).and_then(|state| state.initials().last())
    {
        parts.push((say!(" · initialled by {}", last.stamp.hand().name), look.doubt()));
    }
    let answer = view.state.step(&planned.step.id).and_then(|state| state.answer());
    if answer.is_some_and(|answer| answer.stamp.paper.is_some()) {
        parts.push((format!(" · {}", crate::words::said(crate::paper::words::FROM_PAPER)), look.quiet()));
    }
    if !planned.because.is_empty() {
        parts.push((say!(" · targeted").to_string(), look.quiet()));
    }
    if view.earlier.is_some_and(|earlier| earlier.failed.contains_key(&planned.step.id)) {
        parts.push((say!(" · ↩ failed last time").to_string(), look.doubt()));
    }
    if standing != StepStanding::Open
        && let Some(state) = view.state.step(&planned.step.id)
    {
        for flag in flags(view, planned, state) {
            parts.push((format!(" · {flag}"), look.doubt()));
        }
    }
    parts
}

/// What is still wrong with an answered step, in a word or two.
pub fn flags(view: &SessionView<'_>, planned: &PlanStep, state: &StepState) -> Vec<String> {
    let mut flags = Vec::new();
    if matches!(state.standing(), StepStanding::NotApplicable | StepStanding::Open) {
        return flags;
    }
    let missing: u32 = planned.step.measures.iter().map(|measure| state.missing(measure)).sum();
    if missing > 0 {
        flags.push(say!("{n} reading missing" | "{n} readings missing" % missing));
    }
    let evidence = planned
        .step
        .evidence
        .iter()
        .filter(|demand| {
            let given = view.state.evidence_for(&planned.step.id, &demand.id).count();
            u32::try_from(given).is_ok_and(|given| given < demand.count)
        })
        .count();
    if evidence > 0 {
        flags.push(say!("evidence missing").to_string());
    }
    let without_instrument = planned
        .step
        .measures
        .iter()
        .filter(|measure| measure.instrument)
        .any(|measure| state.readings_of(&measure.id).any(|reading| reading.taken.instrument.is_none()));
    if without_instrument {
        flags.push(say!("instrument not named").to_string());
    }
    for (verdict, flag) in [
        (ReadingVerdict::Outside, say!("outside limit")),
        (ReadingVerdict::CannotDecide, say!("cannot decide")),
    ] {
        let judged = planned.step.measures.iter().flat_map(|measure| state.judgements(measure));
        if judged.into_iter().any(|judgement| judgement.verdict == verdict) {
            flags.push(flag.to_string());
        }
    }
    if state.answer().is_some_and(|answer| !answer.unmet.is_empty()) {
        flags.push(say!("configuration not confirmed").to_string());
    }
    flags
}

/// The next open mandatory step after `from`, around the end. Steps whose turn has come go first: one answered
/// before a step that it depends on could not be signed.
pub fn next_open(view: &SessionView<'_>, from: usize) -> Option<usize> {
    let steps = &view.plan.steps;
    let is_open = |id: &str| view.state.standing(id).is_open();
    let open: Vec<usize> = (1..=steps.len())
        .map(|by| (from + by) % steps.len().max(1))
        .filter(|index| steps.get(*index).is_some_and(|step| step.step.mandatory && is_open(&step.step.id)))
        .collect();
    let has_its_turn = |index: &&usize| {
        steps.get(**index).is_some_and(|step| view.state.open_before(view.plan, step).is_empty())
    };
    open.iter().find(has_its_turn).or(open.first()).copied()
}

/// First step of the next section, or of this one's or the one before; stays at the ends.
pub fn other_section(view: &SessionView<'_>, from: usize, forward: bool) -> usize {
    let section = |index: usize| view.plan.steps.get(index).map(|step| step.step.section.value.as_str());
    let starts: Vec<usize> = (0..view.plan.steps.len())
        .filter(|index| *index == 0 || section(*index) != section(index - 1))
        .collect();
    let found = if forward {
        starts.iter().find(|start| **start > from)
    } else {
        starts.iter().rev().find(|start| **start < from)
    };
    found.copied().unwrap_or(from)
}
