//! Rigging symmetry: the same distance or angle on both sides.

use super::Kind;
use super::input::{Failed, Input, Record, Rows, Schema, complete, key};
use super::judged::{overall, read_limit};
use super::report::{Figures, Outcome, Report};
use crate::measure::limits::Limit;
use crate::measure::symmetry::{METHOD, Nominal, Symmetry, SymmetryLimit, compare};
use crate::quantity::Unit;

pub const KIND: Kind = Kind {
    name: "symmetry",
    about: mark!("Left against right, and each against the nominal value"),
    schema: Schema {
        settings: &[],
        tables: &[Rows {
            name: "distance",
            what: mark!("a distance"),
            keys: &[
                key("name", mark!("from where to where")),
                key("left", mark!("reading on the left")),
                key("right", mark!("reading on the right")),
                key("nominal", mark!("the manual's value, with tolerance or with minus and plus")),
                key("tolerance", mark!("allowed either way")),
                key("minus", mark!("allowed below")),
                key("plus", mark!("allowed above")),
                key("difference_max", mark!("largest difference between the sides")),
            ],
        }],
    },
    example: include_str!("../../demo/compute/symmetry.csv"),
    takes_recording: false,
    run,
};

fn run(input: &Input) -> Result<Report, Failed> {
    let rows = input.required_rows("distance")?;
    let mut report = Report::new(KIND.name, METHOD);
    let found: Vec<Result<(Symmetry, Figures), Failed>> = rows.iter().map(distance).collect();
    for (index, found) in found.into_iter().enumerate() {
        let (symmetry, figures) = found?;
        let outcome = if symmetry.within() { Outcome::Within } else { Outcome::Outside };
        report.outcome = report.outcome.graver(outcome);
        report.row("distances", rows[index].text_or("name", &say!("distance {}", index + 1)), figures);
    }
    report.say(overall(report.outcome, &say!("1 distance" | "{n} distances" % rows.len())));
    report.caution(say!(
        "points and tolerances are those of the type's manual; stretch the tape alike on both sides"
    ));
    Ok(report)
}

fn distance(row: &Record) -> Result<(Symmetry, Figures), Failed> {
    let unit = complete(row.required("left", row.any_quantity("left")))?.unit;
    let left = row.value("left", unit);
    let right = row.required_value("right", unit);
    let side_to_side = row.optional("difference_max", row.value("difference_max", unit));
    let nominal = nominal(row, unit);
    let limit = SymmetryLimit { nominal: complete(nominal)?, side_to_side: complete(side_to_side)? };
    let found = compare(complete(left)?, complete(right)?, limit).map_err(|error| row.refuse(error))?;
    let symbol = unit.symbol();
    let mut figures = Figures::new();
    figures.value("difference", say!("Left less right"), found.difference, symbol);
    if let Some((left, right)) = found.deviations {
        figures.value("left_deviation", say!("Left less nominal"), left, symbol);
        figures.value("right_deviation", say!("Right less nominal"), right, symbol);
    }
    if let Some((left, right)) = found.sides_within_nominal {
        figures.flag("left_within", say!("Left within"), left);
        figures.flag("right_within", say!("Right within"), right);
    }
    if let (Some(within), Some(largest)) = (found.difference_within, limit.side_to_side) {
        figures.value("difference_max", say!("Largest difference"), largest, symbol);
        figures.flag("difference_within", say!("Difference within"), within);
    }
    figures.outcome(
        if found.within() { Outcome::Within } else { Outcome::Outside },
        if found.within() { say!("within") } else { say!("outside") },
    );
    Ok((found, figures))
}

/// The nominal value with its tolerances; the range is checked as any limit is.
fn nominal(row: &Record, unit: Unit) -> Option<Option<Nominal>> {
    match read_limit(row, unit)? {
        None => Some(None),
        Some(Limit::Both { .. }) => {
            let value = row.value("nominal", unit)?;
            let one = |key: &'static str| {
                if row.has(key) {
                    row.value(key, unit)
                } else {
                    row.or("tolerance", 0.0, row.value("tolerance", unit))
                }
            };
            Some(Some(Nominal { value, minus: one("minus")?, plus: one("plus")? }))
        }
        Some(_) => None,
    }
}
