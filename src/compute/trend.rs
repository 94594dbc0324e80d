//! Trend of one airframe's value across annuals.

use crate::measure::sentence;
use chrono::Datelike;

use super::Kind;
use super::input::{Failed, Input, Record, Rows, Schema, complete, key};
use super::judged::working_unit;
use super::report::{Figures, Outcome, Report};
use crate::measure::estimate::Estimate;
use crate::measure::trend::{Annual, Answer, METHOD, Trend, TrendError, trend};
use crate::quantity::Unit;

/// More annuals than an airframe lives.
const MOST_ANNUALS: usize = 200;

pub const KIND: Kind = Kind {
    name: "trend",
    about: mark!("A value across annuals: trend, change, below measurement uncertainty"),
    schema: Schema {
        settings: &[key("name", mark!("what was measured"))],
        tables: &[Rows {
            name: "annual",
            what: mark!("an annual"),
            keys: &[
                key("date", mark!("date of the annual")),
                key("year", mark!("instead of the date, as a number")),
                key("value", mark!("the value with its unit")),
                key("uncertainty", mark!("its standard uncertainty")),
                key(
                    "new_series",
                    mark!("why a new series starts here: repair, modification, other gauge or load level"),
                ),
            ],
        }],
    },
    example: include_str!("../../demo/compute/trend.csv"),
    takes_recording: false,
    run,
};

fn run(input: &Input) -> Result<Report, Failed> {
    let rows = input.required_rows("annual")?;
    if rows.len() > MOST_ANNUALS {
        return Err(rows[MOST_ANNUALS]
            .refuse(say!("more than {MOST_ANNUALS} annuals are given; leave older ones out", MOST_ANNUALS)));
    }
    let unit = working_unit(input, rows, "value")?;
    let annuals: Vec<Option<Annual>> = rows.iter().map(|row| annual(row, unit)).collect();
    let annuals: Vec<Annual> = complete(annuals.into_iter().collect())?;
    let found = trend(&annuals).map_err(|error| match error {
        TrendError::NotFinite { index }
        | TrendError::Uncertainty { index }
        | TrendError::NotInOrder { index } => {
            rows.get(index).map_or_else(|| input.refuse("refused", &error), |row| row.refuse(&error))
        }
        TrendError::Lengths { .. } => input.refuse("refused", &error),
    })?;
    let names: Vec<String> = rows.iter().map(|row| row.text_or("date", &row.text_or("year", ""))).collect();
    Ok(report(&found, &annuals, &names, unit.symbol()))
}

fn annual(row: &Record, unit: Unit) -> Option<Annual> {
    let year = match (row.has("date"), row.has("year")) {
        (false, true) => row.number("year"),
        (true, true) => {
            row.refuse_key("year", say!("give either date or year, not both"));
            None
        }
        _ => row.required_date("date").map(|date| {
            let days = if date.leap_year() { 366.0 } else { 365.0 };
            f64::from(date.year()) + f64::from(date.ordinal0()) / days
        }),
    };
    let value = row.required_value("value", unit);
    let u = row.required_value("uncertainty", unit);
    Some(Annual {
        year: year?,
        value: value?,
        standard_uncertainty: u?,
        starts_new_series: row.text("new_series").map(|cell| cell.text.clone()),
    })
}

fn report(found: &Trend, annuals: &[Annual], names: &[String], unit: &str) -> Report {
    let mut report = Report::new(KIND.name, METHOD);
    report.say(sentence(&found.answer.to_string()));
    let (outcome, word) = match found.answer {
        Answer::InsufficientData { .. } => (Outcome::CannotDecide, mark!("insufficient-data")),
        Answer::Changed(_) => (Outcome::Outside, mark!("changed")),
        Answer::NoChangeLarger { .. } => (Outcome::Within, mark!("no-change-larger")),
        Answer::TrendUp => (Outcome::Outside, mark!("trend-up")),
        Answer::TrendDown => (Outcome::Outside, mark!("trend-down")),
        Answer::NoTrendShown => (Outcome::Within, mark!("no-trend-shown")),
        Answer::BelowMeasurementUncertainty => (Outcome::Within, mark!("below-measurement-uncertainty")),
    };
    report.outcome = outcome;
    let figures = &mut report.figures;
    figures.word("answer", say!("Answer"), word);
    figures.whole("annuals", say!("Annuals in the latest series"), found.annuals as u64);
    match found.answer {
        Answer::Changed(change) | Answer::NoChangeLarger { change, .. } => {
            let difference = Estimate::new(change.difference, change.standard_uncertainty, f64::INFINITY);
            figures.estimate("change", say!("Latest less first"), &difference, unit);
            figures.value("change_in_u", say!("  in standard uncertainties"), change.ratio, "");
        }
        _ => {}
    }
    if let Some(test) = &found.mann_kendall {
        figures.value("mann_kendall_s", say!("Mann-Kendall S"), test.s as f64, "");
        figures.value("mann_kendall_tau", say!("Mann-Kendall tau"), test.tau, "");
        figures.value("p_value", say!("p (two-sided)"), test.p_value, "");
        figures.flag("p_exact", say!("p is exact"), test.exact);
    }
    if let Some(line) = &found.theil_sen {
        let per_year = format!("{unit}/year");
        figures.value("slope", say!("Theil-Sen slope"), line.slope, &per_year);
        figures.interval("slope_interval", say!("  interval (95 %)"), &line.slope_interval, &per_year);
    }
    for (index, (annual, name)) in annuals.iter().zip(names).enumerate() {
        let mut row = Figures::new();
        let estimate = Estimate::new(annual.value, annual.standard_uncertainty, f64::INFINITY);
        row.value("year", say!("Year"), annual.year, "");
        row.estimate("value", say!("Value"), &estimate, unit);
        if let Some(broken) = found.breaks.iter().find(|b| b.before == index) {
            row.text("new_series", say!("A new series starts here"), broken.reason.clone());
        }
        report.row("annual_values", name.clone(), row);
    }
    report.caution(say!(
        "a trend says nothing about when a limit is reached, and no trend does not mean sound"
    ));
    report
}
