//! Records and registers as a list of headings and entries: what the Airframe and Registers screens show.

use chrono::NaiveDate;
use ratatui::style::Style;

use super::desk::{Desk, ShownFile};
use super::list::Row;
use super::look::Look;
use crate::airframe::fields::{Form, List};
use crate::airframe::sheet::{Entry, RecordFile, Section};
use crate::vocabulary::kind_words;
use crate::words::{date, day_of, number, said};

/// Days before its end from which on a date is told as near; common practice, no source.
const NEAR_DAYS: i64 = 60;

/// The files of a screen as they were read last.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Book {
    pub files: Vec<ShownFile>,
    /// Files that could not be read.
    pub unread: Vec<String>,
}

pub enum Item<'a> {
    Fault(&'a str),
    Head(&'a ShownFile),
    Section(&'a ShownFile, &'a Section),
    Entry(&'a ShownFile, &'static List, &'a Entry),
}

impl Book {
    pub fn read(desk: &dyn Desk, files: &[RecordFile]) -> Book {
        let mut book = Book::default();
        for file in files {
            match desk.file(file) {
                Ok(shown) => book.files.push(shown),
                Err(why) => book.unread.push(why),
            }
        }
        book
    }

    pub fn items(&self) -> Vec<Item<'_>> {
        let mut items: Vec<Item<'_>> = self.unread.iter().map(|why| Item::Fault(why)).collect();
        for shown in &self.files {
            let sheet = &shown.sheet;
            items.extend(sheet.faults.iter().map(|fault| Item::Fault(fault)));
            if !sheet.file.head().is_empty() {
                items.push(Item::Head(shown));
            }
            for section in &sheet.sections {
                items.push(Item::Section(shown, section));
                for entry in
                    section.entries.iter().flat_map(|entry| std::iter::once(entry).chain(&entry.inner))
                {
                    if let Some(list) = sheet.file.list(entry.spot.list) {
                        items.push(Item::Entry(shown, list, entry));
                    }
                }
            }
        }
        items
    }

    pub fn len(&self) -> usize {
        self.items().len()
    }

    /// The heading after or before an item; the same item where there is none.
    pub fn other_section(&self, at: usize, forward: bool) -> usize {
        let is_heading = |item: &Item<'_>| matches!(item, Item::Section(..) | Item::Head(_));
        let headings = self
            .items()
            .iter()
            .enumerate()
            .filter(|(_, item)| is_heading(item))
            .map(|(i, _)| i)
            .collect::<Vec<_>>();
        let found = if forward {
            headings.iter().find(|index| **index > at)
        } else {
            headings.iter().rev().find(|index| **index < at)
        };
        found.copied().unwrap_or(at)
    }
}

/// How an entry stands on that day: a sign, words, and how they are shown.
pub fn standing(
    list: &List,
    entry: &Entry,
    today: NaiveDate,
    look: Look,
) -> Option<(&'static str, String, Style)> {
    let value = |key: &str| entry.value(list, key);
    let day = |key: &str| value(key).and_then(|text| text.parse::<NaiveDate>().ok());
    match list.key {
        "authorisation" => day("valid_until").map(|until| expiry(until, today, look)),
        "instrument" => match day("calibration_due") {
            Some(due) => Some(expiry(due, today, look)),
            None => Some(("–", say!("no calibration date").to_string(), look.quiet())),
        },
        "certificate" => day("expiry").map(|until| expiry(until, today, look)),
        "report" => Some(match value("dealt_with") {
            Some(annual) => {
                ("✓", say!("dealt with by the annual of {annual}", annual = day_of(annual)), look.good())
            }
            None => ("○", say!("of a report" => "open").to_string(), Style::new()),
        }),
        "defect" => Some(match (value("closed"), day("until")) {
            (Some(closed), _) => ("✓", say!("closed on {closed}", closed = day_of(closed)), look.good()),
            (None, Some(until)) if until < today => {
                ("✗", say!("the deferral ran out on {until}", until = date(until)), look.bad())
            }
            (None, _) => {
                ("○", value("standing").map_or(say!("of a defect" => "open"), said).to_string(), look.doubt())
            }
        }),
        "person" => Some(match entry.keys {
            0 => ("·", say!("no key").to_string(), look.quiet()),
            keys => ("·", say!("{n} key" | "{n} keys" % keys), look.quiet()),
        }),
        _ => None,
    }
}

fn expiry(until: NaiveDate, today: NaiveDate, look: Look) -> (&'static str, String, Style) {
    let left = (until - today).num_days();
    if left < 0 {
        ("✗", say!("expired on {until}", until = date(until)), look.bad())
    } else if left <= NEAR_DAYS {
        (
            "?",
            say!(
                "valid to {until}, {n} day left" | "valid to {until}, {n} days left" % left.max(0),
                until = date(until)
            ),
            look.doubt(),
        )
    } else {
        ("✓", say!("valid to {until}", until = date(until)), look.good())
    }
}

pub fn rows(book: &Book, today: NaiveDate, look: Look) -> Vec<Row> {
    let items = book.items();
    items.iter().enumerate().map(|(index, item)| Row::item(index, parts(item, today, look))).collect()
}

fn parts(item: &Item<'_>, today: NaiveDate, look: Look) -> Vec<(String, Style)> {
    match item {
        Item::Fault(fault) => vec![(format!("✗ {}", without_folder(fault)), look.bad())],
        Item::Head(shown) => {
            let value = |key| shown.sheet.head_value(key);
            vec![
                (value("registration").to_string(), look.strong()),
                (
                    format!(
                        " · {} · {} · {} h",
                        value("type"),
                        say!("serial {}", value("serial")),
                        number(value("hours"))
                    ),
                    Style::new(),
                ),
            ]
        }
        Item::Section(_, section) => {
            vec![(format!("{} · {}", said(section.list.title), section.entries.len()), look.strong())]
        }
        Item::Entry(_, list, entry) => {
            let indent = if entry.spot.below.is_some() { "    " } else { "  " };
            let (sign, words, style) =
                standing(list, entry, today, look).unwrap_or(("·", String::new(), Style::new()));
            let mut parts = vec![(format!("{indent}{sign} "), style), (line(list, entry), Style::new())];
            if !words.is_empty() {
                parts.insert(1, (format!("{words} "), style));
                parts.swap(1, 2);
                parts[1].0.push_str(" · ");
            }
            parts
        }
    }
}

/// A fault begins with its file's path, which would leave no room for the words; the details show it whole.
fn without_folder(fault: &str) -> &str {
    let path = fault.split(".toml:").next().unwrap_or_default();
    let folder = path.rfind(['/', '\\']).map_or(0, |slash| slash + 1);
    fault.get(folder..).unwrap_or(fault)
}

/// An entry in one line: what it is called, and what is always known of it.
pub fn line(list: &List, entry: &Entry) -> String {
    let shown = list.fields.iter().zip(&entry.values).enumerate().filter(|(at, (field, value))| {
        (*at == 0 || field.needed)
            && !value.is_empty()
            && !(field.key == "valid_until" || field.key == "expiry")
    });
    shown.map(|(_, (field, value))| line_value(field.form, value)).collect::<Vec<_>>().join(" · ")
}

/// A value as it is read out: kinds of report with their words.
pub fn value_words(form: Form, value: &str) -> String {
    match form {
        Form::ReportKind => format!("{} ({value})", said(kind_words(value))),
        Form::Number(unit) if !unit.is_empty() => format!("{} {unit}", number(value)),
        _ => line_value(form, value),
    }
}

/// The same in the list, where there is no room for a unit.
fn line_value(form: Form, value: &str) -> String {
    match form {
        Form::Number(_) => number(value).into_owned(),
        Form::Date => day_of(value),
        Form::Choice(_) | Form::Flag => said(value).to_string(),
        _ => value.to_string(),
    }
}
