//! A plot's characters as styled lines, and the plots of what is read.

use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::desk::SessionView;
use super::look::Look;
use crate::checklist::{MeasureKind, SeriesDemand};
use crate::compute::Picture;
use crate::event::{ReadingValue, SeriesPoint, Used};
use crate::measure::compare::Comparison;
use crate::plot::{Cell, Plot, Role, flex_plot, raster};
use crate::state::{Card, Reading, compare_series, compute_table, evaluate_series, signed_readings};
use crate::words::of_checklist;

/// Lines of a picture among the details of a step or a reading.
pub const DETAIL_LINES: usize = 14;
/// Wider pictures only pull the points apart.
const MOST_COLUMNS: usize = 90;

/// The picture in `width` by `height` characters. The sign carries the meaning; the style repeats it.
pub fn lines(plot: &Plot, width: usize, height: usize, look: Look) -> Vec<Line<'static>> {
    styled(&raster(plot, width.min(MOST_COLUMNS), height, look.ascii), look)
}

/// Rows of a picture as lines.
pub fn styled(grid: &[Vec<Cell>], look: Look) -> Vec<Line<'static>> {
    let line = |row: &Vec<Cell>| {
        let mut spans: Vec<Span<'static>> = Vec::new();
        for runs in row.chunk_by(|a, b| a.role == b.role) {
            let text: String = runs.iter().map(|cell| cell.sign).collect();
            let role = runs.first().and_then(|cell| cell.role);
            spans.push(Span::styled(text, role.map_or(look.quiet(), |role| style_of(role, look))));
        }
        Line::from(spans)
    };
    grid.iter().map(line).collect()
}

fn style_of(role: Role, look: Look) -> Style {
    match role {
        Role::Reference | Role::Masked => look.quiet(),
        Role::Fit => look.strong(),
        Role::Limit => look.doubt(),
        Role::Loading | Role::Unloading => look.good(),
        Role::LeftOut => look.doubt(),
        Role::Marked => look.bad(),
    }
}

/// Load against deflection, with the fit and the band of sound airframes as far as they can be told.
pub fn of_series(
    card: Card<'_>,
    demand: &SeriesDemand,
    points: &[SeriesPoint],
    used: Used<'_>,
) -> Option<(Plot, Option<Comparison>)> {
    let readings = signed_readings(demand, points).ok()?;
    let result = evaluate_series(demand, points, used).ok();
    let comparison = result.as_ref().and_then(|result| compare_series(card, result).ok());
    let mut plot = flex_plot(&readings, result.as_ref(), comparison.as_ref());
    if let [up, down] = demand.directions.as_slice() {
        plot.y.label =
            say!("{} ({up} up, {down} down)", plot.y.label, up = of_checklist(up), down = of_checklist(down));
    }
    Some((plot, comparison))
}

/// The picture of a recorded series, and its comparison; nothing for other readings.
pub fn of_reading(view: &SessionView<'_>, reading: &Reading) -> Option<(Plot, Option<Comparison>)> {
    let ReadingValue::Series { points } = &reading.taken.value else { return None };
    let (step, measure) = (&reading.taken.step, &reading.taken.measure);
    let found = view.plan.step(step)?.step.measure(measure)?;
    let MeasureKind::LoadDeflection(demand) = &found.kind else { return None };
    let card = Card { plan: view.plan, step, measure };
    of_series(card, demand, points, reading.taken.used())
}

/// The pictures of a recorded table, such as a tap map or a centre-of-gravity envelope; none for other readings.
pub fn of_table(view: &SessionView<'_>, reading: &Reading, width: usize, look: Look) -> Vec<Line<'static>> {
    let ReadingValue::Table { text } = &reading.taken.value else { return Vec::new() };
    let found =
        view.plan.step(&reading.taken.step).and_then(|step| step.step.measure(&reading.taken.measure));
    let Some(MeasureKind::Table { compute }) = found.map(|measure| &measure.kind) else { return Vec::new() };
    let pictures = compute_table(compute, text).map(|report| report.pictures).unwrap_or_default();
    pictures
        .iter()
        .flat_map(|picture| match picture {
            Picture::Plot(plot) => lines(plot, width, DETAIL_LINES, look),
            Picture::Tap(_) => {
                let text = picture.text(width, DETAIL_LINES, look.ascii);
                text.lines().map(|line| Line::from(line.to_string())).collect()
            }
        })
        .collect()
}
