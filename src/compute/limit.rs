//! Values against limits, with the instrument's uncertainty in between.

use super::Kind;
use super::input::{Failed, Input, Record, Rows, Schema, complete, key};
use super::judged::{
    ALLOWANCE_IN_LIMIT, COVERAGE_FACTOR, EXPANDED_UNCERTAINTY, GUARD_COVERAGE_FACTOR, HALF_WIDTH,
    NO_UNCERTAINTY, as_entered, judged, overall, read_contributions, read_limit, read_rule, together,
};
use super::report::{Figures, Outcome, Report};
use crate::measure::estimate::Estimate;
use crate::measure::limits::{GuardRule, METHOD};
use crate::words::said;

pub const KIND: Kind = Kind {
    name: "limit",
    about: mark!("Value, limit and the instrument's uncertainty: within, outside or cannot decide"),
    schema: Schema {
        settings: &[
            key(
                "conformance",
                mark!("decision rule: probability at the acceptance limit (95 % where no rule is stated)"),
            ),
            GUARD_COVERAGE_FACTOR,
            ALLOWANCE_IN_LIMIT,
        ],
        tables: &[Rows {
            name: "check",
            what: mark!("a check"),
            keys: &[
                key("name", mark!("what was measured")),
                key("value", mark!("the reading with its unit")),
                key("lower", mark!("lower limit")),
                key("upper", mark!("upper limit")),
                key("nominal", mark!("nominal value, with tolerance or with minus and plus")),
                key("tolerance", mark!("allowed either way from the nominal value")),
                key("minus", mark!("allowed below the nominal value")),
                key("plus", mark!("allowed above the nominal value")),
                key("uncertainty", mark!("standard uncertainty of the instrument")),
                key("degrees_of_freedom", mark!("of that uncertainty, where it is not exactly known")),
                EXPANDED_UNCERTAINTY,
                COVERAGE_FACTOR,
                HALF_WIDTH,
                key("resolution", mark!("step of the instrument")),
            ],
        }],
    },
    example: include_str!("../../demo/compute/limit.toml"),
    takes_recording: false,
    run,
};

fn run(input: &Input) -> Result<Report, Failed> {
    let rows = input.required_rows("check")?;
    let rule = complete(read_rule(&input.settings))?;
    let mut report = Report::new(KIND.name, METHOD);
    let mut outcome = Outcome::Computed;
    let mut failed = false;
    for (index, row) in rows.iter().enumerate() {
        match check(row, rule) {
            Ok((found, figures, exact)) => {
                outcome = outcome.graver(found);
                if exact && !report.cautions.iter().any(|caution| caution == said(NO_UNCERTAINTY)) {
                    report.caution(said(NO_UNCERTAINTY));
                }
                report.row("checks", row.text_or("name", &say!("check {}", index + 1)), figures);
            }
            // Every fault of the file is told in one pass.
            Err(Failed) => failed = true,
        }
    }
    if failed {
        return Err(Failed);
    }
    report.outcome = outcome;
    report.say(overall(outcome, &say!("1 value" | "{n} values" % rows.len())));
    report.caution(say!(
        "the limit is that of the type's manual or the programme; it and the licensed person decide"
    ));
    Ok(report)
}

fn check(row: &Record, rule: GuardRule) -> Result<(Outcome, Figures, bool), Failed> {
    let (unit, value) = complete(as_entered(row, "value"))?;
    let limit = read_limit(row, unit);
    let parts = read_contributions(row, unit);
    let limit = complete(limit)?
        .ok_or_else(|| row.refuse(say!("there is no limit; add lower, upper, or nominal and tolerance")))?;
    let (u, nu) = together(row, &complete(parts)?)?;
    let mut figures = Figures::new();
    let value = Estimate::new(value, u, nu);
    figures.estimate("value", say!("Value"), &value, unit.symbol());
    let outcome = judged(row, value, limit, rule, unit.symbol(), &mut figures)?;
    Ok((outcome, figures, u == 0.0))
}
