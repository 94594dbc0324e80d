//! Readings that are those of the annual before, to the last digit.

use rust_decimal::Decimal;

use super::{About, Context, Record, Seen};
use crate::event::{EntryNumber, ReadingValue};
use crate::quantity::Quantity;
use crate::state::Reading;
use crate::words::figure;

pub const NAME: &str = "identical-readings";
pub const TITLE: &str = mark!("Readings as at the annual before, to the last digit");
pub const DOC: &str = mark!(
    "Compares numbers and pairs with those of the last signed annual of the same airframe, \
measurement by measurement. Only fine readings are compared: at least 20 steps of the last digit entered or of the \
instrument's resolution, whichever is coarser. Told where 3 or more are identical and they are at least a third of \
those compared, or where 4 or more in the plan's order are identical without a break; and for every whole table or \
load series that is identical point by point, 5 points or more. Choices, counts, dates and texts, and readings carried \
over, are left out: alike by chance too easily. How likely it is cannot be computed, since the record does not hold \
how far this airframe's readings scatter from year to year; instead it says how many of how many, and by how many \
steps the others differ (median). Worth a look because figures may have been copied. From: both \
sessions' standing readings and the resolution of their instruments. Thresholds: common practice, no source."
);
pub const MAY_BE: &[&str] = &[
    mark!("a length or angle that is fixed by the structure or a stop and does not change"),
    mark!("a value set to its nominal figure at every annual"),
    mark!("an instrument that shows coarser steps than its register says"),
];

const FINE_STEPS: i64 = 20;
const SEVERAL: usize = 3;
const IN_A_ROW: usize = 4;
const POINTS: usize = 5;

/// One fine reading beside that of the annual before.
struct Compared<'a> {
    step: &'a str,
    measure: &'a str,
    entry: EntryNumber,
    /// In steps of the last digit; zero is identical.
    apart: Decimal,
}

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let Some(earlier) = &context.earlier else { return Vec::new() };
    let mut compared = Vec::new();
    let mut found = Vec::new();
    for (step, measure, now, before) in readings(&context.session, earlier) {
        match (&now.taken.value, &before.taken.value) {
            (ReadingValue::Series { .. } | ReadingValue::Table { .. }, _) => {
                found.extend(same_table(step, measure, now, before));
            }
            (new, old) => {
                for (new, old) in sides(new).iter().zip(sides(old)) {
                    let entry = now.stamp.entry;
                    let apart = apart(new, &old, now);
                    compared.extend(apart.map(|apart| Compared { step, measure, entry, apart }));
                }
            }
        }
    }
    found.extend(several(&compared));
    found
}

/// Standing readings of both sessions, paired by their place, in the order of the plan.
fn readings<'a>(
    session: &Record<'a>,
    earlier: &Record<'a>,
) -> Vec<(&'a str, &'a str, &'a Reading, &'a Reading)> {
    let mut pairs = Vec::new();
    for (planned, state) in session.steps() {
        let Some(before) = earlier.state.step(&planned.step.id) else { continue };
        for measure in &planned.step.measures {
            let old = before.readings_of(&measure.id);
            for (now, old) in state.readings_of(&measure.id).zip(old) {
                if now.stamp.carried_from.is_none() {
                    pairs.push((planned.step.id.as_str(), measure.id.as_str(), now, old));
                }
            }
        }
    }
    pairs
}

fn sides(value: &ReadingValue) -> Vec<Quantity> {
    match value {
        ReadingValue::Number { quantity } => vec![*quantity],
        ReadingValue::Pair { left, right } => vec![*left, *right],
        _ => Vec::new(),
    }
}

/// How many steps apart; nothing where the reading is too coarse to tell anything.
fn apart(now: &Quantity, before: &Quantity, reading: &Reading) -> Option<Decimal> {
    let before = before.to(now.unit).ok()?.value.decimal();
    let value = now.value.decimal();
    let digit = Decimal::new(1, value.scale());
    let shown = reading.taken.instrument.as_ref().and_then(|used| used.resolution);
    let shown = shown.filter(|_| now.unit.offset().is_zero()).and_then(|shown| shown.to(now.unit).ok());
    let step = shown.map_or(digit, |shown| shown.value.decimal().max(digit));
    let fine = value.abs() >= step * Decimal::from(FINE_STEPS);
    fine.then(|| (value - before).abs() / step)
}

fn same_table(step: &str, measure: &str, now: &Reading, before: &Reading) -> Option<Seen> {
    let points = match (&now.taken.value, &before.taken.value) {
        (ReadingValue::Series { points }, ReadingValue::Series { points: old }) if points == old => {
            points.len()
        }
        (ReadingValue::Table { text }, ReadingValue::Table { text: old }) if text.trim() == old.trim() => {
            text.lines().filter(|line| line.chars().any(|c| c.is_ascii_digit())).count()
        }
        _ => return None,
    };
    let about = About::Reading { step: step.to_string(), measure: measure.to_string() };
    let words =
        say!("{measure} of {step}: all {points} lines are those of the annual before", measure, step, points);
    (points >= POINTS).then(|| Seen::new(about, vec![now.stamp.entry], words))
}

fn several(compared: &[Compared<'_>]) -> Option<Seen> {
    let same: Vec<&Compared<'_>> = compared.iter().filter(|one| one.apart.is_zero()).collect();
    let row = compared.split(|one| !one.apart.is_zero()).map(<[_]>::len).max().unwrap_or(0);
    let many = same.len() >= SEVERAL && same.len() * 3 >= compared.len();
    if !many && row < IN_A_ROW {
        return None;
    }
    let mut words = say!("{} of {} fine readings are those of the annual before", same.len(), compared.len());
    if row >= IN_A_ROW {
        words.push_str(&say!(", {row} of them without a break", row));
    }
    let mut others: Vec<Decimal> =
        compared.iter().map(|one| one.apart).filter(|apart| !apart.is_zero()).collect();
    others.sort();
    if let Some(median) = others.get(others.len() / 2) {
        words.push_str(&say!("; the others differ by {} steps (median)", figure(median.round().normalize())));
    }
    let mut about: Vec<About> = same
        .iter()
        .map(|one| About::Reading { step: one.step.to_string(), measure: one.measure.to_string() })
        .collect();
    about.dedup();
    Some(Seen { about, entries: same.iter().map(|one| one.entry).collect(), words })
}
