//! When something falls due: calendar, hours, launches and cycles, whichever comes first.
//!
//! Dates and counts are exact; hours are exact decimals. The rule that applies (and its tolerance) comes from the
//! programme or the authority's text; this only computes.

use crate::words::{date, said};
use chrono::{Datelike, Days, Months, NaiveDate};
use rust_decimal::Decimal;
use std::fmt;

/// Version of the method, recorded beside each result.
pub const METHOD: &str = "life/1";

/// Why no date can be computed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LifeError {
    OutOfCalendar,
    ManufactureDateMissing,
    NoInterval,
    Backwards { start: NaiveDate, today: NaiveDate },
    CounterBackwards { counter: Counter },
    TooLarge,
}

impl fmt::Display for LifeError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::OutOfCalendar => f.write_str(say!("the due date lies outside the calendar; check the interval")),
            Self::ManufactureDateMissing => {
                f.write_str(say!("the date of manufacture is missing, from which this life counts; enter it from the item's plate"))
            }
            Self::NoInterval => {
                f.write_str(say!("the life limit names no interval; give months, hours, launches or cycles"))
            }
            Self::Backwards { start, today } => {
                f.write_str(&say!("date \"{start}\" lies after \"{today}\"; check the date of installation, manufacture or compliance", start = date(*start), today = date(*today)))
            }
            Self::CounterBackwards { counter } => f.write_str(&say!("the airframe's {counter} are fewer than when the item was installed; check both entries", counter = said(&counter.to_string()))),
            Self::TooLarge => f.write_str(say!("the number of hours is too large to be computed; check it")),
        }
    }
}

impl std::error::Error for LifeError {}

/// A date some months later (or, negative, earlier): the same day number, else the last day of that month.
///
/// Always add from the original date: twice one month can differ from two months. Source: clip rule, as printed in the
/// documentation of month-delta libraries; Regulation (EEC, Euratom) 1182/71 article 3 uses it too (from memory).
///
/// # Errors
/// A date outside the calendar.
pub fn add_months(date: NaiveDate, months: i32) -> Result<NaiveDate, LifeError> {
    let by = Months::new(months.unsigned_abs());
    let moved = if months < 0 { date.checked_sub_months(by) } else { date.checked_add_months(by) };
    moved.ok_or(LifeError::OutOfCalendar)
}

fn last_of_month(date: NaiveDate) -> Result<NaiveDate, LifeError> {
    let first = date.with_day(1).ok_or(LifeError::OutOfCalendar)?;
    add_months(first, 1)?.pred_opt().ok_or(LifeError::OutOfCalendar)
}

/// Last valid day of something done on `done` that has to be done within so many *calendar months*: the end of the
/// month so many months later. It is overdue from the day after.
///
/// Source: 14 CFR 91.409(a), wording and end-of-month reading as quoted in secondary texts.
///
/// # Errors
/// A date outside the calendar.
pub fn calendar_months_valid_through(done: NaiveDate, calendar_months: u32) -> Result<NaiveDate, LifeError> {
    let months = i32::try_from(calendar_months).map_err(|_| LifeError::OutOfCalendar)?;
    last_of_month(add_months(done.with_day(1).ok_or(LifeError::OutOfCalendar)?, months)?)
}

/// How a review certificate is renewed.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Renewal {
    /// Airworthiness review: up to 90 days early keeps the date pattern (ML.A.903(d)).
    Review,
    /// Extension: up to 30 days early keeps it (ML.A.901; at most twice in a row, which is not checked here).
    Extension,
}

impl Renewal {
    fn window_days(self) -> i64 {
        match self {
            Self::Review => 90,
            Self::Extension => 30,
        }
    }
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CertificateRenewal {
    /// Days from the renewal to the old expiry; negative after it.
    pub days_early: i64,
    pub pattern_kept: bool,
    pub new_expiry: NaiveDate,
}

/// New expiry of a European review certificate: one year after the old expiry when renewed within the window before
/// it, else one year after the renewal.
///
/// One year from the renewal outside the window is published for extensions and assumed for reviews; an expiry on
/// 29 February becomes 28 February by the clip rule. The authority's text decides.
///
/// # Errors
/// A date outside the calendar.
pub fn renew_certificate(
    expiry: NaiveDate,
    done: NaiveDate,
    kind: Renewal,
) -> Result<CertificateRenewal, LifeError> {
    let days_early = (expiry - done).num_days();
    let pattern_kept = (0..=kind.window_days()).contains(&days_early);
    let new_expiry = add_months(if pattern_kept { expiry } else { done }, 12)?;
    Ok(CertificateRenewal { days_early, pattern_kept, new_expiry })
}

/// What is counted beside the calendar.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Counter {
    Hours,
    Launches,
    Cycles,
}

impl fmt::Display for Counter {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Hours => mark!("hours"),
            Self::Launches => mark!("launches"),
            Self::Cycles => mark!("cycles"),
        })
    }
}

/// A date and the counters on it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Usage {
    pub date: NaiveDate,
    pub hours: Decimal,
    pub launches: u64,
    pub cycles: u64,
}

/// From when a calendar life counts.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CountsFrom {
    Installation,
    Manufacture,
}

/// The calendar part of a life.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct CalendarLife {
    pub length: CalendarLength,
    pub from: CountsFrom,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CalendarLength {
    /// To the same day number, clipped to the month's end.
    Months(u32),
    /// To the end of the month.
    CalendarMonths(u32),
    Days(u32),
}

/// A life or interval: every part that is given counts, whichever comes first.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct LifeLimit {
    pub calendar: Option<CalendarLife>,
    pub hours: Option<Decimal>,
    pub launches: Option<u64>,
    pub cycles: Option<u64>,
}

/// The item as built in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Installed {
    pub manufactured: Option<NaiveDate>,
    /// Date of installation (or last overhaul) with the airframe's counters on that day.
    pub airframe_then: Usage,
    /// What the item had already used on that day (its `date` is not used).
    pub item_then: Usage,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum DueStatus {
    Running,
    /// The last day, or nothing left of a counter: no further use.
    Due,
    Overdue,
}

/// One part of a life on a day.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Part {
    /// Valid through `due`; `days_left` is negative when overdue.
    Calendar { due: NaiveDate, days_left: i64 },
    /// Reading of the airframe's counter at which it falls due, and what is left.
    Counted { counter: Counter, due_at: Decimal, left: Decimal },
}

impl Part {
    /// The last day still counts, a used-up counter does not.
    pub fn status(&self) -> DueStatus {
        let order = match self {
            Self::Calendar { days_left, .. } => days_left.cmp(&0),
            Self::Counted { left, .. } => left.cmp(&Decimal::ZERO),
        };
        match order {
            std::cmp::Ordering::Greater => DueStatus::Running,
            std::cmp::Ordering::Equal => DueStatus::Due,
            std::cmp::Ordering::Less => DueStatus::Overdue,
        }
    }
}

/// All parts of a life on a day; the status is that of the worst part.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Due {
    pub parts: Vec<Part>,
    pub status: DueStatus,
}

impl LifeLimit {
    fn calendar_due(&self, life: CalendarLife, item: &Installed) -> Result<NaiveDate, LifeError> {
        let start = match life.from {
            CountsFrom::Installation => item.airframe_then.date,
            CountsFrom::Manufacture => item.manufactured.ok_or(LifeError::ManufactureDateMissing)?,
        };
        match life.length {
            CalendarLength::Months(months) => {
                add_months(start, i32::try_from(months).map_err(|_| LifeError::OutOfCalendar)?)
            }
            CalendarLength::CalendarMonths(months) => calendar_months_valid_through(start, months),
            CalendarLength::Days(days) => {
                start.checked_add_days(Days::new(days.into())).ok_or(LifeError::OutOfCalendar)
            }
        }
    }

    /// When the item falls due, seen from the airframe's usage `now`.
    ///
    /// # Errors
    /// No interval; a missing date of manufacture; dates or counters that run backwards; dates outside the calendar.
    pub fn due(&self, item: &Installed, now: &Usage) -> Result<Due, LifeError> {
        let then = &item.airframe_then;
        let start = item.manufactured.map_or(then.date, |made| made.max(then.date));
        if start > now.date {
            return Err(LifeError::Backwards { start, today: now.date });
        }
        let mut parts = Vec::new();
        if let Some(life) = self.calendar {
            let due = self.calendar_due(life, item)?;
            parts.push(Part::Calendar { due, days_left: (due - now.date).num_days() });
        }
        let counted = [
            (Counter::Hours, self.hours, then.hours, item.item_then.hours, now.hours),
            (
                Counter::Launches,
                self.launches.map(Decimal::from),
                then.launches.into(),
                item.item_then.launches.into(),
                now.launches.into(),
            ),
            (
                Counter::Cycles,
                self.cycles.map(Decimal::from),
                then.cycles.into(),
                item.item_then.cycles.into(),
                now.cycles.into(),
            ),
        ];
        for (counter, limit, airframe_then, item_then, airframe_now) in counted {
            let Some(limit) = limit else { continue };
            if airframe_now < airframe_then {
                return Err(LifeError::CounterBackwards { counter });
            }
            let left_then = limit.checked_sub(item_then).ok_or(LifeError::TooLarge)?;
            let due_at = airframe_then.checked_add(left_then).ok_or(LifeError::TooLarge)?;
            let left = due_at.checked_sub(airframe_now).ok_or(LifeError::TooLarge)?;
            parts.push(Part::Counted { counter, due_at, left });
        }
        let status = parts.iter().map(Part::status).max().ok_or(LifeError::NoInterval)?;
        Ok(Due { parts, status })
    }
}

impl Due {
    /// Which part is expected to end first, and when, at the rate of use from `now` to `later`.
    ///
    /// Parts that are used up end on the day of `now`; parts that are not used at all never end. `None` when nothing
    /// ends within the calendar, or `later` is not after `now`.
    pub fn expected_first(&self, now: &Usage, later: &Usage) -> Option<(Part, NaiveDate)> {
        let period_days = Decimal::from((later.date - now.date).num_days());
        let use_of = |counter: Counter| match counter {
            Counter::Hours => later.hours.checked_sub(now.hours),
            Counter::Launches => Decimal::from(later.launches).checked_sub(now.launches.into()),
            Counter::Cycles => Decimal::from(later.cycles).checked_sub(now.cycles.into()),
        };
        let end_of = |part: &Part| match part {
            Part::Calendar { due, .. } => Some(*due),
            Part::Counted { left, .. } if *left <= Decimal::ZERO => Some(now.date),
            Part::Counted { counter, left, .. } => {
                let used = use_of(*counter).filter(|used| *used > Decimal::ZERO)?;
                let days = left.checked_mul(period_days)?.checked_div(used)?.floor();
                now.date.checked_add_days(Days::new(u64::try_from(days).ok()?))
            }
        };
        let ends = self.parts.iter().filter_map(|part| end_of(part).map(|end| (*part, end)));
        (later.date > now.date).then(|| ends.min_by_key(|(_, end)| *end)).flatten()
    }
}

/// The usage to expect at the next annual: `months` later, with what the last period brought or the owner plans.
///
/// # Errors
/// A date outside the calendar; counters too large.
pub fn usage_at_next_annual(
    now: &Usage,
    months: u32,
    hours: Decimal,
    launches: u64,
    cycles: u64,
) -> Result<Usage, LifeError> {
    Ok(Usage {
        date: add_months(now.date, i32::try_from(months).map_err(|_| LifeError::OutOfCalendar)?)?,
        hours: now.hours.checked_add(hours).ok_or(LifeError::TooLarge)?,
        launches: now.launches.checked_add(launches).ok_or(LifeError::TooLarge)?,
        cycles: now.cycles.checked_add(cycles).ok_or(LifeError::TooLarge)?,
    })
}

/// What is still running today but will be due or overdue at the expected usage of the next annual.
///
/// # Errors
/// As [`LifeLimit::due`].
pub fn falls_due_before(
    limit: &LifeLimit,
    item: &Installed,
    now: &Usage,
    next_annual: &Usage,
) -> Result<bool, LifeError> {
    let today = limit.due(item, now)?.status;
    Ok(today == DueStatus::Running && limit.due(item, next_annual)?.status != DueStatus::Running)
}

#[cfg(test)]
#[path = "life_tests.rs"]
mod tests;
