//! Life-limited and time-controlled items, as they are built in.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::interval::{Interval, read_interval};
use crate::quantity::Number;
use crate::source::Table;

/// A life-limited or time-controlled item; whichever of its limits comes first governs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LifeItem {
    pub id: String,
    pub title: String,
    /// Limits that the record states as they are.
    pub due: Option<NaiveDate>,
    pub due_hours: Option<Number>,
    pub due_launches: Option<u32>,
    pub note: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub due_cycles: Option<u32>,
    /// Limits that are counted from its installation or manufacture.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub life: Option<Life>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub part_number: Option<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub serial: Option<String>,
}

/// How long it may stay in, and since when it is.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Life {
    pub interval: Interval,
    pub from: CountsFrom,
    pub manufactured: Option<NaiveDate>,
    /// Installed or last overhauled.
    pub installed: Option<NaiveDate>,
    /// The airframe's counters on that day.
    pub airframe_then: Counters,
    /// What the item had used before.
    pub item_then: Counters,
}

/// From when the calendar part of a life counts.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum CountsFrom {
    Installation,
    Manufacture,
}

impl CountsFrom {
    pub const WORDS: [(&'static str, CountsFrom); 2] =
        [(mark!("installation"), CountsFrom::Installation), (mark!("manufacture"), CountsFrom::Manufacture)];
}

/// Hours, launches and cycles; what is not given was not counted.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Counters {
    pub hours: Option<Number>,
    pub launches: Option<u32>,
    pub cycles: Option<u32>,
}

pub(super) fn read_life_item(table: Table<'_>) -> Option<LifeItem> {
    let id = table.required_text("id");
    let title = table.required_text("title");
    let life = read_life(&table);
    let item = LifeItem {
        id: String::new(),
        title: String::new(),
        due: table.date("due").map(|date| date.value),
        due_hours: super::positive(&table, "due_hours"),
        due_launches: table.whole("due_launches").map(|launches| launches.value),
        note: table.text("note").map(|text| text.value),
        due_cycles: table.whole("due_cycles").map(|cycles| cycles.value),
        life,
        part_number: table.text("part_number").map(|text| text.value),
        serial: table.text("serial").map(|text| text.value),
    };
    table.finish();
    Some(LifeItem { id: id?.value, title: title?.value, ..item })
}

fn read_life(table: &Table<'_>) -> Option<Life> {
    let interval = read_interval(table);
    let from = table.choice("from", &CountsFrom::WORDS).map_or(CountsFrom::Installation, |from| from.value);
    let whole = |key| table.whole(key).map(|found| found.value);
    let life = Life {
        interval: interval.clone().unwrap_or_default(),
        from,
        manufactured: table.date("manufactured").map(|date| date.value),
        installed: table.date("installed").map(|date| date.value),
        airframe_then: Counters {
            hours: super::positive(table, "airframe_hours_then"),
            launches: whole("airframe_launches_then"),
            cycles: whole("airframe_cycles_then"),
        },
        item_then: Counters {
            hours: super::positive(table, "item_hours_then"),
            launches: whole("item_launches_then"),
            cycles: whole("item_cycles_then"),
        },
    };
    let interval = interval?;
    demand_the_beginning(table, &interval, &life);
    Some(life)
}

/// A life cannot be counted without its beginning, and a guessed one would lengthen it.
fn demand_the_beginning(table: &Table<'_>, interval: &Interval, life: &Life) {
    let needs = |missing: bool, key: &str, what: &str| {
        if missing && !table.has(key) {
            table.reject::<()>(
                "life-without-beginning",
                table.span(),
                say!("the life cannot be counted without \"{key}\"", key = key),
                say!("add {key} = {what}", key = key, what = what),
            );
        }
    };
    let then = &life.airframe_then;
    let calendar = interval.has_calendar();
    let date = say!("a date such as 2024-03-31");
    needs(
        calendar && life.from == CountsFrom::Manufacture && life.manufactured.is_none(),
        "manufactured",
        date,
    );
    let counted = interval.hours.is_some() || interval.launches.is_some() || interval.cycles.is_some();
    let from_installation = calendar && life.from == CountsFrom::Installation;
    needs((from_installation || counted) && life.installed.is_none(), "installed", date);
    let counter = say!("what the airframe had when it was installed");
    needs(interval.hours.is_some() && then.hours.is_none(), "airframe_hours_then", counter);
    needs(interval.launches.is_some() && then.launches.is_none(), "airframe_launches_then", counter);
    needs(interval.cycles.is_some() && then.cycles.is_none(), "airframe_cycles_then", counter);
    if let (Some(made), Some(installed)) = (life.manufactured, life.installed)
        && made > installed
    {
        table.reject::<()>(
            "dates-in-disorder",
            table.span_of("manufactured").unwrap_or(0..0),
            say!(
                "it was manufactured on {made}, after it was installed on {installed}",
                made = made,
                installed = installed
            ),
            say!("check both dates"),
        );
    }
}
