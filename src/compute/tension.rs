//! Cable tension at hangar temperature against the type's table.

use super::Kind;
use super::input::{Failed, Input, Rows, Schema, complete, key};
use super::judged::working_unit;
use super::report::{Outcome, Report};
use crate::measure::tension::{METHOD, TensionError, TensionTable};
use crate::quantity::Dimension;

pub const KIND: Kind = Kind {
    name: "tension",
    about: mark!("Cable tension against the type's table at hangar temperature"),
    schema: Schema {
        settings: &[
            key("name", mark!("which cable")),
            key("measured", mark!("measured tension")),
            key("temperature", mark!("temperature of the structure")),
            key("tolerance", mark!("allowed either way")),
        ],
        tables: &[Rows {
            name: "row",
            what: mark!("a row of the table"),
            keys: &[
                key("temperature", mark!("temperature")),
                key("tension", mark!("tension that the manual asks there")),
            ],
        }],
    },
    example: include_str!("../../demo/compute/tension.csv"),
    takes_recording: false,
    run,
};

fn run(input: &Input) -> Result<Report, Failed> {
    let s = &input.settings;
    let rows = input.required_rows("row")?;
    let degrees = working_unit(input, rows, "temperature")?;
    let force = working_unit(input, rows, "tension")?;
    let table: Vec<Option<(f64, f64)>> = rows
        .iter()
        .map(|row| {
            let temperature = row.required_value("temperature", degrees);
            let tension = row.required_value("tension", force);
            Some((temperature?, tension?))
        })
        .collect();
    let temperature = s.required_value("temperature", degrees);
    let measured = s.optional("measured", s.value("measured", force));
    let tolerance = s.optional("tolerance", s.value("tolerance", force));
    let table: Vec<(f64, f64)> = complete(table.into_iter().collect())?;
    let (temperature, measured, tolerance) =
        (complete(temperature)?, complete(measured)?, complete(tolerance)?);
    if degrees.dimension() != Dimension::Temperature {
        return Err(rows[0].refuse_key("temperature", say!("the temperature has to be given in °C or °F")));
    }
    if force.dimension() != Dimension::Force {
        return Err(
            rows[0].refuse_key("tension", say!("the tension is a force; give it in N, daN, kgf or lbf"))
        );
    }
    let table = TensionTable::new(table).map_err(|error| match error {
        TensionError::NotRising { row } => {
            rows.get(row - 1).map_or_else(|| input.refuse("refused", &error), |row| row.refuse(&error))
        }
        other => input.refuse("refused", other),
    })?;
    let wanted = match table.at(temperature) {
        Ok(wanted) => wanted,
        Err(error @ TensionError::OutsideTable { .. }) => {
            let mut report = Report::new(KIND.name, METHOD);
            report.outcome = Outcome::CannotDecide;
            report.say(say!("Cannot tell: {error}.", error));
            return Ok(report);
        }
        Err(error) => return Err(s.refuse_key("temperature", error)),
    };
    let mut report = Report::new(KIND.name, METHOD);
    let symbol = force.symbol();
    report.figures.value("temperature", say!("Temperature"), temperature, degrees.symbol());
    report.figures.value("wanted", say!("Tension asked by the table"), wanted, symbol);
    match (measured, tolerance) {
        (Some(measured), Some(tolerance)) => {
            let found = table
                .judge(measured, temperature, tolerance)
                .map_err(|error| s.refuse_key("measured", error))?;
            report.outcome = if found.within { Outcome::Within } else { Outcome::Outside };
            let deviation = super::report::shown(found.deviation);
            report.say(if found.within {
                say!("Within: {} {symbol} from what the table asks.", deviation, symbol)
            } else {
                say!("Outside: {} {symbol} from what the table asks.", deviation, symbol)
            });
            report.figures.value("measured", say!("Measured tension"), measured, symbol);
            report.figures.value("deviation", say!("Measured less asked"), found.deviation, symbol);
            report.figures.value("tolerance", say!("Tolerance"), tolerance, symbol);
        }
        (Some(_), None) => {
            return Err(s.refuse_key(
                "measured",
                say!("a measured tension needs the manual's tolerance; add tolerance"),
            ));
        }
        (None, Some(_)) => {
            return Err(
                s.refuse_key("tolerance", say!("a tolerance needs the measured tension; add measured"))
            );
        }
        (None, None) => {
            report.say(say!("Computed: the table asks {} {symbol}.", super::report::shown(wanted), symbol))
        }
    }
    report.caution(say!(
        "a chart made for a metal airframe does not hold for a composite one; use the type's own table"
    ));
    Ok(report)
}
