//! How long something may run: months, days, hours, launches, cycles; whichever ends first.

use serde::{Deserialize, Serialize};

use crate::quantity::Number;
use crate::source::Table;
use crate::words::figure;

/// Every part that is given counts.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Interval {
    /// To the same day number, clipped to the month's end.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub months: Option<u32>,
    /// To the end of the month.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub calendar_months: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub days: Option<u32>,
    /// Hours.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub hours: Option<Number>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub launches: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cycles: Option<u32>,
}

impl Interval {
    pub fn is_empty(&self) -> bool {
        *self == Interval::default()
    }

    pub fn has_calendar(&self) -> bool {
        self.months.is_some() || self.calendar_months.is_some() || self.days.is_some()
    }

    /// In words: "12 months, 200 h".
    pub fn words(&self) -> String {
        let parts = [
            self.months.map(|number| say!("{number} months", number)),
            self.calendar_months.map(|number| say!("{number} calendar months", number)),
            self.days.map(|number| say!("{number} days", number)),
            self.hours.map(|hours| format!("{} h", figure(hours))),
            self.launches.map(|number| say!("{number} launches", number)),
            self.cycles.map(|number| say!("{number} cycles", number)),
        ];
        parts.into_iter().flatten().collect::<Vec<_>>().join(say!(" or "))
    }
}

/// Reads the keys of an interval from the table that holds them; `None` where it has none of them.
pub(super) fn read_interval(table: &Table<'_>) -> Option<Interval> {
    let whole = |key: &'static str| table.whole(key).map(|found| found.value);
    let interval = Interval {
        months: whole("months"),
        calendar_months: whole("calendar_months"),
        days: whole("days"),
        hours: super::positive(table, "hours"),
        launches: whole("launches"),
        cycles: whole("cycles"),
    };
    let keys = ["months", "calendar_months", "days"];
    let given: Vec<&str> = keys.into_iter().filter(|key| table.has(key)).collect();
    if let [_, second, ..] = given.as_slice() {
        table.reject::<()>(
            "two-calendars",
            table.span_of(second).unwrap_or_else(|| table.span()),
            say!("{} are given together", given.join(say!(" and "))),
            say!("keep the one that the manual states"),
        );
    }
    (!interval.is_empty()).then_some(interval)
}
