//! A value with the uncertainty of its instrument against a limit, by the decision rule that is stated.

use super::input::{Failed, Input, Key, Record, key};
use super::report::{Figures, Outcome};
use crate::measure::estimate::Estimate;
use crate::measure::limits::{GuardRule, Judgement, Limit, Verdict, judge};
use crate::measure::repeats::{Component, certificate, combine, digital_step, rectangular};
use crate::quantity::{self, Quantity, Unit};
use crate::words::figure;

/// Keys of the decision rule, as [`read_rule`] reads them, and of an instrument's uncertainty.
pub const GUARD_COVERAGE_FACTOR: Key =
    key("guard_coverage_factor", mark!("decision rule: guard band of so many standard uncertainties"));
pub const ALLOWANCE_IN_LIMIT: Key =
    key("allowance_in_limit", mark!("decision rule: yes when the limit already allows for the measurement"));
pub const EXPANDED_UNCERTAINTY: Key = key("expanded_uncertainty", mark!("from a calibration certificate"));
pub const COVERAGE_FACTOR: Key = key("coverage_factor", mark!("of that certificate (2)"));
pub const HALF_WIDTH: Key = key("half_width", mark!("the instrument is right to this, either way"));

/// Shown where the reading was taken as exact.
pub const NO_UNCERTAINTY: &str = mark!(
    "no uncertainty of the instrument is stated, so the reading was taken as exact; a value near its limit decides nothing then"
);

/// The limit of a row in `unit`: `lower`, `upper`, or `nominal` with `tolerance`, or with `minus` and `plus`.
///
/// The outer nothing means a fault, the inner one that no limit is given.
pub fn read_limit(record: &Record, unit: Unit) -> Option<Option<Limit>> {
    let get = |key: &'static str| record.optional(key, record.quantity(key, unit));
    let (lower, upper, nominal) = (get("lower")?, get("upper")?, get("nominal")?);
    let (both, minus, plus) = (get("tolerance")?, get("minus")?, get("plus")?);
    let Some(nominal) = nominal else {
        for key in ["tolerance", "minus", "plus"] {
            if record.has(key) {
                record.refuse_key(key, say!("\"{key}\" needs the nominal value; add nominal", key));
                return None;
            }
        }
        let Some(_) = lower.or(upper) else { return Some(None) };
        return ends(record, lower, upper, unit);
    };
    if lower.is_some() || upper.is_some() {
        record.refuse_key("nominal", say!("give either nominal and tolerance or lower and upper, not both"));
        return None;
    }
    let zero = Quantity::new(0.into(), nominal.unit);
    let (minus, plus) = match (both, minus, plus) {
        (Some(both), None, None) => (both, both),
        (None, None, None) => {
            record.refuse_key(
                "nominal",
                say!("a nominal value needs a tolerance; add tolerance, or minus and plus"),
            );
            return None;
        }
        (None, minus, plus) => (minus.unwrap_or(zero), plus.unwrap_or(zero)),
        (Some(_), ..) => {
            record.refuse_key("tolerance", say!("give either tolerance or minus and plus, not both"));
            return None;
        }
    };
    match quantity::Limit::around(&nominal, &minus, &plus) {
        Ok(limit) => ends(record, limit.min().copied(), limit.max().copied(), unit),
        Err(error) => {
            record.refuse_key("nominal", error);
            None
        }
    }
}

fn ends(
    record: &Record,
    lower: Option<Quantity>,
    upper: Option<Quantity>,
    unit: Unit,
) -> Option<Option<Limit>> {
    if let Err(error) = quantity::Limit::new(lower, upper) {
        record.refuse_key(if upper.is_some() { "upper" } else { "lower" }, error);
        return None;
    }
    let in_unit = |end: Option<Quantity>| end.and_then(|end| end.in_unit_f64(unit).ok());
    Some(match (in_unit(lower), in_unit(upper)) {
        (Some(lower), Some(upper)) => Some(Limit::Both { lower, upper }),
        (Some(lower), None) => Some(Limit::Lower(lower)),
        (None, Some(upper)) => Some(Limit::Upper(upper)),
        (None, None) => None,
    })
}

/// The decision rule: `conformance` (95 % where nothing is stated), `coverage_factor` or `allowance_in_limit`.
pub fn read_rule(settings: &Record) -> Option<GuardRule> {
    let conformance = settings.optional("conformance", settings.share("conformance"))?;
    let coverage = settings.optional("guard_coverage_factor", settings.number("guard_coverage_factor"))?;
    let allowed = settings.or("allowance_in_limit", false, settings.flag("allowance_in_limit"))?;
    match (conformance, coverage, allowed) {
        (None, None, false) => Some(GuardRule::default()),
        (Some(p), None, false) => Some(GuardRule::Conformance(p)),
        (None, Some(coverage_factor), false) => Some(GuardRule::Expanded { coverage_factor }),
        (None, None, true) => Some(GuardRule::AllowanceInLimit),
        _ => {
            settings.refuse(say!(
                "state one decision rule only: conformance, guard_coverage_factor or allowance_in_limit"
            ));
            None
        }
    }
}

/// The contributions of the instrument in `unit`; none is given when nothing is stated.
///
/// `uncertainty` (standard) with `degrees_of_freedom`, `expanded_uncertainty` with `coverage_factor` (2), `half_width`
/// (rectangular), `resolution` (one step).
pub fn read_contributions(record: &Record, unit: Unit) -> Option<Vec<Component>> {
    let get = |key: &'static str| record.optional(key, spread(record, key, unit));
    let mut parts = Vec::new();
    if let Some(u) = get("uncertainty")? {
        let nu = record.or("degrees_of_freedom", f64::INFINITY, record.number("degrees_of_freedom"))?;
        parts.push(Component::new(mark!("stated uncertainty"), u, nu));
    }
    if let Some(expanded) = get("expanded_uncertainty")? {
        let k = record.or("coverage_factor", 2.0, record.number("coverage_factor"))?;
        if k <= 0.0 {
            record.refuse_key(
                "coverage_factor",
                say!("the coverage factor has to be above zero; take it from the certificate"),
            );
            return None;
        }
        parts.push(Component::new(mark!("certificate"), certificate(expanded, k), f64::INFINITY));
    }
    if let Some(half) = get("half_width")? {
        parts.push(Component::new(mark!("limits of the instrument"), rectangular(half), f64::INFINITY));
    }
    if let Some(step) = get("resolution")? {
        parts.push(Component::new(mark!("resolution"), digital_step(step), f64::INFINITY));
    }
    Some(parts)
}

/// A spread in `unit`: never negative, and without the offset that temperatures have.
fn spread(record: &Record, key: &'static str, unit: Unit) -> Option<f64> {
    let quantity = record.quantity(key, unit)?;
    let zero = Quantity::new(0.into(), quantity.unit);
    let (value, zero) = (quantity.in_unit_f64(unit).ok()?, zero.in_unit_f64(unit).ok()?);
    if value < zero {
        record.refuse_key(
            key,
            say!("\"{quantity}\" is negative; enter it without the sign", quantity = quantity.shown()),
        );
        return None;
    }
    Some(value - zero)
}

/// Standard uncertainty and degrees of freedom of the contributions together; exact when there are none.
pub fn together(record: &Record, parts: &[Component]) -> Result<(f64, f64), Failed> {
    if parts.iter().all(|part| part.standard_uncertainty == 0.0) {
        return Ok((0.0, f64::INFINITY));
    }
    let combined = combine(parts, 0.95).map_err(|error| record.refuse(error))?;
    Ok((combined.standard_uncertainty, combined.effective_degrees_of_freedom))
}

/// Judges, and puts limit, guard band and probability among the figures.
pub fn judged(
    record: &Record,
    value: Estimate,
    limit: Limit,
    rule: GuardRule,
    unit: &str,
    figures: &mut Figures,
) -> Result<Outcome, Failed> {
    let judgement = judge(value, limit, rule).map_err(|error| record.refuse(error))?;
    show(&judgement, unit, figures);
    Ok(outcome_of(judgement.verdict))
}

fn show(judgement: &Judgement, unit: &str, figures: &mut Figures) {
    match judgement.limit {
        Limit::Upper(upper) => figures.value("upper_limit", say!("Upper limit"), upper, unit),
        Limit::Lower(lower) => figures.value("lower_limit", say!("Lower limit"), lower, unit),
        Limit::Both { lower, upper } => {
            figures.value("lower_limit", say!("Lower limit"), lower, unit);
            figures.value("upper_limit", say!("Upper limit"), upper, unit);
        }
    }
    figures.told("rule", say!("Decision rule"), || rule_words(judgement.rule));
    figures.value("guard_band", say!("Guard band"), judgement.guard, unit);
    if judgement.accept_from.is_finite() {
        figures.value("accept_from", say!("Accepted from"), judgement.accept_from, unit);
    }
    if judgement.accept_to.is_finite() {
        figures.value("accept_to", say!("Accepted up to"), judgement.accept_to, unit);
    }
    figures.value("p_conform", say!("Probability that the limit is kept"), judgement.p_conform, "");
    figures.outcome(outcome_of(judgement.verdict), judgement.verdict.to_string());
}

fn rule_words(rule: GuardRule) -> String {
    match rule {
        GuardRule::Conformance(p) => say!("conformance with probability {p}", p = figure(p)),
        GuardRule::Expanded { coverage_factor } => {
            say!(
                "guard band of {coverage_factor} standard uncertainties",
                coverage_factor = figure(coverage_factor)
            )
        }
        GuardRule::AllowanceInLimit => say!("the limit contains the allowance for measurement").to_string(),
    }
}

pub fn outcome_of(verdict: Verdict) -> Outcome {
    match verdict {
        Verdict::Within => Outcome::Within,
        Verdict::Outside => Outcome::Outside,
        Verdict::CannotDecide(_) => Outcome::CannotDecide,
    }
}

/// The verdict on all rows in words; `all` tells how many there are.
pub fn overall(outcome: Outcome, all: &str) -> String {
    match outcome {
        Outcome::Computed => say!("Computed: {all}, no limit to judge against.", all),
        Outcome::Within => say!("Within: {all} judged, none outside its limit.", all),
        Outcome::Outside => say!("Outside: of {all}, at least one is outside its limit.", all),
        Outcome::CannotDecide => {
            say!("Cannot decide: of {all}, at least one lies too near its limit for this measurement.", all)
        }
        Outcome::Refused => say!("Refused.").to_string(),
    }
}

/// The unit that a row's value was entered in, and its value there.
pub fn as_entered(record: &Record, key: &'static str) -> Option<(Unit, f64)> {
    let quantity = record.required(key, record.any_quantity(key))?;
    Some((quantity.unit, record.value(key, quantity.unit)?))
}

/// The working unit of a file: that of the first row's value, told apart from later rows of another kind.
pub fn working_unit(input: &Input, rows: &[Record], key: &'static str) -> Result<Unit, Failed> {
    let first =
        rows.first().ok_or_else(|| input.refuse("no-rows", say!("there are no readings; add some")))?;
    Ok(first.required(key, first.any_quantity(key)).ok_or(Failed)?.unit)
}
