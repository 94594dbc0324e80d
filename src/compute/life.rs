//! When life-limited items and certificates fall due.

use crate::words::said;
use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::Kind;
use super::input::{Failed, Input, Key, Record, Rows, Schema, complete, key};
use super::report::{Figures, Outcome, Report};
use crate::measure::life::{
    CalendarLength, CalendarLife, CountsFrom, Due, DueStatus, Installed, LifeError, LifeLimit, METHOD, Part,
    Renewal, Usage, falls_due_before, renew_certificate, usage_at_next_annual,
};

/// Far above any glider's counters.
const MOST: u64 = 10_000_000;

const ITEM: &[Key] = &[
    key("name", mark!("which item")),
    key("manufactured", mark!("date of manufacture")),
    key("installed", mark!("date of installation or last overhaul")),
    key("months", mark!("life in months, to the same day of the month")),
    key("calendar_months", mark!("life in calendar months, to the end of the month")),
    key("days", mark!("life in days")),
    key("from", mark!("from when the calendar counts: installation or manufacture")),
    key("hours", mark!("life in hours")),
    key("launches", mark!("life in launches")),
    key("cycles", mark!("life in cycles")),
    key("airframe_hours_then", mark!("hours of the airframe when installed (0)")),
    key("airframe_launches_then", mark!("launches of the airframe when installed (0)")),
    key("airframe_cycles_then", mark!("cycles of the airframe when installed (0)")),
    key("item_hours_then", mark!("hours that the item had already (0)")),
    key("item_launches_then", mark!("launches that the item had already (0)")),
    key("item_cycles_then", mark!("cycles that the item had already (0)")),
];

pub const KIND: Kind = Kind {
    name: "life",
    about: mark!("Due dates and remaining life of items; renewal of review certificates"),
    schema: Schema {
        settings: &[
            key("today", mark!("the day seen from")),
            key("hours", mark!("hours of the airframe today")),
            key("launches", mark!("launches of the airframe today")),
            key("cycles", mark!("cycles of the airframe today")),
            key("next_annual_months", mark!("months to the next annual (12)")),
            key("planned_hours", mark!("hours expected until then")),
            key("planned_launches", mark!("launches expected until then")),
            key("planned_cycles", mark!("cycles expected until then")),
        ],
        tables: &[
            Rows { name: "item", what: mark!("an item"), keys: ITEM },
            Rows {
                name: "certificate",
                what: mark!("a certificate"),
                keys: &[
                    key("name", mark!("which certificate")),
                    key("expiry", mark!("the date on it")),
                    key("done", mark!("date of the review or extension")),
                    key("renewal", mark!("review or extension")),
                ],
            },
        ],
    },
    example: include_str!("../../demo/compute/life.toml"),
    takes_recording: false,
    run,
};

fn run(input: &Input) -> Result<Report, Failed> {
    let s = &input.settings;
    let (items, certificates) = (input.rows("item"), input.rows("certificate"));
    if items.is_empty() && certificates.is_empty() {
        return Err(input.refuse("no-rows", say!("there is neither an item nor a certificate; add one")));
    }
    let mut report = Report::new(KIND.name, METHOD);
    if !items.is_empty() {
        let now = complete(usage_now(s))?;
        let later = later(s, &now)?;
        let found: Vec<Result<(DueStatus, Figures), Failed>> =
            items.iter().map(|row| item(row, &now, &later)).collect();
        for (index, found) in found.into_iter().enumerate() {
            let (status, figures) = found?;
            let outcome = if status == DueStatus::Running { Outcome::Within } else { Outcome::Outside };
            report.outcome = report.outcome.graver(outcome);
            report.row("items", items[index].text_or("name", &say!("item {}", index + 1)), figures);
        }
    }
    for (index, row) in certificates.iter().enumerate() {
        let figures = certificate(row)?;
        report.row("certificates", row.text_or("name", &say!("certificate {}", index + 1)), figures);
    }
    report.say(match report.outcome {
        Outcome::Outside => say!("Due: at least one item is due or overdue; no further use."),
        Outcome::Within => say!("Within life: no item is due."),
        _ => say!("Computed: the new expiry stands below."),
    });
    report.caution(say!("the rule that applies and its tolerance are for the programme and the authority's text; this only computes"));
    Ok(report)
}

fn usage_now(s: &Record) -> Option<Usage> {
    let date = s.required_date("today");
    let hours = s.or("hours", Decimal::ZERO, hours(s, "hours"));
    let launches = s.or("launches", 0, s.whole("launches", MOST));
    let cycles = s.or("cycles", 0, s.whole("cycles", MOST));
    Some(Usage { date: date?, hours: hours?, launches: launches?, cycles: cycles? })
}

/// Hours as a bare number or with the unit h.
fn hours(record: &Record, key: &str) -> Option<Decimal> {
    let cell = record.text(key)?;
    match cell.bare_before("h") {
        Ok(number) if !number.decimal().is_sign_negative() => Some(number.decimal()),
        Ok(_) => {
            record.refuse_key(key, say!("\"{}\" is negative; enter the hours without a sign", cell.text));
            None
        }
        Err(error) => {
            record.refuse_key(key, error);
            None
        }
    }
}

fn later(s: &Record, now: &Usage) -> Result<Usage, Failed> {
    let months = s.or("next_annual_months", 12, s.whole("next_annual_months", 1_200));
    let planned_hours = s.or("planned_hours", Decimal::ZERO, hours(s, "planned_hours"));
    let launches = s.or("planned_launches", 0, s.whole("planned_launches", MOST));
    let cycles = s.or("planned_cycles", 0, s.whole("planned_cycles", MOST));
    let months = u32::try_from(complete(months)?).unwrap_or(12);
    usage_at_next_annual(now, months, complete(planned_hours)?, complete(launches)?, complete(cycles)?)
        .map_err(|error| s.refuse_key("planned_hours", error))
}

fn limit(row: &Record) -> Option<LifeLimit> {
    let length = |key: &'static str| row.optional(key, row.whole(key, 12_000));
    let (months, calendar, days) = (length("months"), length("calendar_months"), length("days"));
    let hours = row.optional("hours", hours(row, "hours"));
    let launches = row.optional("launches", row.whole("launches", MOST));
    let cycles = row.optional("cycles", row.whole("cycles", MOST));
    let from = row.choice(
        "from",
        &[("installation", CountsFrom::Installation), ("manufacture", CountsFrom::Manufacture)],
    );
    let from = row.or("from", CountsFrom::Installation, from)?;
    let whole = |number: u64| u32::try_from(number).unwrap_or(u32::MAX);
    let length = match (months?, calendar?, days?) {
        (None, None, None) => None,
        (Some(months), None, None) => Some(CalendarLength::Months(whole(months))),
        (None, Some(months), None) => Some(CalendarLength::CalendarMonths(whole(months))),
        (None, None, Some(days)) => Some(CalendarLength::Days(whole(days))),
        _ => {
            row.refuse(say!("give one of months, calendar_months or days"));
            return None;
        }
    };
    let calendar = length.map(|length| CalendarLife { length, from });
    Some(LifeLimit { calendar, hours: hours?, launches: launches?, cycles: cycles? })
}

fn usage_then(row: &Record, date: NaiveDate, keys: [&'static str; 3]) -> Option<Usage> {
    let at_hours = row.or(keys[0], Decimal::ZERO, hours(row, keys[0]));
    let launches = row.or(keys[1], 0, row.whole(keys[1], MOST));
    let cycles = row.or(keys[2], 0, row.whole(keys[2], MOST));
    Some(Usage { date, hours: at_hours?, launches: launches?, cycles: cycles? })
}

fn installed(row: &Record) -> Option<Installed> {
    let manufactured = row.optional("manufactured", row.date("manufactured"));
    let date = row.required_date("installed")?;
    let airframe =
        usage_then(row, date, ["airframe_hours_then", "airframe_launches_then", "airframe_cycles_then"]);
    let item = usage_then(row, date, ["item_hours_then", "item_launches_then", "item_cycles_then"]);
    Some(Installed { manufactured: manufactured?, airframe_then: airframe?, item_then: item? })
}

fn item(row: &Record, now: &Usage, later: &Usage) -> Result<(DueStatus, Figures), Failed> {
    let (limit, installed) = (limit(row), installed(row));
    let (limit, installed) = (complete(limit)?, complete(installed)?);
    let refuse = |error: LifeError| match error {
        LifeError::Backwards { .. } => row.refuse_key("installed", error),
        _ => row.refuse(error),
    };
    let due = limit.due(&installed, now).map_err(refuse)?;
    let mut figures = Figures::new();
    parts(&due, &mut figures);
    if let Some((part, date)) = due.expected_first(now, later) {
        let what = match part {
            Part::Calendar { .. } => mark!("calendar").to_string(),
            Part::Counted { counter, .. } => counter.to_string(),
        };
        figures.word("expected_first", say!("Expected to end first"), &what);
        figures.date("expected_on", say!("  on"), date);
    }
    let before_next = falls_due_before(&limit, &installed, now, later).map_err(refuse)?;
    figures.flag("falls_due_before_next_annual", say!("Falls due before the next annual"), before_next);
    let (outcome, words) = match due.status {
        DueStatus::Running => (Outcome::Within, say!("running")),
        DueStatus::Due => (Outcome::Outside, say!("due: no further use")),
        DueStatus::Overdue => (Outcome::Outside, say!("overdue: no further use")),
    };
    figures.outcome(outcome, words);
    Ok((due.status, figures))
}

fn parts(due: &Due, figures: &mut Figures) {
    for part in &due.parts {
        match part {
            Part::Calendar { due, days_left } => {
                figures.date("valid_through", say!("Valid through"), *due);
                figures.value("days_left", say!("  days left"), *days_left as f64, "");
            }
            Part::Counted { counter, due_at, left } => {
                let number = |decimal: &Decimal| crate::quantity::Number::from(*decimal).to_f64();
                figures.value(
                    &format!("due_at_{counter}"),
                    &say!("Due at airframe {counter}", counter = said(&counter.to_string())),
                    number(due_at),
                    "",
                );
                figures.value(
                    &format!("{counter}_left"),
                    &say!("  {counter} left", counter = said(&counter.to_string())),
                    number(left),
                    "",
                );
            }
        }
    }
}

fn certificate(row: &Record) -> Result<Figures, Failed> {
    let expiry = row.required_date("expiry");
    let done = row.required_date("done");
    let kind = row.choice("renewal", &[("review", Renewal::Review), ("extension", Renewal::Extension)]);
    let kind = row.required("renewal", kind);
    let found = renew_certificate(complete(expiry)?, complete(done)?, complete(kind)?)
        .map_err(|error| row.refuse(error))?;
    let mut figures = Figures::new();
    figures.value("days_early", say!("Days before the old expiry"), found.days_early as f64, "");
    figures.flag("pattern_kept", say!("The date pattern is kept"), found.pattern_kept);
    figures.date("new_expiry", say!("New expiry"), found.new_expiry);
    Ok(figures)
}
