//! One airframe's record: identity, build standard, totals, papers, reports, directives, life-limited items, defects,
//! readings.
//!
//! Written by hand or from the screen; [`super::edit`] changes the text without touching the rest of it.

mod applicability;
mod defect;
mod directive;
mod interval;
mod life_item;
mod papers;
mod readings;
mod report;

use std::sync::Arc;

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::diagnostic::{Diagnostic, Source};
use crate::quantity::Number;
use crate::source::{Located, Table, read_toml};
use crate::vocabulary::EQUIPMENT;

pub use applicability::{Applicability, SerialRange};
pub use defect::{DefectStanding, DeferralRules, RecordedDefect};
pub use directive::{Compliance, Directive};
pub use interval::Interval;
pub use life_item::{Counters, CountsFrom, Life, LifeItem};
pub use papers::{Certificate, Fitted, Manual, Modification, Repair, Weighing};
pub use readings::{EarlierReading, Reference, Withdrawn};
pub use report::{PastAnnual, Report};

/// Keys that came later are left out of a frozen plan where they are empty, so that older plans keep their hash.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Airframe {
    pub registration: String,
    /// Type id, as the type supplement names it.
    pub type_id: String,
    pub serial: String,
    /// Modifications and laminate changes that make its structure another one: stiffness is compared only within them.
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
    /// Owner or operator.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub owner: Option<String>,
    /// The day of `hours`, `launches` and `cycles`.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub totals_on: Option<NaiveDate>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub cycles: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub launches_at_last_annual: Option<u32>,
    /// Use that the owner expects until the next annual, a year.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expected_hours: Option<Number>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub expected_launches: Option<u32>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub deferral: Option<DeferralRules>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub modifications: Vec<Modification>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub fitted: Vec<Fitted>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub manuals: Vec<Manual>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub certificates: Vec<Certificate>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub weighings: Vec<Weighing>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub repairs: Vec<Repair>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub compliances: Vec<Compliance>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub defects: Vec<RecordedDefect>,
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub annuals: Vec<PastAnnual>,
}

impl Airframe {
    /// Whether it carries a modification or laminate change.
    pub fn carries(&self, id: &str) -> bool {
        self.build_standard.iter().any(|carried| carried == id)
            || self.modifications.iter().any(|modification| modification.id == id)
    }

    /// Reports and occurrences that no annual has dealt with.
    pub fn open_reports(&self) -> impl Iterator<Item = &Report> {
        self.reports.iter().filter(|report| report.dealt_with.is_none())
    }

    /// Defects that stand open in the record.
    pub fn open_defects(&self) -> impl Iterator<Item = &RecordedDefect> {
        self.defects.iter().filter(|defect| defect.is_open())
    }

    /// What the record says keeps it on the ground on that day.
    pub fn grounded_on(&self, day: NaiveDate) -> Vec<String> {
        self.defects.iter().filter_map(|defect| defect.grounds_on(day)).collect()
    }

    /// The newest compliance with a directive that the record lists.
    pub fn last_compliance(&self, directive: &str) -> Option<&Compliance> {
        self.compliances.iter().filter(|done| done.directive == directive).max_by_key(|done| done.on)
    }
}

/// Reads one airframe record. The error holds all its faults in file order.
pub fn read_airframe(source: &Arc<Source>) -> Result<Airframe, Vec<Diagnostic>> {
    read_toml(source, read_root)
}

/// A number that counts or weighs: not below zero.
pub(super) fn positive(table: &Table<'_>, key: &'static str) -> Option<Number> {
    let number = table.number(key)?;
    if number.value.decimal().is_sign_negative() && !number.value.decimal().is_zero() {
        return table.reject(
            "negative",
            number.span,
            say!("\"{key}\" is below zero", key = key),
            say!("enter it without a sign"),
        );
    }
    Some(number.value)
}

fn read_root(root: Table<'_>) -> Option<Airframe> {
    let drafts: Vec<directive::Draft> =
        read_list(&root, "directive", mark!("a directive"), directive::read_directive);
    let head = read_head(&root);
    let mut airframe = Airframe {
        reports: read_list(&root, "report", mark!("a report"), report::read_report),
        life_items: read_list(&root, "life_item", mark!("a life-limited item"), life_item::read_life_item),
        earlier_readings: read_list(
            &root,
            "earlier_reading",
            mark!("an earlier reading"),
            readings::read_earlier,
        ),
        references: read_list(&root, "reference", mark!("a reference"), readings::read_reference),
        deferral: root.table("deferral", mark!("the rules on deferring")).and_then(defect::read_deferral),
        modifications: read_list(&root, "modification", mark!("a modification"), papers::read_modification),
        fitted: read_list(&root, "fitted", mark!("a line of the equipment list"), papers::read_fitted),
        manuals: read_list(&root, "manual", mark!("a manual"), papers::read_manual),
        certificates: read_list(&root, "certificate", mark!("a certificate"), papers::read_certificate),
        weighings: read_list(&root, "weighing", mark!("a weighing"), papers::read_weighing),
        repairs: read_list(&root, "repair", mark!("a repair"), papers::read_repair),
        compliances: read_list(&root, "compliance", mark!("a compliance"), directive::read_compliance),
        defects: read_list(&root, "defect", mark!("a defect"), defect::read_defect),
        annuals: read_list(&root, "annual", mark!("an annual"), report::read_annual),
        ..head
    };
    for draft in drafts {
        let directive = decide_applicability(&root, &airframe, draft);
        airframe.directives.push(directive);
    }
    check_ids(&root, &airframe);
    root.finish();
    Some(airframe)
}

fn read_list<T>(
    root: &Table<'_>,
    key: &'static str,
    what: &'static str,
    read: impl Fn(Table<'_>) -> Option<T>,
) -> Vec<T> {
    root.tables(key, what).into_iter().filter_map(read).collect()
}

/// Everything that stands above the lists.
fn read_head(root: &Table<'_>) -> Airframe {
    let registration = root.required_text("registration");
    let type_id = root.required_text("type");
    let serial = root.required_text("serial");
    let hours = positive(root, "hours");
    if hours.is_none() && !root.has("hours") {
        root.reject::<()>(
            "missing-key",
            0..0,
            say!("the airframe lacks \"hours\""),
            say!("add hours = \"…\", the total time in service"),
        );
    }
    let equipment = root.texts("equipment");
    for word in equipment.iter().filter(|word| !EQUIPMENT.contains(&word.value.as_str())) {
        root.unknown_word("unknown-equipment", say!("equipment"), word, EQUIPMENT.iter().copied());
    }
    let values = |words: Vec<Located<String>>| words.into_iter().map(|word| word.value).collect();
    let text = |found: Option<Located<String>>| found.map(|text| text.value).unwrap_or_default();
    let day = |key| root.date(key).map(|date| date.value);
    let whole = |key| root.whole(key).map(|found| found.value);
    Airframe {
        registration: text(registration),
        type_id: text(type_id),
        serial: text(serial),
        build_standard: values(root.texts("build_standard")),
        manufactured: day("manufactured"),
        hours: hours.unwrap_or_else(|| Number::from(0)),
        launches: whole("launches").unwrap_or(0),
        equipment: values(equipment),
        last_annual: day("last_annual"),
        hours_at_last_annual: positive(root, "hours_at_last_annual"),
        owner: root.text("owner").map(|text| text.value),
        totals_on: day("totals_on"),
        cycles: whole("cycles"),
        launches_at_last_annual: whole("launches_at_last_annual"),
        expected_hours: positive(root, "expected_hours"),
        expected_launches: whole("expected_launches"),
        ..Airframe::default()
    }
}

/// What the record states goes first; a statement against its own ranges needs a note.
fn decide_applicability(root: &Table<'_>, airframe: &Airframe, draft: directive::Draft) -> Directive {
    let mut directive = draft.directive;
    let objection = directive.applicability.as_ref().map(|applicability| applicability.objection(airframe));
    match (draft.stated, objection) {
        (Some((stated, span)), Some(objection))
            if stated == objection.is_some() && directive.note.is_none() =>
        {
            let follows = objection.map_or(say!("it applies by its own ranges").to_string(), |why| {
                say!("by its own ranges it does not apply: {why}", why = why)
            });
            root.reject::<()>(
                "applies-contradicts",
                span,
                say!("applies = {stated}, and {follows}", stated = stated, follows = follows),
                say!("leave \"applies\" out, correct the ranges, or add a note that says why"),
            );
            directive.applies = stated;
        }
        (Some((stated, _)), _) => directive.applies = stated,
        (None, Some(objection)) => directive.applies = objection.is_none(),
        (None, None) => {}
    }
    directive
}

fn check_ids(root: &Table<'_>, airframe: &Airframe) {
    check_unique(root, "report", airframe.reports.iter().map(|report| report.id.as_str()));
    check_unique(root, "directive", airframe.directives.iter().map(|directive| directive.id.as_str()));
    check_unique(root, "life_item", airframe.life_items.iter().map(|item| item.id.as_str()));
    check_unique(root, "modification", airframe.modifications.iter().map(|found| found.id.as_str()));
    check_unique(root, "repair", airframe.repairs.iter().map(|repair| repair.id.as_str()));
    check_unique(root, "defect", airframe.defects.iter().map(|defect| defect.id.as_str()));
    for done in &airframe.compliances {
        if !airframe.directives.iter().any(|directive| directive.id == done.directive) {
            let known = airframe.directives.iter().map(|directive| directive.id.as_str());
            let hint = crate::diagnostic::suggest(&done.directive, known);
            root.reject::<()>(
                "unknown-directive",
                root.span_in_list("compliance", "directive", &done.directive, 0),
                say!(
                    "a compliance names the directive \"{}\", which the record does not have",
                    done.directive
                ),
                hint.unwrap_or_else(|| say!("add the directive").to_string()),
            );
        }
    }
}

fn check_unique<'a>(root: &Table<'_>, key: &'static str, ids: impl Iterator<Item = &'a str>) {
    let mut seen = std::collections::BTreeSet::new();
    for id in ids {
        if !seen.insert(id) {
            root.reject::<()>(
                "duplicate-id",
                root.span_in_list(key, "id", id, 1),
                say!("two entries of [[{key}]] are called \"{id}\"", key = key, id = id),
                say!("give one of them another id"),
            );
        }
    }
}
