//! What else the papers of an airframe say: modifications, equipment, manuals, certificates, weighings, repairs.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::quantity::Number;
use crate::source::Table;

/// A modification or laminate change. Those that make a build standard of their own stand in `build_standard`, too.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Modification {
    pub id: String,
    pub title: String,
    pub is_laminate_change: bool,
    pub on: Option<NaiveDate>,
    /// The approved data by which it was done.
    pub data: Option<String>,
    pub note: Option<String>,
}

/// One line of the equipment list.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Fitted {
    pub title: String,
    pub part_number: Option<String>,
    pub serial: Option<String>,
    pub position: Option<String>,
    pub note: Option<String>,
}

/// A manual with the revision that was in force when the record was written.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Manual {
    pub title: String,
    pub revision: String,
    pub date: Option<NaiveDate>,
}

/// A dated paper such as the airworthiness review.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Certificate {
    pub title: String,
    pub number: Option<String>,
    /// The last valid day.
    pub expiry: NaiveDate,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Weighing {
    pub date: NaiveDate,
    /// Empty mass, kg.
    pub empty_mass_kg: Number,
    /// Empty centre of gravity, mm aft of the type's datum.
    pub empty_cg_mm: Option<Number>,
    pub by: String,
    pub reason: Option<String>,
    /// When it falls due again by the manual or the local rules.
    pub next_due: Option<NaiveDate>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Repair {
    pub id: String,
    pub date: NaiveDate,
    pub what: String,
    pub component: Option<String>,
    pub side: Option<String>,
    /// From the type's datum.
    pub station_mm: Option<Number>,
    pub by: String,
    /// The approved data by which it was done.
    pub data: Option<String>,
}

fn optional(table: &Table<'_>, key: &'static str) -> Option<String> {
    table.text(key).map(|text| text.value)
}

fn or_empty(table: &Table<'_>, key: &'static str) -> String {
    optional(table, key).unwrap_or_default()
}

pub(super) fn read_modification(table: Table<'_>) -> Option<Modification> {
    let (id, title) = (table.required_text("id"), table.required_text("title"));
    let is_laminate_change = table.flag("laminate_change").unwrap_or(false);
    let on = table.date("on").map(|date| date.value);
    let (data, note) = (optional(&table, "data"), optional(&table, "note"));
    table.finish();
    Some(Modification { id: id?.value, title: title?.value, is_laminate_change, on, data, note })
}

pub(super) fn read_fitted(table: Table<'_>) -> Option<Fitted> {
    let title = table.required_text("title");
    let [part_number, serial, position, note] =
        ["part_number", "serial", "position", "note"].map(|key| optional(&table, key));
    table.finish();
    Some(Fitted { title: title?.value, part_number, serial, position, note })
}

pub(super) fn read_manual(table: Table<'_>) -> Option<Manual> {
    let (title, revision) = (table.required_text("title"), table.required_text("revision"));
    let date = table.date("date").map(|date| date.value);
    table.finish();
    Some(Manual { title: title?.value, revision: revision?.value, date })
}

pub(super) fn read_certificate(table: Table<'_>) -> Option<Certificate> {
    let (title, expiry) = (table.required_text("title"), table.required_date("expiry"));
    let number = optional(&table, "number");
    table.finish();
    Some(Certificate { title: title?.value, number, expiry: expiry?.value })
}

pub(super) fn read_weighing(table: Table<'_>) -> Option<Weighing> {
    let (date, mass) = (table.required_date("date"), super::positive(&table, "empty_mass_kg"));
    if mass.is_none() && !table.has("empty_mass_kg") {
        table.reject::<()>(
            "missing-key",
            table.span(),
            say!("a weighing lacks \"empty_mass_kg\""),
            say!("add empty_mass_kg = \"…\""),
        );
    }
    let empty_cg_mm = table.number("empty_cg_mm").map(|number| number.value);
    let (by, reason) = (or_empty(&table, "by"), optional(&table, "reason"));
    let next_due = table.date("next_due").map(|date| date.value);
    table.finish();
    Some(Weighing { date: date?.value, empty_mass_kg: mass?, empty_cg_mm, by, reason, next_due })
}

pub(super) fn read_repair(table: Table<'_>) -> Option<Repair> {
    let (id, date, what) =
        (table.required_text("id"), table.required_date("date"), table.required_text("what"));
    let (component, side) = (optional(&table, "component"), optional(&table, "side"));
    let station_mm = table.number("station_mm").map(|number| number.value);
    let (by, data) = (or_empty(&table, "by"), optional(&table, "data"));
    table.finish();
    Some(Repair {
        id: id?.value,
        date: date?.value,
        what: what?.value,
        component,
        side,
        station_mm,
        by,
        data,
    })
}
