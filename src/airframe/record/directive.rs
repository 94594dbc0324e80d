//! Directives and bulletins: to whom they apply, when they fall due, and when they were complied with.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::applicability::{Applicability, read_applicability};
use super::interval::{Interval, read_interval};
use crate::quantity::Number;
use crate::source::Table;

/// An airworthiness directive or service bulletin and how the airframe stands to it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Directive {
    pub id: String,
    pub title: String,
    /// As the record states it, or as it follows from [`Applicability`].
    pub applies: bool,
    pub repeating: bool,
    pub due: Option<NaiveDate>,
    pub due_hours: Option<Number>,
    /// The last compliance, where the record states the day alone.
    pub complied: Option<NaiveDate>,
    pub note: Option<String>,
    /// A bulletin of the type's holder; else a directive of an authority.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub is_bulletin: bool,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub applicability: Option<Applicability>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due_launches: Option<u32>,
    /// From one compliance to the next.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub interval: Option<Interval>,
}

/// One compliance with a directive.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Compliance {
    pub directive: String,
    pub on: NaiveDate,
    /// The airframe's counters on that day.
    pub hours: Option<Number>,
    pub launches: Option<u32>,
    pub cycles: Option<u32>,
    pub by: String,
    /// How, by which data.
    pub how: String,
}

/// As read, before it is known whether it applies.
pub(super) struct Draft {
    pub directive: Directive,
    /// What the key `applies` says, with its place.
    pub stated: Option<(bool, std::ops::Range<usize>)>,
}

pub(super) fn read_directive(table: Table<'_>) -> Option<Draft> {
    let id = table.required_text("id");
    let title = table.required_text("title");
    let stated = table.flag("applies").map(|flag| (flag, table.span_of("applies").unwrap_or(0..0)));
    let interval = read_interval(&table);
    let repeating = table.flag("repeating");
    if repeating == Some(false) && interval.is_some() {
        table.reject::<()>(
            "repeats-or-not",
            table.span_of("repeating").unwrap_or(0..0),
            say!("it is said not to repeat, and an interval is given"),
            say!("leave the interval out, or write repeating = true"),
        );
    }
    let directive = Directive {
        id: String::new(),
        title: String::new(),
        applies: true,
        repeating: repeating.unwrap_or(interval.is_some()),
        due: table.date("due").map(|date| date.value),
        due_hours: super::positive(&table, "due_hours"),
        complied: table.date("complied").map(|date| date.value),
        note: table.text("note").map(|text| text.value),
        is_bulletin: table.flag("bulletin").unwrap_or(false),
        applicability: read_applicability(&table),
        due_launches: table.whole("due_launches").map(|launches| launches.value),
        interval,
    };
    table.finish();
    Some(Draft { directive: Directive { id: id?.value, title: title?.value, ..directive }, stated })
}

pub(super) fn read_compliance(table: Table<'_>) -> Option<Compliance> {
    let (directive, on) = (table.required_text("directive"), table.required_date("on"));
    let hours = super::positive(&table, "hours");
    let launches = table.whole("launches").map(|found| found.value);
    let cycles = table.whole("cycles").map(|found| found.value);
    let by = table.text("by").map_or_else(String::new, |text| text.value);
    let how = table.text("how").map_or_else(String::new, |text| text.value);
    table.finish();
    Some(Compliance { directive: directive?.value, on: on?.value, hours, launches, cycles, by, how })
}
