//! This airframe's earlier annuals beside today's values, and why some earlier readings stand beside nothing.
//!
//! A reading is found again by step and measurement, a side or direction behind a dot ("play.left"). Checklists keep no
//! names that they once had: what was renamed between two editions is told, not guessed.

use std::collections::BTreeMap;

use super::{Source, heading, para};
use crate::plan::Plan;
use crate::plot::{TrendPoint, trend_plot};
use crate::quantity::{Number, Quantity, Unit};
use crate::report::facts::{ReadingFacts, Status, StepFacts};
use crate::report::model::{Block, Drawing, Figure, Text, shown};
use crate::report::words;
use crate::state::{HeldReading, broken_year, held_readings};
use crate::words::{of_checklist, said};

/// One picture for each side or direction that was read before; none where the record has no earlier reading.
pub(super) fn trends_of(source: &Source<'_>, step: &StepFacts, reading: &ReadingFacts) -> Vec<Figure> {
    let held = held_readings(source.material.plan, source.material.state);
    held.iter()
        .filter(|now| now.step == step.id && part_of(&now.measure, &reading.measure).is_some())
        .filter_map(|now| {
            let part = part_of(&now.measure, &reading.measure).unwrap_or_default();
            let (step, title) = (of_checklist(&step.title), of_checklist(&reading.title));
            let label =
                if part.is_empty() { title.to_string() } else { format!("{title}, {}", of_checklist(part)) };
            let name = format!("{step}: {label}");
            figure(source, now, &shown(&name), &shown(&label))
        })
        .collect()
}

/// "" for the measurement itself, "left" for "play.left" of "play".
fn part_of<'a>(recorded: &'a str, measure: &str) -> Option<&'a str> {
    let rest = recorded.strip_prefix(measure)?;
    if rest.is_empty() { Some("") } else { rest.strip_prefix('.') }
}

/// A reading of an earlier annual, as the airframe's record keeps it.
struct Before<'p> {
    step: &'p str,
    measure: &'p str,
    date: chrono::NaiveDate,
    value: Number,
    unit: Unit,
    standard_uncertainty: Option<Number>,
}

fn all_before(plan: &Plan) -> Vec<Before<'_>> {
    plan.airframe
        .earlier_readings
        .iter()
        .map(|one| Before {
            step: &one.step,
            measure: &one.measure,
            date: one.date,
            value: one.value,
            unit: one.unit,
            standard_uncertainty: one.standard_uncertainty,
        })
        .collect()
}

fn is_of(earlier: &Before<'_>, now: &HeldReading) -> bool {
    earlier.step == now.step && earlier.measure == now.measure && earlier.date < now.day
}

fn in_unit(number: Number, from: Unit, to: Unit) -> Option<f64> {
    Quantity::new(number, from).in_unit_f64(to).ok()
}

fn point(
    day: chrono::NaiveDate,
    value: Number,
    u: Option<Number>,
    from: Unit,
    to: Unit,
) -> Option<TrendPoint> {
    Some(TrendPoint {
        year: broken_year(day),
        value: in_unit(value, from, to)?,
        standard_uncertainty: u.and_then(|u| in_unit(u, from, to)),
    })
}

fn figure(source: &Source<'_>, now: &HeldReading, name: &str, label: &str) -> Option<Figure> {
    let all = all_before(source.material.plan);
    let mut earlier: Vec<&Before<'_>> = all.iter().filter(|one| is_of(one, now)).collect();
    earlier.sort_by_key(|one| one.date);
    let first = earlier.first()?.date;
    let to = now.unit;
    let points: Vec<TrendPoint> = earlier
        .iter()
        .filter_map(|one| point(one.date, one.value, one.standard_uncertainty, one.unit, to))
        .collect();
    if points.is_empty() {
        return None;
    }
    let today = point(now.day, now.value, now.standard_uncertainty, to, to);
    Some(Figure {
        caption: say!("Over the annuals, {name}", name),
        description: words::trend_description(points.len(), &crate::words::date(first)),
        share: 0.26,
        drawing: Drawing::Plot(trend_plot(&format!("{label}, {}", to.symbol()), &points, today)),
    })
}

/// Every earlier reading that no picture shows, with the reason; nothing where all are shown.
pub(super) fn without_trend(source: &Source<'_>, blocks: &mut Vec<Block>) {
    let plan = source.material.plan;
    let held = held_readings(plan, source.material.state);
    let mut left: BTreeMap<(&str, &str), Vec<&Before<'_>>> = BTreeMap::new();
    let all = all_before(plan);
    for one in &all {
        left.entry((one.step, one.measure)).or_default().push(one);
    }
    let mut is_renamed = false;
    let mut told = Vec::new();
    for ((step, measure), earlier) in left {
        let Some((why, may_be_renamed)) = reason(source, &held, step, measure, &earlier) else { continue };
        is_renamed |= may_be_renamed;
        let days: Vec<String> = earlier.iter().map(|one| crate::words::date(one.date)).collect();
        let name = format!("{step}, {measure} ({}): ", days.join(", "));
        told.push(Text::plain(name).and(why));
    }
    if told.is_empty() {
        return;
    }
    blocks.push(heading(2, "measurements-no-trend", said(words::NO_TREND)));
    blocks.push(Block::List(told));
    if is_renamed {
        blocks.push(para(said(words::RENAMED)));
    }
}

/// Why these readings stand beside nothing of today, and whether a new name may be the cause.
fn reason(
    source: &Source<'_>,
    held: &[HeldReading],
    step: &str,
    measure: &str,
    earlier: &[&Before<'_>],
) -> Option<(&'static str, bool)> {
    let Some(planned) = source.material.plan.step(step) else {
        return Some((said(words::NO_SUCH_STEP), true));
    };
    if !planned.step.measures.iter().any(|one| part_of(measure, &one.id).is_some()) {
        return Some((said(words::NO_SUCH_MEASURE), true));
    }
    let Some(now) = held.iter().find(|now| now.step == step && now.measure == measure) else {
        // In a draft it may still be read.
        let is_over = source.facts.status != Status::Draft;
        return is_over.then_some((said(words::NOT_READ_TODAY), false));
    };
    let is_shown = |one: &&Before<'_>| is_of(one, now) && in_unit(one.value, one.unit, now.unit).is_some();
    (!earlier.iter().any(is_shown)).then_some((said(words::NOT_COMPARABLE), false))
}
