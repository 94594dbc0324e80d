//! A reading against its limit. Recomputed at every fold from what was recorded, never stored.

use chrono::NaiveDate;

use super::compare_series::Card;
use super::judge_number;
use super::own_past::{Now, own_past};
use crate::checklist::{Measure, MeasureKind};
use crate::event::{InstrumentUse, ReadingValue, Used};
use crate::measure::compare;
use crate::words::{self, all_of_checklist, of_checklist, said};

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
            ReadingVerdict::Within => mark!("within"),
            ReadingVerdict::Outside => mark!("outside"),
            ReadingVerdict::CannotDecide => mark!("cannot decide"),
            ReadingVerdict::Recorded => mark!("recorded"),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Judgement {
    pub verdict: ReadingVerdict,
    /// The verdict in plain words, with the figures behind it.
    pub words: String,
    /// Against the reference airframes, where the measurement is compared with them.
    pub comparison: Option<compare::Verdict>,
}

impl Judgement {
    pub fn new(verdict: ReadingVerdict, words: impl Into<String>) -> Self {
        Judgement { verdict, words: words.into(), comparison: None }
    }

    /// The verdict in a few words: the comparison first, where there is one.
    pub fn headline(&self) -> String {
        let compared = self.comparison.map(|comparison| match comparison {
            compare::Verdict::Consistent => say!("consistent"),
            compare::Verdict::Softer => say!("softer"),
            compare::Verdict::Stiffer => say!("stiffer"),
            compare::Verdict::CannotTell(_) => say!("cannot tell"),
        });
        match (compared, self.verdict) {
            (None, verdict) => said(verdict.word()).to_string(),
            (Some(compared), ReadingVerdict::Recorded) => compared.to_string(),
            (Some(compared), verdict) => {
                say!("{compared} ({} its limits)", said(verdict.word()), compared = compared)
            }
        }
    }

    pub(super) fn recorded(words: impl Into<String>) -> Self {
        Judgement::new(ReadingVerdict::Recorded, words)
    }

    pub(super) fn within_if(is_within: bool, words: impl Into<String>) -> Self {
        Judgement::new(if is_within { ReadingVerdict::Within } else { ReadingVerdict::Outside }, words)
    }
}

/// Judges one reading of `measure` by itself; a series is also compared with the plan's references by
/// [`super::judge_in_plan`]. `day` is the day on which it was taken.
pub fn judge(
    measure: &Measure,
    value: &ReadingValue,
    instrument: Option<&InstrumentUse>,
    day: Option<NaiveDate>,
) -> Judgement {
    if let Some(why) = out_of_calibration(measure, instrument, day) {
        return Judgement::new(ReadingVerdict::CannotDecide, why);
    }
    match (&measure.kind, value) {
        (MeasureKind::Number { limit, .. }, ReadingValue::Number { quantity }) => {
            judge_number::against(limit.as_ref(), quantity, instrument, measure.guard)
        }
        (MeasureKind::Pair { unit, limit, max_difference }, ReadingValue::Pair { left, right }) => {
            judge_number::pair(
                *unit,
                limit.as_ref(),
                max_difference.as_ref(),
                (left, right),
                instrument,
                measure.guard,
            )
        }
        (MeasureKind::Count { min, max, .. }, ReadingValue::Count { count }) => {
            let is_within = min.is_none_or(|min| *count >= min) && max.is_none_or(|max| *count <= max);
            match measure.limit_words() {
                Some(limit) => Judgement::within_if(
                    is_within,
                    say!("{count} against {limit}", count = count, limit = limit),
                ),
                None => Judgement::recorded(count.to_string()),
            }
        }
        (MeasureKind::Choice { accept, .. }, ReadingValue::Choice { choice }) if !accept.is_empty() => {
            let words = say!(
                "\"{choice}\"; good would be {}",
                all_of_checklist(accept),
                choice = of_checklist(choice)
            );
            Judgement::within_if(accept.contains(choice), words)
        }
        (MeasureKind::Date { not_before_today, not_before }, ReadingValue::Date { date }) => {
            let earliest = if *not_before_today { day } else { *not_before };
            match earliest {
                Some(earliest) => Judgement::within_if(
                    *date >= earliest,
                    say!(
                        "{date}, not before {earliest}",
                        date = words::date(*date),
                        earliest = words::date(earliest)
                    ),
                ),
                None => Judgement::recorded(words::date(*date)),
            }
        }
        (MeasureKind::LoadDeflection(demand), ReadingValue::Series { points }) => {
            super::judge_series::judge_series(demand, points, Used { instrument, load: None }, None)
        }
        (MeasureKind::Table { compute }, ReadingValue::Table { text }) => {
            super::judge_table::judge_table(compute, text)
        }
        (_, ReadingValue::Choice { choice }) => Judgement::recorded(of_checklist(choice)),
        (_, ReadingValue::Text { text }) => Judgement::recorded(text.clone()),
        (_, other) => Judgement::new(
            ReadingVerdict::CannotDecide,
            say!("a {} cannot be judged as a {}", value_word(other), said(measure.kind_word())),
        ),
    }
}

/// Judges a reading as part of its plan: a load–deflection series is also compared with the references, and a
/// number or a stiffness with the airframe's own earlier annuals.
pub fn judge_in_plan(
    card: Card<'_>,
    measure: &Measure,
    value: &ReadingValue,
    used: Used<'_>,
    day: Option<NaiveDate>,
) -> Judgement {
    let instrument = used.instrument;
    if let Some(why) =
        [instrument, used.load].into_iter().find_map(|used| out_of_calibration(measure, used, day))
    {
        return Judgement::new(ReadingVerdict::CannotDecide, why);
    }
    match (&measure.kind, value) {
        (MeasureKind::LoadDeflection(demand), ReadingValue::Series { points }) => {
            super::judge_series::judge_series(demand, points, used, Some((card, day)))
        }
        (_, ReadingValue::Number { quantity }) => {
            let judgement = judge(measure, value, instrument, day);
            let unit = quantity.unit;
            let now = quantity.in_unit_f64(unit).ok().zip(day).map(|(value, day)| Now {
                value,
                standard_uncertainty: judge_number::standard_uncertainty(instrument, unit),
                unit,
                day,
            });
            with_past(judgement, now.and_then(|now| own_past(card, now)))
        }
        _ => judge(measure, value, instrument, day),
    }
}

fn with_past(mut judgement: Judgement, past: Option<String>) -> Judgement {
    if let Some(past) = past {
        judgement.words = format!("{}. {past}", judgement.words);
    }
    judgement
}

fn value_word(value: &ReadingValue) -> &'static str {
    match value {
        ReadingValue::Number { .. } => say!("of a value" => "number"),
        ReadingValue::Pair { .. } => say!("pair"),
        ReadingValue::Count { .. } => say!("count"),
        ReadingValue::Choice { .. } => say!("choice"),
        ReadingValue::Text { .. } => say!("text"),
        ReadingValue::Date { .. } => say!("date"),
        ReadingValue::Series { .. } => say!("series"),
        ReadingValue::Table { .. } => say!("table"),
    }
}

/// A reading taken with an instrument out of calibration on the day decides nothing.
fn out_of_calibration(
    measure: &Measure,
    instrument: Option<&InstrumentUse>,
    day: Option<NaiveDate>,
) -> Option<String> {
    let used = instrument.filter(|_| measure.instrument)?;
    let (due, day) = (used.calibration_due?, day?);
    (day > due).then(|| {
        say!(
            "{} was out of calibration on {day} (due {due}); take the reading again with another",
            used.id,
            day = words::date(day),
            due = words::date(due)
        )
    })
}
