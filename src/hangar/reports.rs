//! Reports and occurrences entered into an airframe's record.

use chrono::NaiveDate;

use super::bring_forward::change_record;
use super::{Hangar, HangarError};
use crate::airframe::edit::{Change, Edit, Written};
use crate::checklist::Kind;
use crate::diagnostic::suggest;
use crate::vocabulary::kinds;

/// What a pilot says or what happened, as it is entered.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct NewReport {
    /// Id of its kind.
    pub kind: String,
    pub date: NaiveDate,
    pub by: String,
    pub text: String,
    /// Modules besides those that the kind selects.
    pub modules: Vec<String>,
    /// Where it stands in the technical log.
    pub log: Option<String>,
}

/// Enters it into the record of the airframe. Returns the id that it got.
///
/// # Errors
/// An unknown kind or module, no text, a day that lies ahead; the record has faults or cannot be written.
pub fn add_report(hangar: &Hangar, registration: &str, report: &NewReport) -> Result<String, HangarError> {
    check(hangar, report)?;
    change_record(hangar, registration, |record| {
        let taken = |id: &str| record.reports.iter().any(|known| known.id == id);
        let id = (1..).map(|number| format!("r{number}")).find(|id| !taken(id)).unwrap_or_default();
        let edit = Edit::Add { list: "report".to_string(), below: None, changes: changes(report, &id) };
        (vec![edit], id)
    })
}

fn check(hangar: &Hangar, report: &NewReport) -> Result<(), HangarError> {
    if !kinds().any(|kind| kind == report.kind) {
        let hint = suggest(&report.kind, kinds());
        return Err(HangarError::declined(
            say!("\"{}\" is no kind of report or occurrence", report.kind),
            hint.unwrap_or_else(|| say!("known: {}", kinds().collect::<Vec<_>>().join(", "))),
        ));
    }
    if report.text.trim().is_empty() {
        return Err(HangarError::declined(
            say!("the report says nothing"),
            say!("write what was reported, in the pilot's own words"),
        ));
    }
    if report.date > hangar.today() {
        return Err(HangarError::declined(
            say!("{} lies ahead", crate::words::date(report.date)),
            say!("give the day on which it happened or was reported"),
        ));
    }
    for module in &report.modules {
        let modules = || hangar.library().newest().filter(|found| matches!(found.kind, Kind::Module(_)));
        if !modules().any(|found| found.id.value == *module) {
            let hint = suggest(module, modules().map(|found| found.id.value.as_str()));
            return Err(HangarError::declined(
                say!("the library has no module \"{module}\"", module = module),
                hint.unwrap_or_else(|| say!("leave it out: the kind selects its own").to_string()),
            ));
        }
    }
    Ok(())
}

fn changes(report: &NewReport, id: &str) -> Vec<Change> {
    let text = |key: &str, value: &str| (key.to_string(), Some(Written::Text(value.trim().to_string())));
    let given = |key: &str, value: &str| {
        Some(value).filter(|value| !value.trim().is_empty()).map(|value| text(key, value))
    };
    let mut changes = vec![
        text("id", id),
        text("kind", &report.kind),
        ("date".to_string(), Some(Written::Date(report.date))),
        text("text", &report.text),
    ];
    changes.extend(given("by", &report.by));
    if !report.modules.is_empty() {
        changes.push(("modules".to_string(), Some(Written::Texts(report.modules.clone()))));
    }
    changes.extend(report.log.as_deref().and_then(|log| given("log", log)));
    changes
}
