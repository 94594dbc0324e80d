//! What falls due, seen from a day and an expected next annual: directives, life-limited items, deferred defects,
//! weighings, certificates, the annual itself.
//!
//! It only computes from the record: the rule that applies, and any tolerance, come from the programme, the manual or the
//! authority's text. The arithmetic is that of [`crate::measure::life`].

mod directive;
mod life_item;
mod list;
mod registers;

use chrono::NaiveDate;
use rust_decimal::Decimal;

use crate::airframe::{Airframe, Counters, Interval};
use crate::measure::life::{
    CalendarLength, CalendarLife, Counter, CountsFrom, Due, Installed, LifeError, LifeLimit, Part, Usage,
    add_months, calendar_months_valid_through,
};
use crate::quantity::Number;
use crate::words;

pub use directive::{directive_due, directive_reckoned};
pub use life_item::{life_item_due, life_item_reckoned};
pub use list::{DueLine, Kind, Standing, due_list};
pub use registers::registers_due;

/// Months from one annual to the next: 12 calendar months, 14 CFR 91.409(a); Part-ML says "annual" (ML.A.302(d)(1)).
pub const ANNUAL_MONTHS: u32 = 12;

const NO_CYCLES: &str = mark!("its cycles cannot be counted: the airframe's record has no cycles");

/// The airframe now, and as it is expected at the next annual.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Horizon {
    pub now: Usage,
    pub next: Usage,
}

impl Horizon {
    /// From a day and totals to the next annual: `next` where it is known, else 12 months later; use as the record
    /// expects it, else as it was since an earlier annual, else none.
    ///
    /// # Errors
    /// A date outside the calendar; counters too large.
    pub fn of(
        airframe: &Airframe,
        today: NaiveDate,
        hours: Number,
        launches: u32,
        next: Option<NaiveDate>,
    ) -> Result<Horizon, LifeError> {
        let now = Usage {
            date: today,
            hours: hours.decimal(),
            launches: launches.into(),
            cycles: airframe.cycles.unwrap_or(0).into(),
        };
        let date = match next {
            Some(date) => date,
            None => add_months(today, i32::try_from(ANNUAL_MONTHS).map_err(|_| LifeError::OutOfCalendar)?)?,
        };
        let used = Expected::of(airframe, &now, (date - today).num_days().max(0))?;
        let next = Usage {
            date,
            hours: now.hours.checked_add(used.hours).ok_or(LifeError::TooLarge)?,
            launches: now.launches.saturating_add(used.launches),
            cycles: now.cycles,
        };
        Ok(Horizon { now, next })
    }

    /// From the record's own totals.
    ///
    /// # Errors
    /// As [`Horizon::of`].
    pub fn of_record(airframe: &Airframe, today: NaiveDate) -> Result<Horizon, LifeError> {
        Horizon::of(airframe, today, airframe.hours, airframe.launches, None)
    }
}

/// Use that is expected in so many days, rounded up: a life is never lengthened by rounding.
struct Expected {
    hours: Decimal,
    launches: u64,
}

impl Expected {
    fn of(airframe: &Airframe, now: &Usage, days: i64) -> Result<Expected, LifeError> {
        let days = Decimal::from(days);
        let earlier = earlier_totals(airframe);
        let in_days = |amount: Decimal, of_days: i64| {
            amount.checked_mul(days).ok_or(LifeError::TooLarge).map(|all| all / Decimal::from(of_days))
        };
        let rate = |a_year: Option<Decimal>, total: Decimal, of: &dyn Fn(&Earlier) -> Option<Decimal>| {
            if let Some(a_year) = a_year {
                return in_days(a_year, 365);
            }
            let known = earlier.iter().filter_map(|earlier| Some((earlier.on, of(earlier)?)));
            match used_since(known, now.date, total) {
                Some((amount, of_days)) => in_days(amount, of_days),
                None => Ok(Decimal::ZERO),
            }
        };
        let hours = rate(airframe.expected_hours.map(|hours| hours.decimal()), now.hours, &|earlier| {
            earlier.hours.map(|hours| hours.decimal())
        })?;
        let launches =
            rate(airframe.expected_launches.map(Decimal::from), now.launches.into(), &|earlier| {
                earlier.launches.map(Decimal::from)
            })?;
        Ok(Expected {
            hours: hours.round_dp_with_strategy(1, rust_decimal::RoundingStrategy::AwayFromZero),
            launches: u64::try_from(launches.ceil()).unwrap_or(u64::MAX),
        })
    }
}

/// The totals of an earlier annual.
struct Earlier {
    on: NaiveDate,
    hours: Option<Number>,
    launches: Option<u32>,
}

/// Of the last annual, as the head states it, and of all that are listed.
fn earlier_totals(airframe: &Airframe) -> Vec<Earlier> {
    let stated = airframe.last_annual.map(|on| Earlier {
        on,
        hours: airframe.hours_at_last_annual,
        launches: airframe.launches_at_last_annual,
    });
    let listed = airframe.annuals.iter().map(|annual| Earlier {
        on: annual.date,
        hours: annual.hours,
        launches: annual.launches,
    });
    stated.into_iter().chain(listed).collect()
}

/// Days from which use is carried on: half a year, so that the weeks after an annual are not taken for the year (common
/// practice, no source).
const LONG_ENOUGH_DAYS: i64 = 182;

/// What was used since the newest annual that lies far enough back, and in how many days; since the oldest where none does.
fn used_since(
    known: impl Iterator<Item = (NaiveDate, Decimal)>,
    today: NaiveDate,
    total: Decimal,
) -> Option<(Decimal, i64)> {
    let spans = known.filter(|(on, then)| *on < today && *then <= total);
    let spans: Vec<(i64, Decimal)> =
        spans.map(|(on, then)| ((today - on).num_days(), total - then)).collect();
    let far = spans.iter().filter(|(days, _)| *days >= LONG_ENOUGH_DAYS).min_by_key(|(days, _)| *days);
    far.or_else(|| spans.iter().max_by_key(|(days, _)| *days)).map(|(days, amount)| (*amount, *days))
}

/// What falls due, and what the record does not let us count.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reckoning {
    /// By the parts that can be counted.
    pub due: Option<Due>,
    /// What cannot be told, in words: a counter that was not written down, an interval or a limit that is not known.
    pub troubles: Vec<String>,
}

impl Reckoning {
    /// The parts with which the airframe must not be released.
    pub fn exhausted(&self) -> impl Iterator<Item = &Part> {
        self.due.iter().flat_map(|due| &due.parts).filter(|part| is_exhausted(part))
    }
}

/// What an interval comes to when it begins now, with nothing used of it.
///
/// # Errors
/// A date outside the calendar; numbers too large.
pub fn next_parts(interval: &Interval, now: &Usage) -> Result<Vec<Part>, LifeError> {
    if interval.is_empty() {
        return Ok(Vec::new());
    }
    let nothing = Usage { date: now.date, hours: Decimal::ZERO, launches: 0, cycles: 0 };
    let item = Installed { manufactured: None, airframe_then: *now, item_then: nothing };
    Ok(limit_of(interval, CountsFrom::Installation).due(&item, now)?.parts)
}

/// The day on which an interval ends that begins on `from`; `None` where it counts no days.
///
/// # Errors
/// A date outside the calendar.
pub fn next_day(interval: &Interval, from: NaiveDate) -> Result<Option<NaiveDate>, LifeError> {
    let calendar = Interval { hours: None, launches: None, cycles: None, ..interval.clone() };
    let parts = next_parts(&calendar, &usage(from, &Counters::default()))?;
    Ok(parts.into_iter().find_map(|part| match part {
        Part::Calendar { due, .. } => Some(due),
        Part::Counted { .. } => None,
    }))
}

/// The last day on which the annual of that day still holds: the end of the month, 12 months later (14 CFR 91.409(a),
/// 12 calendar months). Local rules may count from day to day.
///
/// # Errors
/// A date outside the calendar.
pub fn annual_holds_through(last: NaiveDate) -> Result<NaiveDate, LifeError> {
    calendar_months_valid_through(last, ANNUAL_MONTHS)
}

/// An interval as the arithmetic takes it.
fn limit_of(interval: &Interval, from: CountsFrom) -> LifeLimit {
    let length = interval
        .months
        .map(CalendarLength::Months)
        .or(interval.calendar_months.map(CalendarLength::CalendarMonths))
        .or(interval.days.map(CalendarLength::Days));
    LifeLimit {
        calendar: length.map(|length| CalendarLife { length, from }),
        hours: interval.hours.map(|hours| hours.decimal()),
        launches: interval.launches.map(u64::from),
        cycles: interval.cycles.map(u64::from),
    }
}

fn usage(date: NaiveDate, counters: &Counters) -> Usage {
    Usage {
        date,
        hours: counters.hours.map_or(Decimal::ZERO, |hours| hours.decimal()),
        launches: counters.launches.unwrap_or(0).into(),
        cycles: counters.cycles.unwrap_or(0).into(),
    }
}

/// Limits that the record states as they are: a day, or readings of the airframe's counters.
#[derive(Debug, Clone, Copy, Default)]
struct Stated {
    due: Option<NaiveDate>,
    hours: Option<Number>,
    launches: Option<u32>,
    cycles: Option<u32>,
}

impl Stated {
    fn parts(&self, now: &Usage) -> Vec<Part> {
        let counted = |counter, due_at: Option<Decimal>, now: Decimal| {
            due_at.map(|due_at| Part::Counted { counter, due_at, left: due_at - now })
        };
        let calendar = self.due.map(|due| Part::Calendar { due, days_left: (due - now.date).num_days() });
        [
            calendar,
            counted(Counter::Hours, self.hours.map(|hours| hours.decimal()), now.hours),
            counted(Counter::Launches, self.launches.map(Decimal::from), now.launches.into()),
            counted(Counter::Cycles, self.cycles.map(Decimal::from), now.cycles.into()),
        ]
        .into_iter()
        .flatten()
        .collect()
    }
}

/// Joined parts; the status is that of the worst. `None` without any part.
fn joined(parts: Vec<Part>) -> Option<Due> {
    let status = parts.iter().map(Part::status).max()?;
    Some(Due { parts, status })
}

/// True where the airframe must not be released with it: a day that has passed, or nothing left of a counter.
pub fn is_exhausted(part: &Part) -> bool {
    match part {
        Part::Calendar { days_left, .. } => *days_left < 0,
        Part::Counted { left, .. } => *left <= Decimal::ZERO,
    }
}

/// A part in words: "2028-05-31 (in 552 days)", "6000 h (2815.5 h left)".
pub fn part_words(part: &Part) -> String {
    match part {
        Part::Calendar { due, days_left } => {
            let days = days_left.unsigned_abs();
            let due = words::date(*due);
            match days_left.signum() {
                1 => say!("{due} (in {n} day)" | "{due} (in {n} days)" % days, due),
                0 => say!("{due} (today)", due),
                _ => say!("{due} ({n} day ago)" | "{due} ({n} days ago)" % days, due),
            }
        }
        Part::Counted { counter, due_at, left } => {
            let unit = match counter {
                Counter::Hours => "h",
                Counter::Launches => say!("launches"),
                Counter::Cycles => say!("cycles"),
            };
            let figure = |figure: &Decimal| words::figure(figure);
            let (due_at, much) = (figure(due_at), figure(&left.abs()));
            if left.is_sign_negative() {
                say!("{due_at} {unit} ({much} {unit} over)", due_at, unit, much)
            } else {
                say!("{due_at} {unit} ({much} {unit} left)", due_at, unit, much)
            }
        }
    }
}
