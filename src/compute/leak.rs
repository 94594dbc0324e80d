//! Static-system leak: loss over a timed hold.

use super::Kind;
use super::input::{Failed, Input, Record, Rows, Schema, complete, key};
use super::report::{Figures, Outcome, Report};
use crate::measure::leak::{Hold, LeakLimit, LeakVerdict, METHOD, judge};
use crate::quantity::Unit;
use crate::words::said;

pub const KIND: Kind = Kind {
    name: "leak",
    about: mark!("Static leak: loss over a timed hold against the limit"),
    schema: Schema {
        settings: &[
            key("loss_max", mark!("largest loss, boundary allowed, in the kind of unit of the readings")),
            key("hold_time", mark!("time that belongs to that loss")),
        ],
        tables: &[Rows {
            name: "hold",
            what: mark!("a hold"),
            keys: &[
                key("name", mark!("which system")),
                key("start", mark!("reading when pumping stopped (ft, m, hPa, km/h …)")),
                key("end", mark!("reading at the end")),
                key("duration", mark!("time between")),
            ],
        }],
    },
    example: include_str!("../../demo/compute/leak.toml"),
    takes_recording: false,
    run,
};

fn run(input: &Input) -> Result<Report, Failed> {
    let rows = input.required_rows("hold")?;
    let mut report = Report::new(KIND.name, METHOD);
    let mut reasons = Vec::new();
    let found: Vec<Result<(LeakVerdict, Figures), Failed>> =
        rows.iter().map(|row| hold(&input.settings, row)).collect();
    for (index, found) in found.into_iter().enumerate() {
        let (verdict, figures) = found?;
        let outcome = match verdict {
            LeakVerdict::Within => Outcome::Within,
            LeakVerdict::Outside => Outcome::Outside,
            LeakVerdict::CannotTell(why) => {
                reasons.push(why);
                Outcome::CannotDecide
            }
        };
        report.outcome = report.outcome.graver(outcome);
        report.row("holds", rows[index].text_or("name", &say!("hold {}", index + 1)), figures);
    }
    report.say(match report.outcome {
        Outcome::Outside => say!("Outside: the system loses more than is allowed.").to_string(),
        Outcome::CannotDecide => {
            let why = reasons.first().copied().unwrap_or(mark!("repeat the hold"));
            say!("Cannot tell: {}.", said(why))
        }
        _ => say!("Within: the system holds.").to_string(),
    });
    report.caution(say!("the limit is that of the type's manual or the programme; whether an airworthiness rule for powered aircraft binds a sailplane is for the authority's text"));
    Ok(report)
}

fn hold(s: &Record, row: &Record) -> Result<(LeakVerdict, Figures), Failed> {
    let start = complete(row.required("start", row.any_quantity("start")))?;
    let unit = start.unit;
    let start = row.value("start", unit);
    let end = row.required_value("end", unit);
    let seconds = row.required_value("duration", Unit::Second);
    let loss = s.required_value("loss_max", unit);
    let hold_s = s.required_value("hold_time", Unit::Second);
    let hold = Hold { start: complete(start)?, end: complete(end)?, seconds: complete(seconds)? };
    let limit = LeakLimit { loss: complete(loss)?, hold_s: complete(hold_s)? };
    let found = judge(hold, limit).map_err(|error| row.refuse(error))?;
    let symbol = unit.symbol();
    let mut figures = Figures::new();
    figures.value("loss", say!("Loss"), found.loss, symbol);
    figures.value("duration", say!("Time"), hold.seconds, "s");
    figures.value("loss_per_minute", say!("Mean loss per minute"), found.per_minute, symbol);
    figures.value("loss_max", say!("Largest loss"), limit.loss, symbol);
    figures.value("hold_time", say!("  in"), limit.hold_s, "s");
    let (outcome, words) = match found.verdict {
        LeakVerdict::Within => (Outcome::Within, say!("within")),
        LeakVerdict::Outside => (Outcome::Outside, say!("outside")),
        LeakVerdict::CannotTell(why) => (Outcome::CannotDecide, said(why)),
    };
    figures.outcome(outcome, words);
    Ok((found.verdict, figures))
}
