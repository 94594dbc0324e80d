//! Readings of earlier annuals, and stiffnesses of other airframes to compare with.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::quantity::{Number, Unit};
use crate::source::Table;

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

pub(super) fn read_earlier(table: Table<'_>) -> Option<EarlierReading> {
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

pub(super) fn read_reference(table: Table<'_>) -> Option<Reference> {
    let registration = table.required_text("registration");
    let type_id = table.required_text("type");
    let build_standard = table.texts("build_standard").into_iter().map(|word| word.value).collect();
    let (step, measure) = (table.required_text("step"), table.required_text("measure"));
    let stiffness = table.number("stiffness_n_per_mm");
    let standard_uncertainty_n_per_mm =
        table.number("standard_uncertainty_n_per_mm").map(|number| number.value);
    let withdrawn = table.table("withdrawn", mark!("a withdrawal")).and_then(read_withdrawn);
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
