//! What was typed → a reading's value, in the form that the measurement wants.

use chrono::NaiveDate;

use crate::checklist::{Measure, MeasureKind, SeriesDemand};
use crate::event::{ReadingValue, SeriesPoint};
use crate::quantity::{Quantity, Unit, read_entry};

/// Reads one typed value. A pair is two values with `/` or `;` between them, left first. A series is one line
/// per point: see [`parse_series`].
///
/// # Errors
/// Plain words: what was typed, what is wanted.
pub fn parse_value(measure: &Measure, text: &str) -> Result<ReadingValue, String> {
    let text = text.trim();
    if text.is_empty() {
        return Err(format!("nothing was entered for \"{}\"", measure.title));
    }
    match &measure.kind {
        MeasureKind::Number { unit, .. } => Ok(ReadingValue::Number { quantity: quantity(text, *unit)? }),
        MeasureKind::Pair { unit, .. } => pair(text, *unit),
        MeasureKind::Count { unit, .. } => count(text, *unit),
        MeasureKind::Choice { choices, .. } => choice(text, choices),
        MeasureKind::Text => Ok(ReadingValue::Text { text: text.to_string() }),
        MeasureKind::Date { .. } => date(text),
        MeasureKind::LoadDeflection(demand) => parse_series(demand, text).map(|points| ReadingValue::Series { points }),
    }
}

fn quantity(text: &str, unit: Unit) -> Result<Quantity, String> {
    read_entry(text, unit, false).map_err(|error| error.to_string())
}

fn pair(text: &str, unit: Unit) -> Result<ReadingValue, String> {
    // A unit may hold a slash itself (km/h): then only ";" parts the two.
    let parts = match text.split_once(';') {
        Some(parts) => Some(parts),
        None => text.split_once(" / ").or_else(|| text.matches('/').count().eq(&1).then(|| text.split_once('/')).flatten()),
    };
    let Some((left, right)) = parts else {
        let example = unit.symbol();
        return Err(format!("\"{text}\" is one value; enter left and right with \" / \" between, such as 25 / 24 {example}"));
    };
    Ok(ReadingValue::Pair { left: quantity(left.trim(), unit)?, right: quantity(right.trim(), unit)? })
}

fn count(text: &str, unit: Unit) -> Result<ReadingValue, String> {
    let digits = text.trim_end_matches(unit.symbol()).trim();
    match digits.parse::<u32>() {
        Ok(count) => Ok(ReadingValue::Count { count }),
        Err(_) => Err(format!("\"{text}\" is no whole number; count again, or write a note")),
    }
}

fn choice(text: &str, choices: &[String]) -> Result<ReadingValue, String> {
    let wanted = text.to_lowercase();
    let by_number = text.parse::<usize>().ok().and_then(|number| choices.get(number.checked_sub(1)?));
    let by_name = choices.iter().find(|choice| choice.to_lowercase() == wanted);
    match by_name.or(by_number) {
        Some(choice) => Ok(ReadingValue::Choice { choice: choice.clone() }),
        None => Err(format!("\"{text}\" is no choice here; choose one of: {}", choices.join(", "))),
    }
}

fn date(text: &str) -> Result<ReadingValue, String> {
    ["%Y-%m-%d", "%d.%m.%Y"]
        .iter()
        .find_map(|format| NaiveDate::parse_from_str(text, format).ok())
        .map(|date| ReadingValue::Date { date })
        .ok_or_else(|| format!("\"{text}\" is no date; write it like 2027-03-31"))
}

/// Reads a load–deflection table: one line per point, `direction, up or down, load, deflection`, fields parted
/// by commas, semicolons or tabs. An empty line, a line beginning with `#`, and a heading line are passed over.
///
/// # Errors
/// The line number, what stands there, what is wanted.
pub fn parse_series(demand: &SeriesDemand, text: &str) -> Result<Vec<SeriesPoint>, String> {
    let mut points = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') || line.to_lowercase().starts_with("direction") {
            continue;
        }
        points.push(series_point(demand, line).map_err(|why| format!("line {}: {why}", index + 1))?);
    }
    if points.is_empty() {
        return Err("the table holds no point; write lines like: left, up, 5 kgf, 3.4 mm".to_string());
    }
    Ok(points)
}

fn series_point(demand: &SeriesDemand, line: &str) -> Result<SeriesPoint, String> {
    let parting = if line.contains(';') { ';' } else if line.contains('\t') { '\t' } else { ',' };
    let fields: Vec<&str> = line.split(parting).map(str::trim).collect();
    let [direction, branch, load, deflection] = fields[..] else {
        return Err(format!("\"{line}\" has {} fields, not four: direction, up or down, load, deflection", fields.len()));
    };
    let Some(direction) = demand.directions.iter().find(|known| known.eq_ignore_ascii_case(direction)) else {
        return Err(format!("\"{direction}\" is no direction of this test; use one of: {}", demand.directions.join(", ")));
    };
    let loading = match branch.to_lowercase().as_str() {
        "up" | "u" | "loading" => true,
        "down" | "d" | "unloading" => false,
        _ => return Err(format!("\"{branch}\" is neither up (loading) nor down (unloading)")),
    };
    Ok(SeriesPoint {
        direction: direction.clone(),
        loading,
        load: quantity(load, demand.load_unit)?,
        deflection: quantity(deflection, demand.deflection_unit)?,
    })
}

/// A value in one line, as entered.
pub fn value_words(value: &ReadingValue) -> String {
    match value {
        ReadingValue::Number { quantity } => quantity.to_string(),
        ReadingValue::Pair { left, right } => format!("left {left}, right {right}"),
        ReadingValue::Count { count } => count.to_string(),
        ReadingValue::Choice { choice } => choice.clone(),
        ReadingValue::Text { text } => text.clone(),
        ReadingValue::Date { date } => date.to_string(),
        ReadingValue::Series { points } => format!("load-deflection table of {} points", points.len()),
    }
}
