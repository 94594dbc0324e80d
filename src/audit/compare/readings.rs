//! The readings of one measurement then and now.

use rust_decimal::{Decimal, RoundingStrategy};
use serde::Serialize;

use super::moved::{Moved, Part, Then, moved};
use super::moved_series::moved_series;
use crate::checklist::{Measure, MeasureKind, Step};
use crate::event::{InstrumentUse, ReadingValue};
use crate::quantity::{Limit, Number, Quantity, Unit};
use crate::session::value_words;
use crate::state::{Reading, ReadingVerdict, StepState};

/// One measurement of a step in both sessions.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct ReadingComparison {
    /// Id of the measurement.
    pub measure: String,
    pub title: String,
    /// Readings that held at the end of each session, as entered.
    pub then: Vec<String>,
    pub now: Vec<String>,
    /// Ids of the instruments.
    pub instrument_then: Option<String>,
    pub instrument_now: Option<String>,
    pub verdict_then: Option<String>,
    pub verdict_now: Option<String>,
    /// It was within its limit, or recorded, and is now outside or cannot be decided.
    pub verdict_worse: bool,
    /// How far each value moved; empty where they cannot be set beside each other.
    pub moved: Vec<Moved>,
}

impl ReadingComparison {
    pub fn needs_a_look(&self) -> bool {
        self.verdict_worse || self.moved.iter().any(Moved::needs_a_look)
    }

    pub fn is_same(&self) -> bool {
        !self.verdict_worse
            && if self.moved.is_empty() {
                self.then == self.now
            } else {
                self.moved.iter().all(|moved| moved.unchanged)
            }
    }

    /// Share of the room that the most moved value used up.
    pub fn used_up(&self) -> Decimal {
        self.moved.iter().map(|moved| moved.used_up).max().unwrap_or_default()
    }
}

/// What one session read for one measurement.
#[derive(Clone, Copy)]
struct Taken<'a> {
    measure: &'a Measure,
    state: &'a StepState,
}

impl<'a> Taken<'a> {
    fn readings(self) -> Vec<&'a Reading> {
        self.state.readings_of(&self.measure.id).collect()
    }

    fn words(self) -> Vec<String> {
        self.readings().iter().map(|reading| value_words(&reading.taken.value)).collect()
    }

    fn instruments(self) -> Option<String> {
        self.readings().last().and_then(|reading| reading.taken.used().ids())
    }

    /// The worst of the judgements that count.
    fn verdict(self) -> Option<(ReadingVerdict, String)> {
        let judgements = self.state.judgements(self.measure);
        judgements
            .iter()
            .max_by_key(|judgement| badness(judgement.verdict))
            .map(|judgement| (judgement.verdict, judgement.headline()))
    }

    fn last_instrument(self) -> Option<&'a InstrumentUse> {
        self.readings().last().and_then(|reading| reading.taken.instrument.as_ref())
    }
}

fn badness(verdict: ReadingVerdict) -> u8 {
    match verdict {
        ReadingVerdict::Recorded => 0,
        ReadingVerdict::Within => 1,
        ReadingVerdict::CannotDecide => 2,
        ReadingVerdict::Outside => 3,
    }
}

/// Every measurement of which either session has a reading, in the order of the step now.
pub(super) fn compare_readings(
    (step_then, then): (&Step, &StepState),
    (step_now, now): (&Step, &StepState),
) -> Vec<ReadingComparison> {
    let gone = step_then.measures.iter().filter(|measure| step_now.measure(&measure.id).is_none());
    step_now
        .measures
        .iter()
        .chain(gone)
        .filter_map(|measure| {
            let was = step_then.measure(&measure.id).map(|measure| Taken { measure, state: then });
            let is = step_now.measure(&measure.id).map(|measure| Taken { measure, state: now });
            compare(measure, was, is)
        })
        .collect()
}

fn compare(measure: &Measure, then: Option<Taken<'_>>, now: Option<Taken<'_>>) -> Option<ReadingComparison> {
    let words = |taken: Option<Taken<'_>>| taken.map(Taken::words).unwrap_or_default();
    let (was, is) = (words(then), words(now));
    if was.is_empty() && is.is_empty() {
        return None;
    }
    let (verdict_then, verdict_now) = (then.and_then(Taken::verdict), now.and_then(Taken::verdict));
    let bad = |verdict: &Option<(ReadingVerdict, String)>| {
        verdict.as_ref().map_or(0, |(verdict, _)| badness(*verdict))
    };
    Some(ReadingComparison {
        measure: measure.id.clone(),
        title: measure.title.clone(),
        then: was,
        now: is,
        instrument_then: then.and_then(Taken::instruments),
        instrument_now: now.and_then(Taken::instruments),
        verdict_worse: bad(&verdict_now) > 1 && bad(&verdict_now) > bad(&verdict_then),
        verdict_then: verdict_then.map(|(_, words)| words),
        verdict_now: verdict_now.map(|(_, words)| words),
        moved: then.zip(now).map(|(then, now)| moves(then, now)).unwrap_or_default(),
    })
}

/// The limit is that of the session now: the question is how much room is left.
fn moves(then: Taken<'_>, now: Taken<'_>) -> Vec<Moved> {
    if let (MeasureKind::LoadDeflection(was), MeasureKind::LoadDeflection(is)) =
        (&then.measure.kind, &now.measure.kind)
    {
        let both = then.readings().last().copied().zip(now.readings().last().copied());
        return both.map(|(old, new)| moved_series((was, old), (is, new))).unwrap_or_default();
    }
    let (was, is) = (values(then), values(now));
    is.into_iter()
        .filter_map(|(of, value, limit)| {
            let (_, before, _) = was.iter().find(|(known, ..)| same_kind_of_value(known, &of))?;
            let then = Then { value: *before, instrument: then.last_instrument() };
            let now = Then { value, instrument: now.last_instrument() };
            moved(then, now, limit.as_ref()).map(|moved| Moved { of, ..moved })
        })
        .collect()
}

/// A mean stands beside a single reading as well.
fn same_kind_of_value(a: &Option<Part>, b: &Option<Part>) -> bool {
    let plain = |of: &Option<Part>| matches!(of, None | Some(Part::Mean(_)));
    a == b || (plain(a) && plain(b))
}

type Value = (Option<Part>, Quantity, Option<Limit>);

/// The values of a measurement that can move, each with its name and its limit.
fn values(taken: Taken<'_>) -> Vec<Value> {
    let readings = taken.readings();
    let Some(last) = readings.last() else { return Vec::new() };
    match (&taken.measure.kind, &last.taken.value) {
        (MeasureKind::Number { limit, .. }, ReadingValue::Number { .. }) => {
            let all = readings.iter().filter_map(|reading| match reading.taken.value {
                ReadingValue::Number { quantity } => Some(quantity),
                _ => None,
            });
            mean(&all.collect::<Vec<_>>()).map(|(of, value)| (of, value, limit.clone())).into_iter().collect()
        }
        (MeasureKind::Pair { unit, limit, max_difference }, ReadingValue::Pair { left, right }) => {
            pair(*left, *right, limit.as_ref(), max_difference.map(|most| Quantity::new(most, *unit)))
        }
        (MeasureKind::Count { unit, min, max }, ReadingValue::Count { count }) => {
            let of = |count: &u32| Quantity::new(Number::from(i64::from(*count)), *unit);
            let limit = Limit::new(min.as_ref().map(of), max.as_ref().map(of)).ok();
            vec![(None, of(count), limit)]
        }
        _ => Vec::new(),
    }
}

fn pair(left: Quantity, right: Quantity, limit: Option<&Limit>, most: Option<Quantity>) -> Vec<Value> {
    let mut found =
        vec![(Some(Part::Left), left, limit.cloned()), (Some(Part::Right), right, limit.cloned())];
    let apart =
        right.to(left.unit).ok().and_then(|right| left.value.decimal().checked_sub(right.value.decimal()));
    if let Some(apart) = apart {
        let apart = Quantity::new(Number::from(apart.abs()), left.unit);
        found.push((Some(Part::Apart), apart, most.and_then(|most| Limit::new(None, Some(most)).ok())));
    }
    found
}

/// In the unit of the last reading; two more decimals than the readings have.
fn mean(all: &[Quantity]) -> Option<(Option<Part>, Quantity)> {
    let unit: Unit = all.last()?.unit;
    if let [one] = all {
        return Some((None, *one));
    }
    let converted: Option<Vec<Decimal>> =
        all.iter().map(|value| value.to(unit).ok().map(|value| value.value.decimal())).collect();
    let converted = converted?;
    let scale = converted.iter().map(Decimal::scale).max()?;
    let sum = converted.iter().try_fold(Decimal::ZERO, |sum, value| sum.checked_add(*value))?;
    let mean = sum.checked_div(Decimal::from(all.len()))?;
    let mean = mean.round_dp_with_strategy(scale + 2, RoundingStrategy::MidpointNearestEven);
    Some((Some(Part::Mean(all.len())), Quantity::new(Number::from(mean), unit)))
}
