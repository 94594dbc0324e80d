//! Numbers and pairs against their limit, with the instrument's uncertainty in between.

use std::cmp::Ordering;

use super::{Judgement, ReadingVerdict};
use crate::checklist::Guard;
use crate::event::InstrumentUse;
use crate::measure::estimate::Estimate;
use crate::measure::limits::{self, GuardRule};
use crate::measure::repeats::{certificate, digital_step};
use crate::quantity::{Limit, Number, Quantity, QuantityError, Unit, shown_rounded, shown_with_uncertainty};

/// One value against a limit.
///
/// Without a stated uncertainty the comparison is exact, ends included. With one, the guard band of the
/// checklist's rule lies around the limit, and inside it nothing is decided.
pub(super) fn against(
    limit: Option<&Limit>,
    quantity: &Quantity,
    instrument: Option<&InstrumentUse>,
    guard: Guard,
) -> Judgement {
    let Some(limit) = limit else { return Judgement::recorded(quantity.shown()) };
    let unit = limit.unit().unwrap_or(quantity.unit);
    let judged = match standard_uncertainty(instrument, unit) {
        Some(u) if guard != Guard::AllowanceInLimit => guarded(limit, quantity, unit, u, guard),
        _ => exact(limit, quantity),
    };
    judged.unwrap_or_else(|why| Judgement::new(ReadingVerdict::CannotDecide, why))
}

fn exact(limit: &Limit, quantity: &Quantity) -> Result<Judgement, String> {
    let is_within = limit.contains(quantity).map_err(|error| error.to_string())?;
    Ok(Judgement::within_if(
        is_within,
        say!("{quantity} against {limit}", quantity = quantity.shown(), limit = limit.shown()),
    ))
}

/// The limit's ends as figures in `unit`.
fn bounds(limit: &Limit, unit: Unit) -> Result<limits::Limit, String> {
    let in_unit = |quantity: &Quantity| quantity.in_unit_f64(unit).map_err(|error| error.to_string());
    match (limit.min(), limit.max()) {
        (Some(min), Some(max)) => Ok(limits::Limit::Both { lower: in_unit(min)?, upper: in_unit(max)? }),
        (Some(min), None) => in_unit(min).map(limits::Limit::Lower),
        (None, Some(max)) => in_unit(max).map(limits::Limit::Upper),
        (None, None) => Err(say!("the limit has no end").to_string()),
    }
}

fn rule(guard: Guard) -> GuardRule {
    match guard {
        Guard::Conformance95 => GuardRule::Conformance(0.95),
        Guard::Expanded2 => GuardRule::Expanded { coverage_factor: 2.0 },
        Guard::AllowanceInLimit => GuardRule::AllowanceInLimit,
    }
}

fn guarded(
    limit: &Limit,
    quantity: &Quantity,
    unit: Unit,
    u: f64,
    guard: Guard,
) -> Result<Judgement, String> {
    let measured = quantity.in_unit_f64(unit).map_err(|error| error.to_string())?;
    let value = Estimate::new(measured, u, f64::INFINITY);
    let found = limits::judge(value, bounds(limit, unit)?, rule(guard)).map_err(|error| error.to_string())?;
    let figures = say!(
        "{quantity} against {limit}; standard uncertainty {} {}, keeps the limit with probability {} %",
        rounded_uncertainty(u),
        unit.symbol(),
        format_args!("{:.0}", 100.0 * found.p_conform),
        quantity = quantity.shown(),
        limit = limit.shown()
    );
    Ok(match found.verdict {
        limits::Verdict::Within => Judgement::new(ReadingVerdict::Within, figures),
        limits::Verdict::Outside => Judgement::new(ReadingVerdict::Outside, figures),
        undecided @ limits::Verdict::CannotDecide(_) => {
            Judgement::new(ReadingVerdict::CannotDecide, format!("{figures}; {undecided}"))
        }
    })
}

/// Two significant digits (JCGM 100:2008, 7.2.6, from memory).
fn rounded_uncertainty(u: f64) -> String {
    shown_rounded(u, u)
}

/// From the certificate's expanded uncertainty (k = 2) and the display's step; nothing where neither is
/// stated, or where the instrument measures another kind of quantity.
pub fn standard_uncertainty(instrument: Option<&InstrumentUse>, unit: Unit) -> Option<f64> {
    let used = instrument?;
    let in_unit = |quantity: &Quantity| quantity.in_unit_f64(unit).ok();
    let stated = used.uncertainty.as_ref().and_then(in_unit).map(|expanded| certificate(expanded, 2.0));
    let step = used.resolution.as_ref().and_then(in_unit).map(digital_step);
    match (stated, step) {
        (None, None) => None,
        (stated, step) => Some(stated.unwrap_or(0.0).hypot(step.unwrap_or(0.0))).filter(|u| *u > 0.0),
    }
}

/// Left and right, each against the limit, and how far they are apart.
pub(super) fn pair(
    unit: Unit,
    limit: Option<&Limit>,
    max_difference: Option<&Number>,
    (left, right): (&Quantity, &Quantity),
    instrument: Option<&InstrumentUse>,
    guard: Guard,
) -> Judgement {
    let mut parts: Vec<Judgement> = Vec::new();
    if limit.is_some() {
        for (side, quantity) in [(say!("left"), left), (say!("right"), right)] {
            let judged = against(limit, quantity, instrument, guard);
            parts.push(Judgement::new(judged.verdict, format!("{side} {}", judged.words)));
        }
    }
    match apart(unit, left, right) {
        Ok(apart) => {
            let words = say!(
                "left {left}, right {right}, {apart} apart",
                left = left.shown(),
                right = right.shown(),
                apart = apart.shown()
            );
            parts.push(match max_difference {
                None => Judgement::recorded(words),
                Some(most) => {
                    let most = Quantity::new(*most, unit);
                    let is_within = !matches!(apart.compare(&most), Ok(Ordering::Greater));
                    Judgement::within_if(
                        is_within,
                        say!("{words} against at most {most}", words = words, most = most.shown()),
                    )
                }
            });
        }
        Err(error) => parts.push(Judgement::new(ReadingVerdict::CannotDecide, error.to_string())),
    }
    worst_of(parts)
}

/// The worst verdict governs; its words stand first.
fn worst_of(mut parts: Vec<Judgement>) -> Judgement {
    let rank = |verdict: ReadingVerdict| match verdict {
        ReadingVerdict::Outside => 0,
        ReadingVerdict::CannotDecide => 1,
        ReadingVerdict::Within => 2,
        ReadingVerdict::Recorded => 3,
    };
    parts.sort_by_key(|part| rank(part.verdict));
    let verdict = parts.first().map_or(ReadingVerdict::Recorded, |worst| worst.verdict);
    let words: Vec<String> = parts.into_iter().map(|part| part.words).collect();
    Judgement::new(verdict, words.join("; "))
}

/// How far two quantities are apart, without sign, in `unit`.
fn apart(unit: Unit, left: &Quantity, right: &Quantity) -> Result<Quantity, QuantityError> {
    let (left, right) = (left.to(unit)?.value.decimal(), right.to(unit)?.value.decimal());
    Ok(Quantity::new((left - right).abs().into(), unit))
}

/// The mean of several readings and their range: scatter and instrument taken together (JCGM 100:2008).
pub(super) struct Mean {
    pub estimate: Estimate,
    pub range: f64,
    pub count: usize,
}

/// In the unit of the first reading. Nothing for fewer than two readings, or where one cannot be converted.
pub(super) fn mean_of(quantities: &[Quantity], instrument: Option<&InstrumentUse>) -> Option<(Mean, Unit)> {
    let unit = quantities.first()?.unit;
    let values: Vec<f64> =
        quantities.iter().map(|quantity| quantity.in_unit_f64(unit).ok()).collect::<Option<_>>()?;
    if values.len() < 2 {
        return None;
    }
    let stated =
        instrument.and_then(|used| used.uncertainty).and_then(|expanded| expanded.in_unit_f64(unit).ok());
    let step = instrument
        .and_then(|used| used.resolution)
        .and_then(|step| step.in_unit_f64(unit).ok())
        .unwrap_or(0.0);
    let repeated = crate::measure::repeats::repeats(&values, step, None).ok()?;
    let type_b = stated.map_or(0.0, |expanded| certificate(expanded, 2.0));
    let mean = repeated.mean;
    let u = mean.standard_uncertainty.hypot(type_b);
    let nu = crate::measure::estimate::effective_degrees_of_freedom(&[
        (mean.standard_uncertainty, mean.degrees_of_freedom),
        (type_b, f64::INFINITY),
    ]);
    Some((
        Mean { estimate: Estimate::new(mean.value, u, nu), range: repeated.range, count: values.len() },
        unit,
    ))
}

/// The mean of several readings against the limit.
///
/// Gives nothing for fewer than two readings, or where one cannot be converted.
pub fn judge_repeats(
    limit: Option<&Limit>,
    quantities: &[Quantity],
    instrument: Option<&InstrumentUse>,
    guard: Guard,
) -> Option<Judgement> {
    let (mean, unit) = mean_of(quantities, instrument)?;
    let Mean { estimate, range, count } = mean;
    let u = estimate.standard_uncertainty;
    let figures = say!(
        "mean of {count} readings {} {} (range {})",
        shown_with_uncertainty(estimate.value, u),
        unit.symbol(),
        shown_rounded(range, u),
        count = count
    );
    let Some(limit) = limit else { return Some(Judgement::recorded(figures)) };
    let found = limits::judge(estimate, bounds(limit, unit).ok()?, rule(guard)).ok()?;
    let verdict = match found.verdict {
        limits::Verdict::Within => ReadingVerdict::Within,
        limits::Verdict::Outside => ReadingVerdict::Outside,
        limits::Verdict::CannotDecide(_) => ReadingVerdict::CannotDecide,
    };
    Some(Judgement::new(
        verdict,
        say!("{figures} against {limit}: {}", found.verdict, figures = figures, limit = limit.shown()),
    ))
}
