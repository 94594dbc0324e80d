//! A value just inside its limit, where one outside was corrected or taken back.

use rust_decimal::Decimal;

use super::{About, Context, Seen};
use crate::checklist::{Measure, MeasureKind};
use crate::event::ReadingValue;
use crate::quantity::{Limit, Quantity, Unit};
use crate::state::{Reading, ReadingVerdict};
use crate::words::{figure, of_checklist};

pub const NAME: &str = "just-inside";
pub const TITLE: &str = mark!("Just inside after a value outside was replaced");
pub const DOC: &str = mark!(
    "Tells a number or a side of a pair that stands within its limit and no further from its end \
than the instrument's resolution or 5 % of the tolerance, whichever is more, where a reading of the same measurement \
outside that limit was corrected or taken back before. The tolerance is the width of the limit, or the size of the \
end where it has only one. Worth a look because one reading was exchanged for one that just passes. A value measured \
anew after a rectification replaces none and is not told. From: the step's readings, struck ones included, their \
instruments and the plan's limits. The 5 %: common practice, no source."
);
pub const MAY_BE: &[&str] = &[
    mark!("a slip of the pen or a misread scale, put right"),
    mark!("set or adjusted at once, and measured again"),
    mark!("taken again with a better instrument or a better hold"),
];

/// 5 % of the tolerance.
const SHARE: Decimal = Decimal::from_parts(5, 0, 0, false, 2);

pub fn find(context: &Context<'_>) -> Vec<Seen> {
    let session = &context.session;
    let mut found = Vec::new();
    for (id, step) in &session.state.steps {
        for now in step.readings.iter().filter(|reading| reading.struck.is_none()) {
            let planned = session.step_at(now.stamp.entry, id);
            let Some(measure) = planned.and_then(|planned| planned.step.measure(&now.taken.measure)) else {
                continue;
            };
            // The last one outside that was replaced before; it is told once, with the value that stands.
            let before = step.readings.iter().rev().find(|before| {
                before.taken.measure == now.taken.measure
                    && before.round == now.round
                    && before.stamp.entry < now.stamp.entry
                    && before.judgement.verdict == ReadingVerdict::Outside
                    && before.struck.as_ref().is_some_and(|struck| struck.by_entry <= now.stamp.entry)
            });
            if let Some(before) = before {
                found.extend(seen(id, measure, before, now));
            }
        }
    }
    found
}

fn seen(step: &str, measure: &Measure, before: &Reading, now: &Reading) -> Option<Seen> {
    let limit = match &measure.kind {
        MeasureKind::Number { limit, .. } | MeasureKind::Pair { limit, .. } => limit.as_ref()?,
        _ => return None,
    };
    let resolution = now.taken.instrument.as_ref().and_then(|used| used.resolution);
    let (old, new) = sides(&before.taken.value).zip(sides(&now.taken.value))?;
    let (was, is, left) = old.iter().zip(&new).find_map(|(was, is)| {
        let outside = !limit.contains(was).ok()?;
        let left = close(limit, is, resolution.as_ref())?;
        outside.then_some((*was, *is, left))
    })?;
    let struck = before.struck.as_ref()?;
    let about = About::Reading { step: step.to_string(), measure: measure.id.clone() };
    let entries = vec![before.stamp.entry, struck.by_entry, now.stamp.entry];
    let words = say!(
        "\"{}\" of {step}: {was} was outside {limit} and replaced (\"{}\"); {is} stands, {left} inside the limit",
        of_checklist(&measure.title),
        struck.why,
        step,
        was = figure(was),
        limit = limit.shown(),
        is = figure(is),
        left = figure(left)
    );
    Some(Seen::new(about, entries, words))
}

fn sides(value: &ReadingValue) -> Option<Vec<Quantity>> {
    match value {
        ReadingValue::Number { quantity } => Some(vec![*quantity]),
        ReadingValue::Pair { left, right } => Some(vec![*left, *right]),
        _ => None,
    }
}

/// How far inside the nearer end, where that is no more than the margin.
fn close(limit: &Limit, value: &Quantity, resolution: Option<&Quantity>) -> Option<Quantity> {
    let unit = limit.unit()?;
    let figure = |quantity: &Quantity| figure_in(quantity, unit);
    if !limit.contains(value).ok()? {
        return None;
    }
    let value = figure(value)?;
    let (min, max) = (limit.min().and_then(figure), limit.max().and_then(figure));
    let left = [min.map(|min| value - min), max.map(|max| max - value)].into_iter().flatten().min()?;
    let tolerance = match (min, max) {
        (Some(min), Some(max)) => max - min,
        (one, other) => one.or(other)?.abs(),
    };
    // A resolution is a difference; units with an offset (temperatures) have none here and fall back on the share.
    let step = resolution.filter(|_| unit.offset().is_zero()).and_then(figure).unwrap_or(Decimal::ZERO);
    (left <= step.max(tolerance * SHARE)).then(|| Quantity::new(left.into(), unit))
}

fn figure_in(quantity: &Quantity, unit: Unit) -> Option<Decimal> {
    quantity.to(unit).ok().map(|converted| converted.value.decimal())
}
