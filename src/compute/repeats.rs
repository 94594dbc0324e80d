//! Repeated readings: mean, spread, expanded uncertainty and, where a limit is stated, the verdict.

use super::Kind;
use super::input::{Failed, Input, Record, Rows, Schema, complete, key};
use super::judged::{
    ALLOWANCE_IN_LIMIT, COVERAGE_FACTOR, EXPANDED_UNCERTAINTY, GUARD_COVERAGE_FACTOR, HALF_WIDTH, judged,
    overall, read_contributions, read_limit, read_rule, working_unit,
};
use super::report::{Outcome, Report};
use crate::measure::estimate::Estimate;
use crate::measure::repeats::{
    Combined, Component, METHOD, Pooled, Repeats, RepeatsError, SpreadBasis, combine, pooled_repeatability,
    rectangular, repeats, triangular,
};
use crate::quantity::Unit;
use crate::words::said;

pub const KIND: Kind = Kind {
    name: "repeats",
    about: mark!("Repeated readings: mean, spread, expanded uncertainty, verdict with a guard band"),
    schema: Schema {
        settings: &[
            key("name", mark!("what was measured")),
            key(
                "resolution",
                mark!("step of the instrument; counted once, inside the spread or in its place"),
            ),
            key("confidence", mark!("of the expanded uncertainty (95 %)")),
            key("uncertainty", mark!("further standard uncertainty of the instrument")),
            key("degrees_of_freedom", mark!("of that uncertainty, where it is not exactly known")),
            EXPANDED_UNCERTAINTY,
            COVERAGE_FACTOR,
            HALF_WIDTH,
            key("lower", mark!("lower limit")),
            key("upper", mark!("upper limit")),
            key("nominal", mark!("nominal value, with tolerance or with minus and plus")),
            key("tolerance", mark!("allowed either way from the nominal value")),
            key("minus", mark!("allowed below the nominal value")),
            key("plus", mark!("allowed above the nominal value")),
            key("conformance", mark!("decision rule: probability at the acceptance limit (95 %)")),
            GUARD_COVERAGE_FACTOR,
            ALLOWANCE_IN_LIMIT,
        ],
        tables: &[
            Rows {
                name: "reading",
                what: mark!("a reading"),
                keys: &[key("value", mark!("the reading with its unit"))],
            },
            Rows {
                name: "earlier",
                what: mark!("an earlier set"),
                keys: &[key("values", mark!("earlier repeats with the same card, for a single reading"))],
            },
            Rows {
                name: "contribution",
                what: mark!("a contribution"),
                keys: &[
                    key("name", mark!("what contributes")),
                    key("uncertainty", mark!("standard uncertainty")),
                    key("half_width", mark!("limits either way")),
                    key("shape", mark!("of the limits: rectangular or triangular")),
                    key("degrees_of_freedom", mark!("where it is not exactly known")),
                ],
            },
        ],
    },
    example: include_str!("../../demo/compute/repeats.toml"),
    takes_recording: false,
    run,
};

fn run(input: &Input) -> Result<Report, Failed> {
    let rows = input.required_rows("reading")?;
    let unit = working_unit(input, rows, "value")?;
    let values: Option<Vec<f64>> =
        rows.iter().map(|row| row.required_value("value", unit)).collect::<Vec<_>>().into_iter().collect();
    let settings = &input.settings;
    let resolution = settings.or("resolution", 0.0, settings.value("resolution", unit));
    let confidence = settings.or("confidence", 0.95, settings.share("confidence"));
    let earlier = earlier(input, unit);
    let contributions = contributions(input, unit);
    let limit = read_limit(settings, unit);
    let (values, resolution, confidence) = (complete(values)?, complete(resolution)?, complete(confidence)?);
    let (earlier, contributions, limit) = (earlier?, complete(contributions)?, complete(limit)?);
    let found = match repeats(&values, resolution, earlier) {
        Ok(found) => found,
        Err(error @ RepeatsError::SingleReading) => return Ok(undecided(error)),
        Err(error) => return Err(input.refuse("refused", error)),
    };
    let mut parts = vec![Component::new(
        mark!("readings"),
        found.mean.standard_uncertainty,
        found.mean.degrees_of_freedom,
    )];
    parts.extend(contributions);
    let combined = combine_all(settings, &parts, confidence)?;
    let mut report = report(&found, &parts, combined.as_ref(), unit);
    let value = match &combined {
        Some(all) => {
            Estimate::new(found.mean.value, all.standard_uncertainty, all.effective_degrees_of_freedom)
        }
        None => Estimate::new(found.mean.value, 0.0, f64::INFINITY),
    };
    if let Some(limit) = limit {
        report.method(crate::measure::limits::METHOD);
        let rule = complete(read_rule(settings))?;
        let outcome = judged(settings, value, limit, rule, unit.symbol(), &mut report.figures)?;
        report.outcome = outcome;
        let details = std::mem::take(&mut report.verdict);
        report.say(overall(outcome, say!("1 mean value")));
        report.say(details);
    }
    Ok(report)
}

fn undecided(error: RepeatsError) -> Report {
    let mut report = Report::new(KIND.name, METHOD);
    report.outcome = Outcome::CannotDecide;
    report.say(say!("Cannot tell: {error}.", error));
    report
}

fn earlier(input: &Input, unit: Unit) -> Result<Option<Pooled>, Failed> {
    let rows = input.rows("earlier");
    if rows.is_empty() {
        return Ok(None);
    }
    let sets: Option<Vec<Vec<f64>>> =
        rows.iter().map(|row| row.required("values", row.values("values", unit))).collect();
    pooled_repeatability(&complete(sets)?).map(Some).map_err(|error| input.refuse("refused", error))
}

/// The instrument's contributions from the settings, without its step, which is in the readings, and the listed ones.
fn contributions(input: &Input, unit: Unit) -> Option<Vec<Component>> {
    let mut parts = read_contributions(&input.settings, unit)?;
    parts.retain(|part| part.name != "resolution");
    for row in input.rows("contribution") {
        let name = row.required_text("name")?.text.clone();
        let nu = row.or("degrees_of_freedom", f64::INFINITY, row.number("degrees_of_freedom"))?;
        let u = match (row.has("uncertainty"), row.has("half_width")) {
            (true, false) => row.value("uncertainty", unit)?,
            (false, true) => half_width(row, unit)?,
            _ => {
                row.refuse(say!("give either uncertainty or half_width"));
                return None;
            }
        };
        parts.push(Component::new(&name, u, nu));
    }
    Some(parts)
}

fn half_width(row: &Record, unit: Unit) -> Option<f64> {
    let half = row.value("half_width", unit)?;
    let triangle =
        row.or("shape", false, row.choice("shape", &[("rectangular", false), ("triangular", true)]))?;
    Some(if triangle { triangular(half) } else { rectangular(half) })
}

/// Nothing when no part contributes: readings that agree exactly and no instrument stated.
fn combine_all(settings: &Record, parts: &[Component], confidence: f64) -> Result<Option<Combined>, Failed> {
    match combine(parts, confidence) {
        Ok(combined) => Ok(Some(combined)),
        Err(RepeatsError::NoComponent) => Ok(None),
        Err(error @ RepeatsError::Confidence { .. }) => Err(settings.refuse_key("confidence", error)),
        Err(error) => Err(settings.refuse(error)),
    }
}

fn report(found: &Repeats, parts: &[Component], combined: Option<&Combined>, unit: Unit) -> Report {
    let mut report = Report::new(KIND.name, METHOD);
    let symbol = unit.symbol();
    let figures = &mut report.figures;
    figures.whole("readings", say!("Readings"), found.n as u64);
    figures.estimate("mean", say!("Mean"), &found.mean, symbol);
    if let Some(s) = found.standard_deviation {
        figures.value("standard_deviation", say!("Standard deviation"), s, symbol);
    }
    figures.value("range", say!("Largest less smallest"), found.range, symbol);
    figures.word(
        "basis",
        say!("The uncertainty of the mean rests on"),
        match found.basis {
            SpreadBasis::OwnScatter => mark!("the scatter of these readings"),
            SpreadBasis::InstrumentStep => mark!("the step of the instrument"),
            SpreadBasis::PooledRepeatability => mark!("earlier repeats of the same card"),
        },
    );
    for part in parts {
        figures.value(
            &format!("u_{}", key_of(&part.name)),
            &format!("u: {}", said(&part.name)),
            part.standard_uncertainty,
            symbol,
        );
    }
    let verdict = match combined {
        Some(all) => {
            figures.value(
                "combined_standard_uncertainty",
                say!("Combined standard uncertainty"),
                all.standard_uncertainty,
                symbol,
            );
            figures.value(
                "effective_degrees_of_freedom",
                say!("Effective degrees of freedom"),
                all.effective_degrees_of_freedom,
                "",
            );
            figures.value("coverage_factor", say!("Coverage factor"), all.coverage_factor, "");
            figures.value(
                "expanded_uncertainty",
                say!("Expanded uncertainty"),
                all.expanded_uncertainty,
                symbol,
            );
            figures.share("confidence", say!("Confidence"), all.confidence);
            say!(
                "Mean {} {symbol}, expanded uncertainty {} {symbol} (confidence {} %).",
                super::report::shown(found.mean.value),
                super::report::shown(all.expanded_uncertainty),
                super::report::shown(100.0 * all.confidence),
                symbol
            )
        }
        None => say!(
            "Mean {} {symbol}; no uncertainty could be found.",
            super::report::shown(found.mean.value),
            symbol
        ),
    };
    report.say(verdict);
    if combined.is_none() {
        report.caution(say!(
            "all readings are alike and no step or uncertainty of the instrument is stated; state it"
        ));
    }
    report
}

/// The name of a contribution as part of a key.
fn key_of(name: &str) -> String {
    let letters = name.chars().map(|c| if c.is_alphanumeric() { c.to_ascii_lowercase() } else { '_' });
    letters.collect::<String>().trim_matches('_').to_string()
}
