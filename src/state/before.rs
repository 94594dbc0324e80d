//! Earlier readings of a measurement, in words: they stand beside the field into which a new one is typed.

use crate::airframe::EarlierReading;
use crate::plan::Plan;
use crate::words::{date, figure, said};

/// How many annuals are looked back.
const SHOWN: usize = 3;

/// The newest readings by the airframe's record, newest first; a side or direction is named: "left 14.5 N/mm on 2025-11-29".
pub fn readings_before(plan: &Plan, step: &str, measure: &str) -> Vec<String> {
    let mut found: Vec<(&EarlierReading, &str)> = plan
        .airframe
        .earlier_readings
        .iter()
        .filter(|reading| reading.step == step)
        .filter_map(|reading| Some((reading, part_of(&reading.measure, measure)?)))
        .collect();
    found.sort_by_key(|(reading, _)| std::cmp::Reverse(reading.date));
    let mut days: Vec<_> = found.iter().map(|(reading, _)| reading.date).collect();
    days.dedup();
    days.truncate(SHOWN);
    let shown = days.last().copied();
    found
        .into_iter()
        .filter(|(reading, _)| shown.is_some_and(|oldest| reading.date >= oldest))
        .map(|(reading, part)| words(reading, part))
        .collect()
}

/// "" for the measurement itself, "left" for "play.left" of "play".
fn part_of<'a>(recorded: &'a str, measure: &str) -> Option<&'a str> {
    let rest = recorded.strip_prefix(measure)?;
    if rest.is_empty() { Some("") } else { rest.strip_prefix('.') }
}

fn words(reading: &EarlierReading, part: &str) -> String {
    let part = if part.is_empty() { String::new() } else { format!("{} ", said(part)) };
    let u = reading.standard_uncertainty.map_or(String::new(), |u| format!(" (u {})", figure(u)));
    let series = if reading.starts_new_series.is_some() { say!(", a new series") } else { "" };
    say!(
        "{part}{} {}{u} on {}{series}",
        figure(reading.value),
        reading.unit.symbol(),
        date(reading.date),
        part = part,
        u = u,
        series = series
    )
}
