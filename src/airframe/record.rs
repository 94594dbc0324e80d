//! One airframe: identity, build standard, times, reports, directives, life-limited items, earlier readings.

use std::sync::Arc;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::diagnostic::{Diagnostic, Source};
use crate::quantity::{Number, Unit};
use crate::source::{Located, Table, read_toml};
use crate::vocabulary::{EQUIPMENT, kinds};

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Airframe {
    pub registration: String,
    /// Type id, as the type supplement names it.
    pub type_id: String,
    pub serial: String,
    /// Modifications and laminate changes that this airframe carries.
    pub build_standard: Vec<String>,
    pub manufactured: Option<NaiveDate>,
    /// Total time in service, hours.
    pub hours: Number,
    pub launches: u32,
    pub equipment: Vec<String>,
    pub last_annual: Option<NaiveDate>,
    pub hours_at_last_annual: Option<Number>,
    pub reports: Vec<Report>,
    pub directives: Vec<Directive>,
    pub life_items: Vec<LifeItem>,
    pub earlier_readings: Vec<EarlierReading>,
    pub references: Vec<Reference>,
}

/// What a pilot said or what happened, in plain words, with a kind.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Report {
    pub id: String,
    pub kind: Located<String>,
    pub date: NaiveDate,
    pub by: String,
    pub text: String,
}

/// An airworthiness directive or service bulletin and how the airframe stands to it.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Directive {
    pub id: String,
    pub title: String,
    pub applies: bool,
    pub repeating: bool,
    pub due: Option<NaiveDate>,
    pub due_hours: Option<Number>,
    pub complied: Option<NaiveDate>,
    pub note: Option<String>,
}

/// A life-limited or time-controlled item; whichever of its limits comes first governs.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct LifeItem {
    pub id: String,
    pub title: String,
    pub due: Option<NaiveDate>,
    pub due_hours: Option<Number>,
    pub due_launches: Option<u32>,
    pub note: Option<String>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct EarlierReading {
    pub step: String,
    pub measure: String,
    pub date: NaiveDate,
    pub value: Number,
    pub unit: Unit,
    /// In `unit`, where it was evaluated; without it the value is shown and not tested for a trend.
    pub standard_uncertainty: Option<Number>,
    /// A repair, a modification, another gauge or load level since the annual before.
    pub starts_new_series: Option<String>,
}

/// A stiffness measured on another airframe, with where it comes from.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Reference {
    pub registration: String,
    pub type_id: String,
    pub build_standard: Vec<String>,
    pub step: String,
    pub measure: String,
    pub stiffness_n_per_mm: Number,
    /// Of that stiffness, where it was evaluated.
    pub standard_uncertainty_n_per_mm: Option<Number>,
    pub date: NaiveDate,
    pub believed_sound: bool,
    pub provenance: String,
    /// Found damaged or doubtful later: no longer compared with, still shown.
    pub withdrawn: Option<Withdrawn>,
}

/// A reference taken back.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Withdrawn {
    pub on: NaiveDate,
    pub by: String,
    pub reason: String,
}

/// Reads one airframe record. The error holds all its faults in file order.
pub fn read_airframe(source: &Arc<Source>) -> Result<Airframe, Vec<Diagnostic>> {
    read_toml(source, read_root)
}

fn read_root(root: Table<'_>) -> Option<Airframe> {
    let registration = root.required_text("registration");
    let type_id = root.required_text("type");
    let serial = root.required_text("serial");
    let hours = root.number("hours");
    if hours.is_none() && !root.has("hours") {
        root.reject::<()>(
            "missing-key",
            0..0,
            "the airframe lacks \"hours\"",
            "add hours = \"…\", the total time in service",
        );
    }
    let launches = root.whole("launches").map_or(0, |launches| launches.value);
    let equipment = root.texts("equipment");
    for word in equipment.iter().filter(|word| !EQUIPMENT.contains(&word.value.as_str())) {
        root.unknown_word("unknown-equipment", "equipment", word, EQUIPMENT.iter().copied());
    }
    let values = |words: Vec<Located<String>>| words.into_iter().map(|word| word.value).collect();
    let reports: Vec<Report> =
        root.tables("report", "a report").into_iter().filter_map(read_report).collect();
    let directives: Vec<Directive> =
        root.tables("directive", "a directive").into_iter().filter_map(read_directive).collect();
    let life_items: Vec<LifeItem> =
        root.tables("life_item", "a life-limited item").into_iter().filter_map(read_life_item).collect();
    check_unique(&root, "report", reports.iter().map(|report| report.id.as_str()));
    check_unique(&root, "directive", directives.iter().map(|directive| directive.id.as_str()));
    check_unique(&root, "life_item", life_items.iter().map(|item| item.id.as_str()));
    let airframe = Airframe {
        registration: registration.map(|text| text.value).unwrap_or_default(),
        type_id: type_id.map(|text| text.value).unwrap_or_default(),
        serial: serial.map(|text| text.value).unwrap_or_default(),
        build_standard: values(root.texts("build_standard")),
        manufactured: root.date("manufactured").map(|date| date.value),
        hours: hours.map_or_else(|| Number::from(0), |hours| hours.value),
        launches,
        equipment: values(equipment),
        last_annual: root.date("last_annual").map(|date| date.value),
        hours_at_last_annual: root.number("hours_at_last_annual").map(|hours| hours.value),
        reports,
        directives,
        life_items,
        earlier_readings: root
            .tables("earlier_reading", "an earlier reading")
            .into_iter()
            .filter_map(read_earlier)
            .collect(),
        references: root.tables("reference", "a reference").into_iter().filter_map(read_reference).collect(),
    };
    root.finish();
    Some(airframe)
}

fn check_unique<'a>(root: &Table<'_>, key: &'static str, ids: impl Iterator<Item = &'a str>) {
    let mut seen = std::collections::BTreeSet::new();
    for id in ids {
        if !seen.insert(id) {
            let span = root.span_of(key).unwrap_or(0..0);
            root.reject::<()>(
                "duplicate-id",
                span,
                format!("two entries of [[{key}]] are called \"{id}\""),
                "give one of them another id",
            );
        }
    }
}

fn read_report(table: Table<'_>) -> Option<Report> {
    let id = table.required_text("id");
    let kind = table.required_text("kind");
    let date = table.required_date("date");
    let by = table.text("by").map_or_else(String::new, |text| text.value);
    let text = table.required_text("text");
    if let Some(kind) = kind.as_ref().filter(|kind| !kinds().any(|id| id == kind.value)) {
        table.unknown_word("unknown-kind", "kind of report or occurrence", kind, kinds());
    }
    table.finish();
    Some(Report { id: id?.value, kind: kind?, date: date?.value, by, text: text?.value })
}

fn read_directive(table: Table<'_>) -> Option<Directive> {
    let id = table.required_text("id");
    let title = table.required_text("title");
    let directive = Directive {
        id: String::new(),
        title: String::new(),
        applies: table.flag("applies").unwrap_or(true),
        repeating: table.flag("repeating").unwrap_or(false),
        due: table.date("due").map(|date| date.value),
        due_hours: table.number("due_hours").map(|hours| hours.value),
        complied: table.date("complied").map(|date| date.value),
        note: table.text("note").map(|text| text.value),
    };
    table.finish();
    Some(Directive { id: id?.value, title: title?.value, ..directive })
}

fn read_life_item(table: Table<'_>) -> Option<LifeItem> {
    let id = table.required_text("id");
    let title = table.required_text("title");
    let item = LifeItem {
        id: String::new(),
        title: String::new(),
        due: table.date("due").map(|date| date.value),
        due_hours: table.number("due_hours").map(|hours| hours.value),
        due_launches: table.whole("due_launches").map(|launches| launches.value),
        note: table.text("note").map(|text| text.value),
    };
    table.finish();
    Some(LifeItem { id: id?.value, title: title?.value, ..item })
}

fn read_earlier(table: Table<'_>) -> Option<EarlierReading> {
    let (step, measure) = (table.required_text("step"), table.required_text("measure"));
    let (date, value, unit) = (table.required_date("date"), table.number("value"), table.unit("unit"));
    let standard_uncertainty = table.number("standard_uncertainty").map(|number| number.value);
    let starts_new_series = table.text("starts_new_series").map(|text| text.value);
    table.finish();
    Some(EarlierReading {
        step: step?.value,
        measure: measure?.value,
        date: date?.value,
        value: value?.value,
        unit: unit?.value,
        standard_uncertainty,
        starts_new_series,
    })
}

fn read_reference(table: Table<'_>) -> Option<Reference> {
    let registration = table.required_text("registration");
    let type_id = table.required_text("type");
    let build_standard = table.texts("build_standard").into_iter().map(|word| word.value).collect();
    let (step, measure) = (table.required_text("step"), table.required_text("measure"));
    let stiffness = table.number("stiffness_n_per_mm");
    let standard_uncertainty_n_per_mm =
        table.number("standard_uncertainty_n_per_mm").map(|number| number.value);
    let withdrawn = table.table("withdrawn", "a withdrawal").and_then(read_withdrawn);
    let date = table.required_date("date");
    let believed_sound = table.flag("believed_sound").unwrap_or(false);
    let provenance = table.required_text("provenance");
    table.finish();
    Some(Reference {
        registration: registration?.value,
        type_id: type_id?.value,
        build_standard,
        step: step?.value,
        measure: measure?.value,
        stiffness_n_per_mm: stiffness?.value,
        standard_uncertainty_n_per_mm,
        withdrawn,
        date: date?.value,
        believed_sound,
        provenance: provenance?.value,
    })
}

fn read_withdrawn(table: Table<'_>) -> Option<Withdrawn> {
    let (on, by, reason) =
        (table.required_date("on"), table.required_text("by"), table.required_text("reason"));
    table.finish();
    Some(Withdrawn { on: on?.value, by: by?.value, reason: reason?.value })
}
