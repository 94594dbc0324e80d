//! A reading against its limit. Recomputed at every fold from what was recorded, never stored.

use std::cmp::Ordering;

use chrono::NaiveDate;

use crate::checklist::{Measure, MeasureKind};
use crate::event::{InstrumentUse, ReadingValue};
use crate::quantity::{Limit, Quantity, Unit};

/// How a reading stands to its limit.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum ReadingVerdict {
    Within,
    Outside,
    /// The limit lies inside the uncertainty, or the data do not suffice.
    CannotDecide,
    /// The checklist gives no limit: the value is recorded.
    Recorded,
}

impl ReadingVerdict {
    pub fn word(self) -> &'static str {
        match self {
            ReadingVerdict::Within => "within",
            ReadingVerdict::Outside => "outside",
            ReadingVerdict::CannotDecide => "cannot decide",
            ReadingVerdict::Recorded => "recorded",
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judgement {
    pub verdict: ReadingVerdict,
    /// The verdict in plain words, with the figures behind it.
    pub words: String,
}

impl Judgement {
    pub fn new(verdict: ReadingVerdict, words: impl Into<String>) -> Self {
        Judgement { verdict, words: words.into() }
    }

    fn recorded(words: impl Into<String>) -> Self {
        Judgement::new(ReadingVerdict::Recorded, words)
    }

    fn within_if(is_within: bool, words: impl Into<String>) -> Self {
        Judgement::new(if is_within { ReadingVerdict::Within } else { ReadingVerdict::Outside }, words)
    }
}

/// Judges one reading. `day` is the day on which it was taken.
pub fn judge(
    measure: &Measure,
    value: &ReadingValue,
    instrument: Option<&InstrumentUse>,
    day: Option<NaiveDate>,
) -> Judgement {
    match (&measure.kind, value) {
        (MeasureKind::Number { limit, .. }, ReadingValue::Number { quantity }) => {
            against(limit.as_ref(), quantity, instrument)
        }
        (MeasureKind::Pair { unit, limit, max_difference }, ReadingValue::Pair { left, right }) => {
            pair(*unit, limit.as_ref(), max_difference.as_ref(), left, right)
        }
        (MeasureKind::Count { min, max, .. }, ReadingValue::Count { count }) => {
            let is_within = min.is_none_or(|min| *count >= min) && max.is_none_or(|max| *count <= max);
            match measure.limit_words() {
                Some(limit) => Judgement::within_if(is_within, format!("{count} against {limit}")),
                None => Judgement::recorded(count.to_string()),
            }
        }
        (MeasureKind::Choice { accept, .. }, ReadingValue::Choice { choice }) if !accept.is_empty() => {
            let words = format!("\"{choice}\"; good would be {}", accept.join(", "));
            Judgement::within_if(accept.contains(choice), words)
        }
        (MeasureKind::Date { not_before_today, not_before }, ReadingValue::Date { date }) => {
            let earliest = if *not_before_today { day } else { *not_before };
            match earliest {
                Some(earliest) => {
                    Judgement::within_if(*date >= earliest, format!("{date}, not before {earliest}"))
                }
                None => Judgement::recorded(date.to_string()),
            }
        }
        (MeasureKind::LoadDeflection(demand), ReadingValue::Series { points }) => {
            super::judge_series::judge_series(demand, points, instrument)
        }
        (_, ReadingValue::Choice { choice }) => Judgement::recorded(choice.clone()),
        (_, ReadingValue::Text { text }) => Judgement::recorded(text.clone()),
        (_, other) => Judgement::new(
            ReadingVerdict::CannotDecide,
            format!("a {} cannot be judged as a {}", value_word(other), measure.kind_word()),
        ),
    }
}

fn value_word(value: &ReadingValue) -> &'static str {
    match value {
        ReadingValue::Number { .. } => "number",
        ReadingValue::Pair { .. } => "pair",
        ReadingValue::Count { .. } => "count",
        ReadingValue::Choice { .. } => "choice",
        ReadingValue::Text { .. } => "text",
        ReadingValue::Date { .. } => "date",
        ReadingValue::Series { .. } => "series",
    }
}

fn against(limit: Option<&Limit>, quantity: &Quantity, _instrument: Option<&InstrumentUse>) -> Judgement {
    let Some(limit) = limit else { return Judgement::recorded(quantity.to_string()) };
    match limit.contains(quantity) {
        Ok(is_within) => Judgement::within_if(is_within, format!("{quantity} against {limit}")),
        Err(error) => Judgement::new(ReadingVerdict::CannotDecide, error.to_string()),
    }
}

fn pair(
    unit: Unit,
    limit: Option<&Limit>,
    max_difference: Option<&crate::quantity::Number>,
    left: &Quantity,
    right: &Quantity,
) -> Judgement {
    let judged = || -> Result<Judgement, crate::quantity::QuantityError> {
        let mut outside = Vec::new();
        for (side, quantity) in [("left", left), ("right", right)] {
            if let Some(limit) = limit
                && !limit.contains(quantity)?
            {
                outside.push(format!("{side} {quantity} against {limit}"));
            }
        }
        let mut words = format!("left {left}, right {right}");
        if let Some(most) = max_difference {
            let apart = difference(left, right, unit)?;
            let most = Quantity::new(*most, unit);
            words = format!("{words}, {apart} apart");
            if apart.compare(&most)? == Ordering::Greater {
                outside.push(format!("{apart} apart against at most {most}"));
            }
        }
        if limit.is_none() && max_difference.is_none() {
            return Ok(Judgement::recorded(words));
        }
        Ok(if outside.is_empty() {
            Judgement::new(ReadingVerdict::Within, words)
        } else {
            Judgement::new(ReadingVerdict::Outside, outside.join("; "))
        })
    };
    judged().unwrap_or_else(|error| Judgement::new(ReadingVerdict::CannotDecide, error.to_string()))
}

/// How far two quantities are apart, without sign, in `unit`.
fn difference(
    left: &Quantity,
    right: &Quantity,
    unit: Unit,
) -> Result<Quantity, crate::quantity::QuantityError> {
    let (left, right) = (left.to(unit)?.value.decimal(), right.to(unit)?.value.decimal());
    Ok(Quantity::new((left - right).abs().into(), unit))
}
