//! The form for one reading of any kind but a series, with the verdict at once.

use chrono::NaiveDate;

use super::desk::Desk;
use super::field::{Entry, Field};
use super::form::{Form, Problem};
use super::purpose::Purpose;
use crate::airframe::Instrument;
use crate::checklist::{Measure, MeasureKind};
use crate::event::{InstrumentUse, ReadingValue};
use crate::plan::PlanStep;
use crate::quantity::{Unit, read_typed};
use crate::session::{as_used, value_words};
use crate::state::{Judgement, Reading, State, judge, readings_before};

/// Builds the form. `corrects` is the reading to be replaced.
pub fn form(
    desk: &dyn Desk,
    step: &PlanStep,
    measure: &Measure,
    corrects: Option<&Reading>,
    usual_instrument: Option<&str>,
) -> Form {
    let purpose = Purpose::Reading {
        step: step.step.id.clone(),
        measure: measure.id.clone(),
        corrects: corrects.map(|reading| reading.stamp.entry),
    };
    let title = match corrects {
        Some(_) => format!("Correct a reading: {}", measure.title),
        None => format!("Reading: {}", measure.title),
    };
    let mut form = Form::new(purpose, title).caution(step.step.caution.clone());
    form = form.intro(step.step.title.clone());
    if let Some(reading) = corrects {
        form = form.intro(format!(
            "The earlier one, {}, stays in the record, struck through.",
            value_words(&reading.taken.value)
        ));
    }
    for line in before(desk, step, measure) {
        form = form.intro(line);
    }
    for field in value_fields(measure, corrects.map(|reading| &reading.taken.value)) {
        form = form.field(field);
    }
    // A correction begins with what is recorded: the instrument of another reading would get into it unseen.
    let used = match corrects {
        Some(reading) => used_id(reading.taken.instrument.as_ref()),
        None => usual_instrument,
    };
    if let Some(field) = instrument_field(desk, measure, used) {
        form = form.field(field);
    }
    if corrects.is_some() || is_complete(desk, step, measure) {
        let label = if corrects.is_some() {
            "why it is corrected"
        } else {
            "why a further reading (all demanded ones are taken)"
        };
        form = form.field(Field::text("why", label, ""));
    }
    form
}

/// Earlier readings: by the airframe's record, else what the last annual says of the measurement.
pub fn before(desk: &dyn Desk, step: &PlanStep, measure: &Measure) -> Vec<String> {
    let Some(view) = desk.session() else { return Vec::new() };
    let recorded = readings_before(view.plan, &step.step.id, &measure.id);
    if !recorded.is_empty() {
        return vec![format!("before: {}", recorded.join("; "))];
    }
    let Some(earlier) = view.earlier else { return Vec::new() };
    let title = format!("{}: ", measure.title);
    let lines = earlier.steps.get(&step.step.id).map_or(&[][..], Vec::as_slice);
    let of_measure = lines.iter().filter_map(|line| line.strip_prefix(&title));
    of_measure.map(|told| format!("before ({}): {told}", earlier.label)).collect()
}

pub fn limit_line(measure: &Measure) -> String {
    match (measure.limit_words(), &measure.limit_source) {
        (Some(limit), Some(source)) => format!("limit: {limit} ({source})"),
        (Some(limit), None) => format!("limit: {limit}"),
        (None, _) => "no limit in the checklist".to_string(),
    }
}

fn is_complete(desk: &dyn Desk, step: &PlanStep, measure: &Measure) -> bool {
    desk.session().is_some_and(|view| {
        let taken = view.state.step(&step.step.id).map_or(0, |state| state.readings_of(&measure.id).count());
        u32::try_from(taken).is_ok_and(|taken| taken >= measure.readings)
    })
}

/// Figures are typed afresh, which is quicker with gloves than clearing the earlier ones; a text is kept.
fn value_fields(measure: &Measure, earlier: Option<&ReadingValue>) -> Vec<Field> {
    let limit = limit_line(measure);
    let unit = measure.unit().map_or("", |unit| unit.symbol());
    let text = |name: &'static str, label: String| Field::text(name, format!("{label} · {limit}"), "");
    match &measure.kind {
        MeasureKind::Number { .. } => {
            let hint = format!("a bare number means {unit}; another unit of the kind may be typed");
            vec![text("value", format!("value ({unit})")).hint(hint)]
        }
        MeasureKind::Pair { .. } => {
            vec![text("left", format!("left ({unit})")), text("right", format!("right ({unit})"))]
        }
        MeasureKind::Choice { choices, .. } => {
            vec![Field::choice("value", format!("what was found · {limit}"), choices.clone(), None)]
        }
        MeasureKind::Count { .. } => vec![text("value", format!("how many ({unit})"))],
        MeasureKind::Date { .. } => vec![text("value", "date, as 2026-11-25".to_string())],
        MeasureKind::Table { compute } => {
            let hint = format!(
                "spanwise compute {compute} --example shows one; a relative path counts from the hangar folder"
            );
            vec![Field::text("path", format!("file of the {compute} table (CSV or TOML)"), "").hint(hint)]
        }
        MeasureKind::Text | MeasureKind::LoadDeflection(_) => {
            let earlier = match earlier {
                Some(ReadingValue::Text { text }) => text.as_str(),
                _ => "",
            };
            vec![Field::text("value", "what was found", earlier)]
        }
    }
}

/// Instruments of the register that measure this kind of thing; all of them where the kind has no unit.
pub fn fitting<'a>(desk: &'a dyn Desk, measure: &Measure) -> Vec<&'a Instrument> {
    let has_unit = !measure.instrument_units().is_empty();
    let fits = |instrument: &&Instrument| {
        (has_unit || measure.instrument) && measure.is_measured_in(instrument.unit)
    };
    desk.hangar().instruments.iter().filter(fits).collect()
}

pub fn used_id(used: Option<&InstrumentUse>) -> Option<&str> {
    used.map(|used| used.id.as_str())
}

pub fn instrument_field(desk: &dyn Desk, measure: &Measure, usual: Option<&str>) -> Option<Field> {
    let fitting = fitting(desk, measure);
    if fitting.is_empty() && !measure.instrument {
        return None;
    }
    let label = if measure.instrument { "instrument (demanded)" } else { "instrument" };
    Some(instrument_choice(desk, "instrument", label, &fitting, usual))
}

/// The register's instruments that read in this kind of unit.
pub fn reading_in(desk: &dyn Desk, unit: Unit) -> Vec<&Instrument> {
    let fits = |found: &&Instrument| found.unit.dimension() == unit.dimension();
    desk.hangar().instruments.iter().filter(fits).collect()
}

/// A choice among instruments, each with its calibration.
pub fn instrument_choice(
    desk: &dyn Desk,
    name: &'static str,
    label: &str,
    fitting: &[&Instrument],
    usual: Option<&str>,
) -> Field {
    let option = |instrument: &&Instrument| {
        let calibration = match instrument.calibration_due {
            Some(due) if due < desk.today() => format!("calibration OVERDUE since {due}"),
            Some(due) => format!("calibrated until {due}"),
            None => "no calibration date".to_string(),
        };
        format!("{}: {} ({calibration})", instrument.id, instrument.title)
    };
    let options = fitting.iter().map(option).collect();
    let at = fitting.iter().position(|instrument| Some(instrument.id.as_str()) == usual);
    Field::choice(name, label, options, at)
}

/// Id of the instrument that is chosen.
pub fn chosen_instrument<'a>(
    chosen: Option<usize>,
    desk: &'a dyn Desk,
    measure: &Measure,
) -> Option<&'a Instrument> {
    fitting(desk, measure).get(chosen?).copied()
}

/// What stands in the fields, as a value.
pub fn value(form: &Form, measure: &Measure) -> Result<ReadingValue, Problem> {
    let quantity = |name: &str| {
        let unit =
            measure.unit().ok_or_else(|| Problem::new("this measurement has no unit", "write a note"))?;
        read_typed(&form.text(name), unit, false).map_err(|error| {
            Problem::new(format!("{name}: {error}"), format!("type it like 12.5 {}", unit.symbol()))
        })
    };
    match &measure.kind {
        MeasureKind::Number { .. } => Ok(ReadingValue::Number { quantity: quantity("value")? }),
        MeasureKind::Pair { .. } => {
            Ok(ReadingValue::Pair { left: quantity("left")?, right: quantity("right")? })
        }
        MeasureKind::Count { .. } => {
            form.text("value").parse().map(|count| ReadingValue::Count { count }).map_err(|_| {
                Problem::new(
                    format!("\"{}\" is no count", form.text("value")),
                    "type a whole number, such as 3",
                )
            })
        }
        MeasureKind::Choice { choices, .. } => form
            .chosen("value")
            .and_then(|index| choices.get(index))
            .map(|choice| ReadingValue::Choice { choice: choice.clone() })
            .ok_or_else(|| Problem::new("nothing is chosen yet", "choose by digit or with left and right")),
        MeasureKind::Date { .. } => {
            date(&form.text("value"), "the date").map(|date| ReadingValue::Date { date })
        }
        MeasureKind::Text => Ok(ReadingValue::Text { text: form.text("value") }),
        MeasureKind::Table { .. } => {
            Err(Problem::new("the table is read and judged when it is saved", "name its file, then save"))
        }
        MeasureKind::LoadDeflection(_) => {
            Err(Problem::new("a series is typed into its table", "press r on the step"))
        }
    }
}

/// A date as `2026-11-25`.
pub fn date(text: &str, what: &str) -> Result<NaiveDate, Problem> {
    crate::words::day(text).ok_or_else(|| {
        let why =
            if text.is_empty() { format!("{what} is missing") } else { format!("\"{text}\" is no date") };
        Problem::new(why, "type year-month-day, such as 2026-11-25")
    })
}

/// The verdict on what stands in the fields now; nothing while they are empty or not readable.
pub fn live(form: &Form, desk: &dyn Desk, measure: &Measure) -> Option<Judgement> {
    let value = value(form, measure).ok()?;
    if matches!(&value, ReadingValue::Text { .. }) {
        return None;
    }
    let instrument = chosen_instrument(form.chosen("instrument"), desk, measure).map(as_used);
    Some(judge(measure, &value, instrument.as_ref(), Some(desk.today())))
}

/// True when a field of the reading has been filled in.
pub fn is_begun(form: &Form) -> bool {
    form.fields.iter().any(|field| match &field.entry {
        Entry::Text(input) => field.name != "why" && !input.value().trim().is_empty(),
        _ => false,
    })
}

/// Measurements of a step with what is still missing of each.
pub fn missing<'a>(state: &State, step: &'a PlanStep) -> impl Iterator<Item = (&'a Measure, u32)> {
    let found = state.step(&step.step.id).cloned();
    step.step.measures.iter().map(move |measure| {
        let missing = found.as_ref().map_or(measure.readings, |state| state.missing(measure));
        (measure, missing)
    })
}
