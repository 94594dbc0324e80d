//! One measurement whole: the verdict in plain words, the figures behind it, and what they rest on.

use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::SessionView;
use super::look::Look;
use super::picture;
use super::reading::limit_line;
use super::readings::{Filter, Item, items};
use super::step_record;
use super::text::{Page, statements};
use super::verdict;
use crate::airframe::EarlierReading;
use crate::checklist::MeasureKind;
use crate::event::{InstrumentUse, ReadingValue};
use crate::measure::compare::Comparison;
use crate::plot::{TrendPoint, trend_plot};
use crate::quantity::{Quantity, Unit};
use crate::session::{LOAD_CAUTION, value_words};
use crate::state::{Reading, broken_year, standard_uncertainty};
use crate::vocabulary::kind_words;
use crate::words::{self, figure, number, of_checklist, said};

/// Fewer annuals than this, today's included, make no picture.
const FEWEST_FOR_PICTURE: usize = 3;
const TREND_LINES: usize = 10;

pub fn detail(
    view: &SessionView<'_>,
    filter: Filter,
    at: usize,
    look: Look,
    width: usize,
) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    let found = items(view, filter);
    let Some(item) = found.get(at) else {
        page.plain(&nothing(filter));
        return page.lines;
    };
    head(&mut page, view, item);
    let pictured = item.readings.last().and_then(|reading| picture::of_reading(view, reading));
    let comparison = match pictured {
        Some((plot, comparison)) => {
            page.lines.extend(picture::lines(&plot, width, picture::DETAIL_LINES, look));
            comparison
        }
        None => None,
    };
    if let Some(reading) = item.readings.last() {
        page.lines.extend(picture::of_table(view, reading, width, look));
    }
    figures(&mut page, item);
    if !item.readings.is_empty() {
        caution(&mut page, view, item);
    }
    earlier(&mut page, view, item, comparison.as_ref());
    references(&mut page, view, item, comparison.as_ref());
    set_aside(&mut page, view, item);
    why_here(&mut page, view, item);
    page.lines
}

fn nothing(filter: Filter) -> String {
    match filter {
        Filter::All => say!("The plan demands no measurement.").to_string(),
        Filter::Missing => say!("No demanded measurement is missing. a shows all of them.").to_string(),
        other => say!("No measurement is {}. a shows all of them.", other.words()),
    }
}

fn head(page: &mut Page, view: &SessionView<'_>, item: &Item<'_>) {
    let look = page.look;
    page.text(
        look.strong(),
        &format!("{} · {}", of_checklist(&item.measure.title), of_checklist(&item.planned.step.title)),
    );
    for judgement in &item.judgements {
        let lead = format!("{} ", verdict::sign(judgement));
        page.hanging(verdict::style(judgement, look), &lead, &verdict::plain(judgement));
    }
    if item.missing > 0 {
        let text = say!(
            "missing: {} of {} taken; Enter types the next one",
            item.readings.len(),
            item.measure.readings
        );
        page.hanging(look.doubt(), "○ ", &text);
    } else if item.judgements.is_empty() {
        let (sign, word, style) = item.standing(look);
        page.hanging(style, &format!("{sign} "), &word);
    }
    if item.readings.is_empty() {
        caution(page, view, item);
    }
}

/// Before a load is applied it comes first; after that, below what was found.
fn caution(page: &mut Page, view: &SessionView<'_>, item: &Item<'_>) {
    let look = page.look;
    if let MeasureKind::LoadDeflection(demand) = &item.measure.kind {
        let of_type = view.plan.of_type.as_ref().and_then(|of_type| of_type.fin_side_load_ceiling);
        let by_type = of_type.map_or(String::new(), |most| say!(", {most} by the type", most = most.shown()));
        let (most, unit) = (demand.max_load.shown(), demand.load_unit.symbol());
        let text = say!(
            "▲ LOAD at most {most} {unit} by this step{by_type}: {LOAD_CAUTION}",
            most,
            unit,
            by_type,
            LOAD_CAUTION = said(LOAD_CAUTION)
        );
        page.block(look.caution(), &text);
    }
    if let Some(caution) = &item.planned.step.caution {
        page.text(look.doubt(), of_checklist(caution));
    }
}

fn why_here(page: &mut Page, view: &SessionView<'_>, item: &Item<'_>) {
    for id in &item.planned.because {
        if let Some(report) = view.plan.reports.iter().find(|report| report.id == *id) {
            let text = say!("targeted by: {} on {}", kind_words(&report.kind), words::date(report.date));
            page.hanging(page.look.quiet(), "", &text);
        }
    }
}

fn figures(page: &mut Page, item: &Item<'_>) {
    let look = page.look;
    page.head(say!("Figures"));
    page.text(look.quiet(), &limit_line(item.measure));
    for reading in &item.readings {
        let text = say!(
            "{} · {} · {} (entry {})",
            value_words(&reading.taken.value),
            reading.stamp.by.name,
            reading.stamp.short(),
            reading.stamp.entry
        );
        page.hanging(look.strong(), "· ", &text);
        for statement in statements(&reading.judgement.words) {
            page.hanging(Style::new(), "  ", statement);
        }
        instrument(page, item, reading);
    }
    if let ([mean], true) = (item.judgements.as_slice(), item.readings.len() > 1) {
        page.hanging(verdict::style(mean, look), say!("together: "), &mean.words);
    }
}

fn instrument(page: &mut Page, item: &Item<'_>, reading: &Reading) {
    let look = page.look;
    let used = reading.taken.used();
    if let Some(load) = used.load {
        let overdue = load.calibration_due.zip(reading.stamp.day()).is_some_and(|(due, day)| day > due);
        let style = if overdue { look.bad() } else { look.quiet() };
        page.hanging(style, "  ", &say!("load read with {}", instrument_words(load, overdue)));
    }
    match used.instrument {
        Some(used) => {
            let overdue = used.calibration_due.zip(reading.stamp.day()).is_some_and(|(due, day)| day > due);
            let style = if overdue { look.bad() } else { look.quiet() };
            page.hanging(style, "  ", &say!("with {}", instrument_words(used, overdue)));
        }
        None if item.measure.instrument => {
            page.hanging(look.bad(), "  ✗ ", say!("no instrument is named; c corrects it"));
        }
        None => {}
    }
}

fn instrument_words(used: &InstrumentUse, overdue: bool) -> String {
    let calibration = match used.calibration_due {
        Some(due) if overdue => say!("OUT OF CALIBRATION since {due}", due = words::date(due)),
        Some(due) => say!("calibrated until {due}", due = words::date(due)),
        None => say!("no calibration date").to_string(),
    };
    let step = used.resolution.map_or(String::new(), |step| say!(", step {step}", step = step.shown()));
    let doubt = used
        .uncertainty
        .map_or(String::new(), |doubt| say!(", uncertainty {doubt} (k = 2)", doubt = doubt.shown()));
    format!("{}: {}, {calibration}{step}{doubt}", used.id, used.title)
}

/// What earlier annuals of this airframe read, oldest first, and a picture where there are enough.
fn earlier(page: &mut Page, view: &SessionView<'_>, item: &Item<'_>, comparison: Option<&Comparison>) {
    let mut past: Vec<&EarlierReading> = view
        .plan
        .airframe
        .earlier_readings
        .iter()
        .filter(|reading| reading.step == item.planned.step.id && reading.measure == item.measure.id)
        .collect();
    if past.is_empty() {
        return;
    }
    past.sort_by_key(|reading| reading.date);
    page.head(say!("Earlier annuals of this airframe"));
    for reading in &past {
        if let Some(reason) = &reading.starts_new_series {
            page.hanging(page.look.doubt(), "  ", &say!("a new series begins: {reason}", reason));
        }
        let unit = reading.unit.symbol();
        let doubt = reading
            .standard_uncertainty
            .map_or(String::new(), |u| say!(", standard uncertainty {u} {unit}", u = figure(u), unit));
        page.plain(&format!("{}: {} {unit}{doubt}", words::date(reading.date), figure(reading.value)));
    }
    let Some(unit) = past.last().map(|reading| reading.unit) else { return };
    let points: Vec<TrendPoint> = past.iter().filter_map(|reading| past_point(reading, unit)).collect();
    let now = now_point(item, unit, comparison);
    if points.len() + usize::from(now.is_some()) >= FEWEST_FOR_PICTURE {
        let plot =
            trend_plot(&format!("{}, {}", of_checklist(&item.measure.title), unit.symbol()), &points, now);
        page.gap();
        page.lines.extend(picture::lines(&plot, page.width().min(64), TREND_LINES, page.look));
    }
}

fn past_point(reading: &EarlierReading, unit: Unit) -> Option<TrendPoint> {
    let in_unit = |number| Quantity::new(number, reading.unit).in_unit_f64(unit).ok();
    Some(TrendPoint {
        year: broken_year(reading.date),
        value: in_unit(reading.value)?,
        standard_uncertainty: reading.standard_uncertainty.and_then(in_unit),
    })
}

fn now_point(item: &Item<'_>, unit: Unit, comparison: Option<&Comparison>) -> Option<TrendPoint> {
    let reading = item.readings.last()?;
    let year = broken_year(reading.stamp.day()?);
    match &reading.taken.value {
        ReadingValue::Number { quantity } => {
            let value = quantity.in_unit_f64(unit).ok()?;
            let instrument = reading.taken.instrument.as_ref();
            Some(TrendPoint { year, value, standard_uncertainty: standard_uncertainty(instrument, unit) })
        }
        ReadingValue::Series { .. } if unit == Unit::NewtonPerMillimetre => {
            let stiffness = comparison?.value;
            let standard_uncertainty = Some(stiffness.standard_uncertainty);
            Some(TrendPoint { year, value: stiffness.value, standard_uncertainty })
        }
        _ => None,
    }
}

/// Which airframes it is compared with, and which are only shown beside, each with the reason.
fn references(page: &mut Page, view: &SessionView<'_>, item: &Item<'_>, comparison: Option<&Comparison>) {
    let look = page.look;
    let recorded =
        view.plan.airframe.references.iter().filter(|reference| {
            reference.step == item.planned.step.id && reference.measure == item.measure.id
        });
    let Some(comparison) = comparison else {
        let mut recorded = recorded.peekable();
        if recorded.peek().is_some() {
            page.head(say!("References"));
            page.text(look.quiet(), say!("which of them count is told once the series can be evaluated"));
        }
        for reference in recorded {
            let text = say!(
                "{}: {} N/mm on {} · {}",
                reference.registration,
                figure(reference.stiffness_n_per_mm),
                words::date(reference.date),
                reference.provenance
            );
            page.hanging(Style::new(), "· ", &text);
        }
        return;
    };
    if comparison.used.is_empty() && comparison.shown_beside.is_empty() {
        return;
    }
    page.head(say!("References"));
    for used in &comparison.used {
        for measured in &used.measurements {
            let from = &measured.provenance;
            let text = say!(
                "used: {}, {} N/mm on {} · {}",
                measured.airframe,
                number(&format!("{:.2}", measured.value)),
                from.measured_on.parse().map_or(from.measured_on.clone(), words::date),
                from.record
            );
            page.hanging(look.good(), "✓ ", &text);
        }
    }
    for beside in &comparison.shown_beside {
        let reasons: Vec<String> = beside.reasons.iter().map(ToString::to_string).collect();
        let text = say!(
            "not used: {}, {} N/mm: {}",
            beside.reference.airframe,
            number(&format!("{:.2}", beside.reference.value)),
            reasons.join("; ")
        );
        page.hanging(look.quiet(), "– ", &text);
    }
}

/// Struck readings and those from before a rectification stay in sight.
fn set_aside(page: &mut Page, view: &SessionView<'_>, item: &Item<'_>) {
    let Some(state) = view.state.step(&item.planned.step.id) else { return };
    let mut others = state
        .readings
        .iter()
        .filter(|reading| reading.taken.measure == item.measure.id)
        .filter(|reading| reading.struck.is_some() || reading.round < state.round)
        .peekable();
    if others.peek().is_none() {
        return;
    }
    page.head(say!("Struck, or from before a rectification"));
    for reading in others {
        step_record::one_reading(page, view, state.round, reading);
    }
}
