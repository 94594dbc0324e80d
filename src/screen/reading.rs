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
use crate::words::{self, of_checklist};

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
        Some(_) => say!("Correct a reading: {}", of_checklist(&measure.title)),
        None => say!("Reading: {}", of_checklist(&measure.title)),
    };
    let mut form = Form::new(purpose, title)
        .caution(step.step.caution.as_deref().map(|caution| of_checklist(caution).to_string()));
    form = form.intro(of_checklist(&step.step.title));
    if let Some(reading) = corrects {
        form = form.intro(say!(
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
            say!("why it is corrected")
        } else {
            say!("why a further reading (all demanded ones are taken)")
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
        return vec![say!("before: {}", recorded.join("; "))];
    }
    let Some(earlier) = view.earlier else { return Vec::new() };
    // The lines are told in the language of the checklist, or in the one that is spoken.
    let titles = [&measure.title, of_checklist(&measure.title)].map(|title| format!("{title}: "));
    let lines = earlier.steps.get(&step.step.id).map_or(&[][..], Vec::as_slice);
    let of_measure =
        lines.iter().filter_map(|line| titles.iter().find_map(|title| line.strip_prefix(title.as_str())));
    of_measure.map(|told| say!("before ({}): {told}", earlier.label, told)).collect()
}

pub fn limit_line(measure: &Measure) -> String {
    match (measure.limit_words(), &measure.limit_source) {
        (Some(limit), Some(source)) => {
            say!("limit: {limit} ({source})", limit, source = of_checklist(source))
        }
        (Some(limit), None) => say!("limit: {limit}", limit),
        (None, _) => say!("no limit in the checklist").to_string(),
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
    let unit = measure.unit().map_or("", |unit| unit.shown());
    let text = |name: &'static str, label: String| Field::text(name, format!("{label} · {limit}"), "");
    match &measure.kind {
        MeasureKind::Number { .. } => {
            let hint = say!("a bare number means {unit}; another unit of the kind may be typed", unit);
            vec![text("value", say!("value ({unit})", unit)).hint(hint)]
        }
        MeasureKind::Pair { .. } => {
            vec![text("left", say!("left ({unit})", unit)), text("right", say!("right ({unit})", unit))]
        }
        MeasureKind::Choice { choices, .. } => {
            vec![Field::choice(
                "value",
                say!("what was found · {limit}", limit),
                choices.iter().map(|choice| of_checklist(choice).to_string()).collect(),
                None,
            )]
        }
        MeasureKind::Count { .. } => vec![text("value", say!("how many ({unit})", unit))],
        MeasureKind::Date { .. } => vec![text("value", say!("date, as 2026-11-25").to_string())],
        MeasureKind::Table { compute } => {
            let hint = say!(
                "spanwise compute {compute} --example shows one; a relative path counts from the hangar folder",
                compute
            );
            vec![
                Field::text("path", say!("file of the {compute} table (CSV or TOML)", compute), "")
                    .hint(hint),
            ]
        }
        MeasureKind::Text | MeasureKind::LoadDeflection(_) => {
            let earlier = match earlier {
                Some(ReadingValue::Text { text }) => text.as_str(),
                _ => "",
            };
            vec![Field::text("value", say!("what was found"), earlier)]
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
    let label = if measure.instrument { say!("instrument (demanded)") } else { say!("instrument") };
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
            Some(due) if due < desk.today() => {
                say!("calibration OVERDUE since {due}", due = words::date(due))
            }
            Some(due) => say!("calibrated until {due}", due = words::date(due)),
            None => say!("no calibration date").to_string(),
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
    let quantity = |name: &str, what: &str| {
        let unit = measure
            .unit()
            .ok_or_else(|| Problem::new(say!("this measurement has no unit"), say!("write a note")))?;
        read_typed(&form.text(name), unit, false).map_err(|error| {
            Problem::new(format!("{what}: {error}"), say!("type it like 12.5 {}", unit.symbol()))
        })
    };
    match &measure.kind {
        MeasureKind::Number { .. } => {
            Ok(ReadingValue::Number { quantity: quantity("value", say!("value"))? })
        }
        MeasureKind::Pair { .. } => Ok(ReadingValue::Pair {
            left: quantity("left", say!("left"))?,
            right: quantity("right", say!("right"))?,
        }),
        MeasureKind::Count { .. } => {
            form.text("value").parse().map(|count| ReadingValue::Count { count }).map_err(|_| {
                Problem::new(
                    say!("\"{}\" is no count", form.text("value")),
                    say!("type a whole number, such as 3"),
                )
            })
        }
        MeasureKind::Choice { choices, .. } => form
            .chosen("value")
            .and_then(|index| choices.get(index))
            .map(|choice| ReadingValue::Choice { choice: choice.clone() })
            .ok_or_else(|| {
                Problem::new(say!("nothing is chosen yet"), say!("choose by digit or with left and right"))
            }),
        MeasureKind::Date { .. } => {
            date(&form.text("value"), say!("the date")).map(|date| ReadingValue::Date { date })
        }
        MeasureKind::Text => Ok(ReadingValue::Text { text: form.text("value") }),
        MeasureKind::Table { .. } => Err(Problem::new(
            say!("the table is read and judged when it is saved"),
            say!("name its file, then save"),
        )),
        MeasureKind::LoadDeflection(_) => {
            Err(Problem::new(say!("a series is typed into its table"), say!("press r on the step")))
        }
    }
}

/// A date as `2026-11-25`.
pub fn date(text: &str, what: &str) -> Result<NaiveDate, Problem> {
    words::day(text).ok_or_else(|| {
        let why = if text.is_empty() {
            say!("{what} is missing", what)
        } else {
            say!("\"{text}\" is no date", text)
        };
        Problem::new(why, say!("type year-month-day, such as 2026-11-25"))
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
