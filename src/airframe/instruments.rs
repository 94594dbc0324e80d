//! The instrument register: what readings are taken with, how well it reads, until when that is certified.

use std::sync::Arc;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::diagnostic::{Diagnostic, Source};
use crate::quantity::{Number, Unit};
use crate::source::{Table, read_toml};

#[derive(Debug, Clone, Default)]
pub struct Instruments(pub Vec<Instrument>);

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct Instrument {
    pub id: String,
    pub title: String,
    /// What it measures, in plain words.
    pub quantity: String,
    pub unit: Unit,
    /// Smallest step of the display, in `unit`.
    pub resolution: Option<Number>,
    /// Expanded uncertainty of its certificate, k = 2, in `unit`.
    pub uncertainty: Option<Number>,
    pub calibration_due: Option<NaiveDate>,
    pub certificate: String,
}

impl Instruments {
    pub fn find(&self, id: &str) -> Option<&Instrument> {
        self.0.iter().find(|instrument| instrument.id == id)
    }
}

/// Reads the register `instruments.toml`.
pub fn read_instruments(source: &Arc<Source>) -> Result<Instruments, Vec<Diagnostic>> {
    read_toml(source, |root| {
        let instruments: Vec<Instrument> = root
            .tables("instrument", mark!("an instrument"))
            .into_iter()
            .filter_map(read_instrument)
            .collect();
        let mut seen = std::collections::BTreeSet::new();
        for instrument in &instruments {
            if !seen.insert(instrument.id.as_str()) {
                let span = root.span_in_list("instrument", "id", &instrument.id, 1);
                let message = say!("two instruments are called \"{}\"", instrument.id);
                root.reject::<()>("duplicate-id", span, message, say!("give one of them another id"));
            }
        }
        root.finish();
        Some(Instruments(instruments))
    })
}

fn read_instrument(table: Table<'_>) -> Option<Instrument> {
    let (id, title) = (table.required_text("id"), table.required_text("title"));
    let (quantity, unit) = (table.required_text("quantity"), table.unit("unit"));
    let resolution = super::record::positive(&table, "resolution");
    let uncertainty = super::record::positive(&table, "uncertainty");
    let calibration_due = table.date("calibration_due").map(|date| date.value);
    let certificate = table.text("certificate").map_or_else(String::new, |text| text.value);
    if unit.is_none() && !table.has("unit") {
        table.reject::<()>(
            "unit-missing",
            table.span(),
            say!("the instrument lacks \"unit\""),
            say!("add unit = \"mm\", or whichever it shows"),
        );
    }
    table.finish();
    Some(Instrument {
        id: id?.value,
        title: title?.value,
        quantity: quantity?.value,
        unit: unit?.value,
        resolution,
        uncertainty,
        calibration_due,
        certificate,
    })
}
