//! The pictures of readings: the same geometry that screens and plain text draw.

use super::Source;
use crate::checklist::MeasureKind;
use crate::compute::Picture;
use crate::event::ReadingValue;
use crate::plot::flex_plot;
use crate::report::facts::{ReadingFacts, StepFacts};
use crate::report::model::{Drawing, Figure, shown};
use crate::state::{Card, Reading, compare_series, compute_table, evaluate_series, signed_readings};
use crate::words::of_checklist;

fn recorded<'a>(
    source: &Source<'a>,
    step: &StepFacts,
    reading: &ReadingFacts,
) -> Option<(&'a Reading, &'a MeasureKind)> {
    let worked = source.material.state.step(&step.id)?;
    let found = worked.readings.iter().find(|found| found.stamp.entry == reading.mark.entry)?;
    let kind = &source.material.plan.step(&step.id)?.step.measure(&reading.measure)?.kind;
    Some((found, kind))
}

/// A series against load, or the pictures of a computed table.
pub(super) fn of_reading(source: &Source<'_>, step: &StepFacts, reading: &ReadingFacts) -> Vec<Figure> {
    let Some((found, kind)) = recorded(source, step, reading) else { return Vec::new() };
    let name = shown(&format!("{}: {}", of_checklist(&step.title), of_checklist(&reading.title)));
    match (kind, &found.taken.value) {
        (MeasureKind::LoadDeflection(demand), ReadingValue::Series { points }) => {
            let Ok(readings) = signed_readings(demand, points) else { return Vec::new() };
            let card = Card { plan: source.material.plan, step: &step.id, measure: &reading.measure };
            let result = evaluate_series(demand, points, found.taken.used()).ok();
            let comparison = result.as_ref().and_then(|result| compare_series(card, result).ok());
            let mut plot = flex_plot(&readings, result.as_ref(), comparison.as_ref());
            if let [up, down] = demand.directions.as_slice() {
                plot.y.label = say!(
                    "{label} ({up} up, {down} down)",
                    label = plot.y.label,
                    up = of_checklist(up),
                    down = of_checklist(down)
                );
            }
            vec![Figure {
                caption: say!("Load against deflection, {name}", name),
                description: shown(&say!(
                    "Load in N against deflection in mm: {points} points, the fitted line{band}. {verdict}: {words}",
                    points = points.len(),
                    band = if comparison.is_some() {
                        say!(" and where sound airframes of the same build standard would lie")
                    } else {
                        ""
                    },
                    verdict = reading.verdict_shown,
                    words = reading.words
                )),
                share: 0.5,
                drawing: Drawing::Plot(plot),
            }]
        }
        (MeasureKind::Table { compute }, ReadingValue::Table { text }) => {
            let pictures = compute_table(compute, text).map(|report| report.pictures).unwrap_or_default();
            let figure = |picture| {
                let drawing = match picture {
                    Picture::Plot(plot) => Drawing::Plot(plot),
                    Picture::Tap(grid) => Drawing::Tap(grid),
                };
                let what = match &drawing {
                    Drawing::Plot(plot) => plot.title.clone(),
                    _ => say!("Tap map").to_string(),
                };
                Figure {
                    caption: format!("{what}, {name}"),
                    description: shown(&format!("{what}. {}: {}", reading.verdict_shown, reading.words)),
                    share: 0.42,
                    drawing,
                }
            };
            pictures.into_iter().map(figure).collect()
        }
        _ => Vec::new(),
    }
}
