//! `[[step.measure]]` → [`Measure`].

use super::measure::{Guard, Measure, MeasureKind, SeriesDemand};
use super::read::at_least_one;
use crate::quantity::{Limit, Number, Quantity, Unit};
use crate::source::{Located, Table};
use crate::vocabulary::COMPUTATIONS;

#[derive(Clone, Copy)]
pub(super) enum KindWord {
    Number,
    Pair,
    Count,
    Choice,
    Text,
    Date,
    LoadDeflection,
    Table,
}

pub(super) const KINDS: &[(&str, KindWord)] = &[
    ("number", KindWord::Number),
    ("pair", KindWord::Pair),
    ("count", KindWord::Count),
    ("choice", KindWord::Choice),
    ("text", KindWord::Text),
    ("date", KindWord::Date),
    ("load-deflection", KindWord::LoadDeflection),
    ("table", KindWord::Table),
];

pub(super) fn read_measure(table: Table<'_>) -> Option<Measure> {
    let id = table.required_text("id");
    let title = table.required_text("title");
    let kind = table.required_choice("kind", KINDS);
    let readings = at_least_one(&table, "readings", 1);
    let instrument = table.flag("instrument").unwrap_or(false);
    let demanded = table.flag("demanded").unwrap_or(true);
    let guard = table.choice("guard", &Guard::WORDS).map(|guard| guard.value).unwrap_or_default();
    let limit_source = table.text("limit_source").map(|text| text.value);
    let kind = match kind?.value {
        KindWord::Number => read_number(&table),
        KindWord::Pair => read_pair(&table),
        KindWord::Count => read_count(&table),
        KindWord::Choice => read_choice(&table),
        KindWord::Text => Some(MeasureKind::Text),
        KindWord::Date => Some(MeasureKind::Date {
            not_before_today: table.flag("not_before_today").unwrap_or(false),
            not_before: table.date("not_before").map(|date| date.value),
        }),
        KindWord::Table => read_table(&table),
        KindWord::LoadDeflection => read_series(&table).map(MeasureKind::LoadDeflection),
    };
    if let Some(kind) = &kind {
        check_limit_source(&table, kind, limit_source.as_deref());
    }
    table.finish();
    Some(Measure {
        id: id?.value,
        title: title?.value,
        kind: kind?,
        readings,
        instrument,
        demanded,
        guard,
        limit_source,
    })
}

/// A figure to judge by must say where it comes from: an inspector may have to defend it in five years.
fn check_limit_source(table: &Table<'_>, kind: &MeasureKind, source: Option<&str>) {
    let has_limit = match kind {
        MeasureKind::Number { limit, .. } => limit.is_some(),
        MeasureKind::Pair { limit, max_difference, .. } => limit.is_some() || max_difference.is_some(),
        MeasureKind::LoadDeflection(series) => {
            series.min_stiffness.is_some() || series.max_side_difference_percent.is_some()
        }
        _ => false,
    };
    if has_limit && source.is_none() {
        table.reject::<()>(
            "limit-source-missing",
            table.span(),
            say!("a limit is given without its source"),
            say!("add limit_source = \"…\": the manual and chapter, or \"common practice, no source\""),
        );
    }
}

#[cfg_attr(test, track_caller)]
fn required_unit(table: &Table<'_>, key: &'static str) -> Option<Located<Unit>> {
    let unit = table.unit(key);
    if unit.is_none() && !table.has(key) {
        table.reject::<()>(
            "unit-missing",
            table.span(),
            say!("the measurement lacks \"{key}\"", key = key),
            say!("add {key} = \"mm\", or whichever unit is meant", key = key),
        );
    }
    unit
}

fn read_number(table: &Table<'_>) -> Option<MeasureKind> {
    let unit = required_unit(table, "unit");
    let numbers = LimitNumbers::read(table);
    let unit = unit?.value;
    Some(MeasureKind::Number { unit, limit: numbers.limit(table, unit)? })
}

fn read_pair(table: &Table<'_>) -> Option<MeasureKind> {
    let unit = required_unit(table, "unit");
    let max_difference = table.number("max_difference").map(|number| number.value);
    let numbers = LimitNumbers::read(table);
    let unit = unit?.value;
    Some(MeasureKind::Pair { unit, limit: numbers.limit(table, unit)?, max_difference })
}

/// `min`, `max`, `nominal` and `tolerance` as the file gives them.
struct LimitNumbers {
    min: Option<Located<Number>>,
    max: Option<Located<Number>>,
    nominal: Option<Located<Number>>,
    tolerance: Option<Located<Number>>,
}

impl LimitNumbers {
    fn read(table: &Table<'_>) -> Self {
        LimitNumbers {
            min: table.number("min"),
            max: table.number("max"),
            nominal: table.number("nominal"),
            tolerance: table.number("tolerance"),
        }
    }

    /// The limit, or no limit; a fault in the figures is reported and gives nothing.
    fn limit(self, table: &Table<'_>, unit: Unit) -> Option<Option<Limit>> {
        let quantity = |number: Number| Quantity::new(number, unit);
        let (made, span) = match (self.min, self.max, self.nominal, self.tolerance) {
            (None, None, None, None) => return Some(None),
            (min, max, None, None) => {
                let span = max.as_ref().or(min.as_ref()).map_or(table.span(), |number| number.span.clone());
                (Limit::new(min.map(|min| quantity(min.value)), max.map(|max| quantity(max.value))), span)
            }
            (None, None, Some(nominal), Some(tolerance)) => {
                let by = quantity(tolerance.value);
                (Limit::around(&quantity(nominal.value), &by, &by), tolerance.span)
            }
            (_, _, nominal, tolerance) => {
                let span = nominal.or(tolerance).map_or(table.span(), |number| number.span);
                return table.reject(
                    "limit-form",
                    span,
                    say!("give either min and max, or nominal and tolerance"),
                    say!("take out what is too much, or add what is missing"),
                );
            }
        };
        match made {
            Ok(limit) => Some(Some(limit)),
            Err(error) => table.reject("limit-form", span, error.to_string(), say!("correct the figures")),
        }
    }
}

fn read_count(table: &Table<'_>) -> Option<MeasureKind> {
    let unit = if table.has("unit") { table.unit("unit")?.value } else { Unit::Count };
    let (min, max) = (table.whole("min"), table.whole("max"));
    if let (Some(min), Some(max)) = (&min, &max)
        && min.value > max.value
    {
        return table.reject(
            "limit-empty",
            max.span.clone(),
            say!("no count can be at least {} and at most {}", min.value, max.value),
            say!("exchange min and max, or correct one of them"),
        );
    }
    Some(MeasureKind::Count { unit, min: min.map(|min| min.value), max: max.map(|max| max.value) })
}

fn read_table(table: &Table<'_>) -> Option<MeasureKind> {
    let compute = table.required_text("compute")?;
    if !COMPUTATIONS.contains(&compute.value.as_str()) {
        table.unknown_word(
            "unknown-computation",
            say!("computation"),
            &compute,
            COMPUTATIONS.iter().copied(),
        );
        return None;
    }
    Some(MeasureKind::Table { compute: compute.value })
}

fn read_choice(table: &Table<'_>) -> Option<MeasureKind> {
    let choices = table.texts("choices");
    let accept = table.texts("accept");
    if choices.len() < 2 {
        return table.reject(
            "choices-few",
            table.span(),
            say!("a choice needs at least two choices"),
            say!("add choices = [\"…\", \"…\"]"),
        );
    }
    for word in accept.iter().filter(|word| !choices.iter().any(|choice| choice.value == word.value)) {
        table.unknown_word(
            "unknown-choice",
            say!("choice here"),
            word,
            choices.iter().map(|choice| choice.value.as_str()),
        );
    }
    let values = |words: Vec<Located<String>>| words.into_iter().map(|word| word.value).collect();
    Some(MeasureKind::Choice { choices: values(choices), accept: values(accept) })
}

fn read_series(table: &Table<'_>) -> Option<SeriesDemand> {
    let load_unit = required_unit(table, "load_unit");
    let deflection_unit = required_unit(table, "deflection_unit");
    let directions: Vec<String> = table.texts("directions").into_iter().map(|word| word.value).collect();
    let min_levels = at_least_one(table, "min_levels", 3);
    let max_load = table.number("max_load");
    let take_up = table.number("take_up").map(|number| number.value);
    let unloading = table.flag("unloading").unwrap_or(true);
    let min_stiffness = table.number("min_stiffness").map(|number| number.value);
    let max_side_difference_percent = table.number("max_side_difference_percent").map(|number| number.value);
    if max_load.is_none() && !table.has("max_load") {
        table.reject::<()>(
            "ceiling-missing",
            table.span(),
            say!("a load-deflection series has no ceiling for the load"),
            say!("add max_load, in load_unit; the type's manual governs"),
        );
    }
    if directions.is_empty() || directions.len() > 2 {
        return table.reject(
            "directions-form",
            table.span(),
            say!("a series has one or two directions"),
            say!("write directions = [\"left\", \"right\"]"),
        );
    }
    Some(SeriesDemand {
        load_unit: load_unit?.value,
        deflection_unit: deflection_unit?.value,
        directions,
        min_levels,
        max_load: max_load?.value,
        take_up,
        unloading,
        min_stiffness,
        max_side_difference_percent,
    })
}
