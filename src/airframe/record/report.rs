//! Reports and occurrences as the technical log tells them, and the annuals that dealt with them.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::quantity::Number;
use crate::source::{Located, Table};
use crate::vocabulary::kinds;

/// What a pilot said or what happened, in plain words, with a kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Report {
    pub id: String,
    pub kind: Located<String>,
    pub date: NaiveDate,
    pub by: String,
    pub text: String,
    /// Modules that the inspector adds to those that the kind selects.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub modules: Vec<Located<String>>,
    /// Where it stands in the technical log.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub log: Option<String>,
    /// The day of the annual that dealt with it; a later annual is not targeted by it.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dealt_with: Option<NaiveDate>,
    /// How: in which session, by which steps, or set aside and why.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub dealt_with_how: Option<String>,
}

/// An annual of this airframe that was signed.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct PastAnnual {
    pub date: NaiveDate,
    /// Id of its session.
    pub session: Option<String>,
    /// "released", or "completed, not airworthy".
    pub outcome: String,
    pub by: String,
    pub hours: Option<Number>,
    pub launches: Option<u32>,
}

pub(super) fn read_report(table: Table<'_>) -> Option<Report> {
    let id = table.required_text("id");
    let kind = table.required_text("kind");
    let date = table.required_date("date");
    let by = table.text("by").map_or_else(String::new, |text| text.value);
    let text = table.required_text("text");
    if let Some(kind) = kind.as_ref().filter(|kind| !kinds().any(|id| id == kind.value)) {
        table.unknown_word("unknown-kind", say!("kind of report or occurrence"), kind, kinds());
    }
    let modules = table.texts("modules");
    let log = table.text("log").map(|text| text.value);
    let dealt_with = table.date("dealt_with").map(|date| date.value);
    let dealt_with_how = table.text("dealt_with_how").map(|text| text.value);
    table.finish();
    Some(Report {
        id: id?.value,
        kind: kind?,
        date: date?.value,
        by,
        text: text?.value,
        modules,
        log,
        dealt_with,
        dealt_with_how,
    })
}

pub(super) fn read_annual(table: Table<'_>) -> Option<PastAnnual> {
    let (date, outcome) = (table.required_date("date"), table.required_text("outcome"));
    let session = table.text("session").map(|text| text.value);
    let by = table.text("by").map_or_else(String::new, |text| text.value);
    let hours = super::positive(&table, "hours");
    let launches = table.whole("launches").map(|found| found.value);
    table.finish();
    Some(PastAnnual { date: date?.value, session, outcome: outcome?.value, by, hours, launches })
}
