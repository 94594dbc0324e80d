//! A reading beside the same airframe's earlier annuals.

use chrono::{Datelike, NaiveDate};

use super::Card;
use crate::measure::trend::{Annual, trend};
use crate::quantity::{Quantity, Unit};
use crate::words::{date, figure};

/// What is set beside the past: a value in `unit`, and its standard uncertainty where it has one.
#[derive(Debug, Clone, Copy)]
pub struct Now {
    pub value: f64,
    pub standard_uncertainty: Option<f64>,
    pub unit: Unit,
    pub day: NaiveDate,
}

/// The earlier values in words and, where every value has its uncertainty, whether they changed or show a trend.
/// Nothing where the record has no earlier reading of this measurement.
pub fn own_past(card: Card<'_>, now: Now) -> Option<String> {
    let mut earlier: Vec<_> = card
        .plan
        .airframe
        .earlier_readings
        .iter()
        .filter(|reading| {
            reading.step == card.step && reading.measure == card.measure && reading.date < now.day
        })
        .collect();
    earlier.sort_by_key(|reading| reading.date);
    if earlier.is_empty() {
        return None;
    }
    let shown: Vec<String> = earlier
        .iter()
        .map(|reading| say!("{} {} on {}", figure(reading.value), reading.unit.symbol(), date(reading.date)))
        .collect();
    let words = say!("This airframe before: {}.", shown.join(", "));
    let annuals: Option<Vec<Annual>> = earlier
        .iter()
        .map(|reading| {
            let in_unit = |number| Quantity::new(number, reading.unit).in_unit_f64(now.unit).ok();
            Some(Annual {
                year: broken_year(reading.date),
                value: in_unit(reading.value)?,
                standard_uncertainty: in_unit(reading.standard_uncertainty?)?,
                starts_new_series: reading.starts_new_series.clone(),
            })
        })
        .collect();
    let (Some(mut annuals), Some(standard_uncertainty)) = (annuals, now.standard_uncertainty) else {
        return Some(words);
    };
    annuals.push(Annual {
        year: broken_year(now.day),
        value: now.value,
        standard_uncertainty,
        starts_new_series: None,
    });
    Some(match trend(&annuals) {
        Ok(found) => format!("{words} {}.", sentence(&found.answer.to_string())),
        Err(why) => say!("{words} No trend: {why}.", words = words, why = why),
    })
}

/// First letter large, no stop at the end: the caller sets it.
fn sentence(text: &str) -> String {
    let text = text.trim_end_matches('.');
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// 2026-07-02 is about 2026.5.
pub fn broken_year(date: NaiveDate) -> f64 {
    let days = if date.leap_year() { 366.0 } else { 365.0 };
    f64::from(date.year()) + f64::from(date.ordinal0()) / days
}
