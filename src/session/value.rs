//! What was typed → a reading's value, in the form that the measurement wants.

use chrono::{Datelike, NaiveDate};

use crate::checklist::{Measure, MeasureKind, SeriesDemand};
use crate::event::{ReadingValue, SeriesPoint};
use crate::quantity::{Quantity, QuantityError, Unit, read_entry, read_typed};
use crate::words::{self, all_of_checklist, of_checklist};

/// How one value of a text is read: as a file writes it, or as it is typed in the language that is spoken.
type Read = fn(&str, Unit, bool) -> Result<Quantity, QuantityError>;

/// Reads one value of a file. A pair is two values with `/` or `;` between them, left first. A series is one line
/// per point: see [`parse_series`].
///
/// # Errors
/// Plain words: what was typed, what is wanted.
pub fn parse_value(measure: &Measure, text: &str) -> Result<ReadingValue, String> {
    parse(measure, text, read_entry)
}

/// As [`parse_value`], for what was typed: a decimal comma counts where the language has one. What comes out of it is what
/// the same value typed with a point gives.
///
/// # Errors
/// Plain words: what was typed, what is wanted.
pub fn parse_typed(measure: &Measure, text: &str) -> Result<ReadingValue, String> {
    parse(measure, text, read_typed)
}

fn parse(measure: &Measure, text: &str, read: Read) -> Result<ReadingValue, String> {
    let text = text.trim();
    if text.is_empty() {
        return Err(say!("nothing was entered for \"{}\"", of_checklist(&measure.title)));
    }
    match &measure.kind {
        MeasureKind::Number { unit, .. } => {
            Ok(ReadingValue::Number { quantity: quantity(text, *unit, read)? })
        }
        MeasureKind::Pair { unit, .. } => pair(text, *unit, read),
        MeasureKind::Count { unit, .. } => count(text, *unit),
        MeasureKind::Choice { choices, .. } => choice(text, choices),
        MeasureKind::Text => Ok(ReadingValue::Text { text: text.to_string() }),
        MeasureKind::Table { .. } => Ok(ReadingValue::Table { text: format!("{text}\n") }),
        MeasureKind::Date { .. } => date(text),
        MeasureKind::LoadDeflection(demand) => {
            series(demand, text, read).map(|points| ReadingValue::Series { points })
        }
    }
}

/// What a bare number was taken as, for saying so after it was saved; nothing where a unit was typed.
pub fn taken_as(text: &str, value: &ReadingValue) -> Option<String> {
    let is_measured = matches!(value, ReadingValue::Number { .. } | ReadingValue::Pair { .. });
    let has_unit = text.chars().any(|c| !(c.is_ascii_digit() || c.is_whitespace() || "+-.,;/".contains(c)));
    (is_measured && !has_unit).then(|| say!("no unit was typed: taken as {}", value_words(value)))
}

fn quantity(text: &str, unit: Unit, read: Read) -> Result<Quantity, String> {
    read(text, unit, false).map_err(|error| error.to_string())
}

fn pair(text: &str, unit: Unit, read: Read) -> Result<ReadingValue, String> {
    // A unit may hold a slash itself (km/h): then only ";" parts the two.
    let parts = match text.split_once(';') {
        Some(parts) => Some(parts),
        None => text
            .split_once(" / ")
            .or_else(|| text.matches('/').count().eq(&1).then(|| text.split_once('/')).flatten()),
    };
    let Some((left, right)) = parts else {
        let example = unit.symbol();
        return Err(say!(
            "\"{text}\" is one value; enter left and right with \" / \" between, such as 25 / 24 {example}",
            text = text,
            example = example
        ));
    };
    Ok(ReadingValue::Pair {
        left: quantity(left.trim(), unit, read)?,
        right: quantity(right.trim(), unit, read)?,
    })
}

fn count(text: &str, unit: Unit) -> Result<ReadingValue, String> {
    let digits = text.trim_end_matches(unit.symbol()).trim();
    match digits.parse::<u32>() {
        Ok(count) => Ok(ReadingValue::Count { count }),
        Err(_) => Err(say!("\"{text}\" is no whole number; count again, or write a note", text = text)),
    }
}

fn choice(text: &str, choices: &[String]) -> Result<ReadingValue, String> {
    let wanted = text.to_lowercase();
    let by_number = text.parse::<usize>().ok().and_then(|number| choices.get(number.checked_sub(1)?));
    let by_name = choices.iter().find(|choice| is_meant(choice, &wanted));
    match by_name.or(by_number) {
        Some(choice) => Ok(ReadingValue::Choice { choice: choice.clone() }),
        None => Err(say!(
            "\"{text}\" is no choice here; choose one of: {}",
            all_of_checklist(choices),
            text = text
        )),
    }
}

/// An author's word as it stands in the checklist, or as it is shown in the chosen language.
fn is_meant(word: &str, wanted: &str) -> bool {
    word.to_lowercase() == wanted || of_checklist(word).to_lowercase() == wanted
}

fn date(text: &str) -> Result<ReadingValue, String> {
    ["%Y-%m-%d", "%d.%m.%Y"]
        .iter()
        .find_map(|format| NaiveDate::parse_from_str(text, format).ok())
        // Two digits could be any century's year.
        .filter(|date| date.year() >= 1000)
        .map(|date| ReadingValue::Date { date })
        .ok_or_else(|| say!("\"{text}\" is no date; write it like 2027-03-31", text = text))
}

/// Reads a load–deflection table: one line per point, fields parted by commas, semicolons or tabs. Without a
/// heading the fields are `direction, up or down, load, deflection`; with one, the columns are found by their
/// names `direction`, `branch`, `load`, `load_unit`, `deflection`, `deflection_unit`. Empty lines and lines that
/// begin with `#` are passed over.
///
/// # Errors
/// The line number, what stands there, what is wanted.
pub fn parse_series(demand: &SeriesDemand, text: &str) -> Result<Vec<SeriesPoint>, String> {
    series(demand, text, read_entry)
}

fn series(demand: &SeriesDemand, text: &str, read: Read) -> Result<Vec<SeriesPoint>, String> {
    let mut columns = Columns::plain();
    let mut points = Vec::new();
    for (index, line) in text.lines().enumerate() {
        let line = line.trim();
        if line.is_empty() || line.starts_with('#') {
            continue;
        }
        let at = |why: String| say!("line {}: {why}", index + 1, why = why);
        let delimiter = delimiter_of(line);
        // Where commas part the fields, the numbers have points in every language.
        let read = if delimiter == b',' { read_entry } else { read };
        let fields = split_fields(line, delimiter).map_err(at)?;
        if points.is_empty() && fields.iter().any(|field| field.eq_ignore_ascii_case("deflection")) {
            columns = Columns::named(&fields).map_err(at)?;
            continue;
        }
        points.push(series_point(demand, &columns, &fields, read).map_err(at)?);
    }
    if points.is_empty() {
        return Err(say!("the table holds no point; write lines like: left, up, 5 kgf, 3.4 mm").to_string());
    }
    Ok(points)
}

/// Which field holds what; positions counted from 0.
struct Columns {
    direction: usize,
    branch: usize,
    load: usize,
    deflection: usize,
    load_unit: Option<usize>,
    deflection_unit: Option<usize>,
    width: usize,
}

impl Columns {
    fn plain() -> Columns {
        Columns {
            direction: 0,
            branch: 1,
            load: 2,
            deflection: 3,
            load_unit: None,
            deflection_unit: None,
            width: 4,
        }
    }

    fn named(heading: &[String]) -> Result<Columns, String> {
        let find = |name: &str| heading.iter().position(|field| field.eq_ignore_ascii_case(name));
        let need =
            |name: &str| find(name).ok_or_else(|| say!("the heading has no column \"{name}\"", name = name));
        Ok(Columns {
            direction: need("direction")?,
            branch: need("branch")?,
            load: need("load")?,
            deflection: need("deflection")?,
            load_unit: find("load_unit"),
            deflection_unit: find("deflection_unit"),
            width: heading.len(),
        })
    }
}

fn delimiter_of(line: &str) -> u8 {
    if line.contains(';') {
        b';'
    } else if line.contains('\t') {
        b'\t'
    } else {
        b','
    }
}

fn split_fields(line: &str, delimiter: u8) -> Result<Vec<String>, String> {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .delimiter(delimiter)
        .trim(csv::Trim::All)
        .from_reader(line.as_bytes());
    let record = reader.records().next().transpose().map_err(|error| error.to_string())?;
    Ok(record.map(|record| record.iter().map(str::to_string).collect()).unwrap_or_default())
}

fn series_point(
    demand: &SeriesDemand,
    columns: &Columns,
    fields: &[String],
    read: Read,
) -> Result<SeriesPoint, String> {
    if fields.len() != columns.width {
        return Err(say!(
            "{} fields stand here and {} are wanted: direction, up or down, load, deflection",
            fields.len(),
            columns.width
        ));
    }
    let direction = &fields[columns.direction];
    let Some(direction) = demand.directions.iter().find(|known| is_meant(known, &direction.to_lowercase()))
    else {
        return Err(say!(
            "\"{direction}\" is no direction of this test; use one of: {}",
            all_of_checklist(&demand.directions),
            direction = direction
        ));
    };
    let branch = &fields[columns.branch];
    let loading = match branch.to_lowercase().as_str() {
        typed if typed == say!("up").to_lowercase() => true,
        typed if typed == say!("down").to_lowercase() => false,
        "up" | "u" | "loading" => true,
        "down" | "d" | "unloading" => false,
        _ => return Err(say!("\"{branch}\" is neither up (loading) nor down (unloading)", branch = branch)),
    };
    let with_unit = |value: usize, unit: Option<usize>| match unit {
        Some(unit) => format!("{} {}", fields[value], fields[unit]),
        None => fields[value].clone(),
    };
    Ok(SeriesPoint {
        direction: direction.clone(),
        loading,
        load: quantity(&with_unit(columns.load, columns.load_unit), demand.load_unit, read)?,
        deflection: quantity(
            &with_unit(columns.deflection, columns.deflection_unit),
            demand.deflection_unit,
            read,
        )?,
    })
}

/// A value in one line, as entered, for people: numbers and days as the language writes them.
pub fn value_words(value: &ReadingValue) -> String {
    match value {
        ReadingValue::Number { quantity } => quantity.shown(),
        ReadingValue::Pair { left, right } => {
            say!("left {left}, right {right}", left = left.shown(), right = right.shown())
        }
        ReadingValue::Count { count } => count.to_string(),
        ReadingValue::Choice { choice } => of_checklist(choice).to_string(),
        ReadingValue::Text { text } => text.clone(),
        ReadingValue::Date { date } => words::date(*date),
        ReadingValue::Table { text } => say!("table of {} lines", text.lines().count()),
        ReadingValue::Series { points } => say!("load-deflection table of {} points", points.len()),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{Language, with_language};

    fn demand() -> SeriesDemand {
        SeriesDemand {
            load_unit: Unit::KilogramForce,
            deflection_unit: Unit::Millimetre,
            directions: vec!["left".into(), "right".into()],
            min_levels: 3,
            max_load: 15.into(),
            take_up: None,
            unloading: true,
            min_stiffness: None,
            max_side_difference_percent: None,
        }
    }

    #[test]
    fn a_table_with_and_without_heading_and_with_decimal_commas() {
        let plain = parse_series(&demand(), "left, up, 5, 3.40\nright; down; 49,03 N; 3,1 mm\n");
        let points = plain.unwrap_or_else(|why| panic!("{why}"));
        assert_eq!(points[0].load.to_string(), "5 kgf");
        assert_eq!(points[0].deflection.to_string(), "3.40 mm");
        assert_eq!(points[1].load.to_string(), "49.03 N");
        assert!(!points[1].loading);
        let named = parse_series(
            &demand(),
            "load,load_unit,deflection,deflection_unit,direction,branch\n2,kgf,1.4,mm,left,loading\n",
        );
        assert_eq!(named.unwrap_or_else(|why| panic!("{why}"))[0].deflection.to_string(), "1.4 mm");
    }

    #[test]
    fn a_fault_names_its_line_and_what_is_wanted() {
        for (text, words) in [
            ("left, up, 5, 3.4\nlfet, up, 5, 3.4", "line 2: \"lfet\" is no direction"),
            ("left, up, 5", "line 1: 3 fields"),
            ("left, sideways, 5, 3", "neither up"),
            ("left, up, 5 km/h, 3", "line 1:"),
            ("left, up, five, 3", "line 1:"),
            ("", "no point"),
        ] {
            let why = parse_series(&demand(), text).err().unwrap_or_else(|| panic!("accepted {text:?}"));
            assert!(why.contains(words), "{why}");
        }
    }

    #[test]
    fn a_pair_of_speeds_keeps_the_slash_of_its_unit() {
        let value = pair("100 km/h ; 101 km/h", Unit::KilometrePerHour, read_entry)
            .unwrap_or_else(|why| panic!("{why}"));
        assert_eq!(value_words(&value), "left 100 km/h, right 101 km/h");
        assert!(pair("100 km/h", Unit::KilometrePerHour, read_entry).is_err());
    }

    #[test]
    fn a_value_typed_with_a_decimal_comma_is_the_value_typed_with_a_point() {
        with_language(Language::German, || {
            let typed = pair("24,5 / 25,125 mm", Unit::Millimetre, read_typed);
            assert_eq!(typed, pair("24.5 / 25.125 mm", Unit::Millimetre, read_entry));
            assert!(pair("1.234,5 / 2", Unit::Millimetre, read_typed).is_err());
            let neutral = parse_series(&demand(), "left, up, 5.5, 3.125\n").map(|points| points.len());
            assert_eq!(neutral, Ok(1));
            let points = series(&demand(), "left; up; 5,5 kgf; 3,125 mm\n", read_typed);
            assert_eq!(points, parse_series(&demand(), "left; up; 5.5 kgf; 3.125 mm\n"));
            assert_eq!(points, series(&demand(), "left, up, 5.5 kgf, 3.125 mm\n", read_typed));
        });
        assert!(date("9.3.26").is_err() && date("26-03-09").is_err());
    }
}
