//! The keys of the hangar's files as a person fills them in: one table, from which forms, commands and help are made.
//!
//! It says how a key is asked for, not what makes a file right: that is for the readers, which look at every change before it
//! is written.

use crate::vocabulary::{EQUIPMENT, OCCURRENCES, REPORTS};

/// How a key is written.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    Text,
    /// A decided number, kept as typed; with its unit in words, for the label.
    Number(&'static str),
    Whole,
    /// As 2026-11-25.
    Date,
    Flag,
    /// One of these words.
    Choice(&'static [&'static str]),
    /// Words joined by commas; of these words, where some are given.
    Texts(&'static [&'static str]),
    /// A kind of report or occurrence, by id; see [`kinds_of_reports`].
    ReportKind,
}

/// One key.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Field {
    /// A key of the entry; "withdrawn.on" is the key `on` of its table `withdrawn`.
    pub key: &'static str,
    pub label: &'static str,
    pub form: Form,
    pub needed: bool,
    pub hint: &'static str,
}

/// A list of entries in a file, as `[[key]]`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct List {
    pub key: &'static str,
    /// With its article: "a report or occurrence".
    pub one: &'static str,
    pub title: &'static str,
    pub fields: &'static [Field],
}

const fn field(key: &'static str, label: &'static str, form: Form) -> Field {
    Field { key, label, form, needed: false, hint: "" }
}

const fn needed(key: &'static str, label: &'static str, form: Form) -> Field {
    Field { key, label, form, needed: true, hint: "" }
}

const fn hinted(field: Field, hint: &'static str) -> Field {
    Field { hint, ..field }
}

/// Ids and plain words of all kinds, reports first.
pub fn kinds_of_reports() -> impl Iterator<Item = (&'static str, &'static str)> {
    REPORTS.iter().chain(OCCURRENCES).copied()
}

const SEVERITIES: &[&str] = &["minor", "major", "grounding"];
const SIDES: &[&str] = &["left", "right", "both", "centre"];

/// What stands above the lists of an airframe's record.
pub const AIRFRAME: &[Field] = &[
    needed("registration", "registration", Form::Text),
    hinted(needed("type", "type", Form::Text), "as a type supplement of the library names it"),
    needed("serial", "serial number", Form::Text),
    hinted(
        field("build_standard", "build standard", Form::Texts(&[])),
        "modifications and laminate changes that make its structure another one",
    ),
    field("owner", "owner or operator", Form::Text),
    field("manufactured", "manufactured on", Form::Date),
    needed("hours", "total time in service", Form::Number("h")),
    field("launches", "launches", Form::Whole),
    field("cycles", "cycles", Form::Whole),
    field("totals_on", "totals as of", Form::Date),
    field("equipment", "equipment", Form::Texts(EQUIPMENT)),
    field("last_annual", "last annual", Form::Date),
    field("hours_at_last_annual", "hours at the last annual", Form::Number("h")),
    field("launches_at_last_annual", "launches at the last annual", Form::Whole),
    hinted(
        field("expected_hours", "hours expected in a year", Form::Number("h")),
        "for what falls due before the next annual",
    ),
    field("expected_launches", "launches expected in a year", Form::Whole),
    field("deferral.forbidden", "nothing may be deferred", Form::Flag),
    hinted(
        field("deferral.longest_months", "longest deferral, months", Form::Whole),
        "from the first finding to the limit",
    ),
    field("deferral.not_on", "nothing may be deferred on", Form::Texts(&[])),
    field("deferral.source", "source of these rules", Form::Text),
];

const INTERVAL_HINT: &str = "one of months, calendar months (to the month's end) and days";

/// The lists of an airframe's record, in the order of the screen.
pub const AIRFRAME_LISTS: &[List] = &[
    List {
        key: "report",
        one: "a report or occurrence",
        title: "Reports and occurrences",
        fields: &[
            needed("id", "id", Form::Text),
            needed("kind", "kind", Form::ReportKind),
            needed("date", "date", Form::Date),
            field("by", "by whom", Form::Text),
            hinted(needed("text", "what was reported", Form::Text), "in the pilot's own words"),
            field("log", "where in the technical log", Form::Text),
            hinted(
                field("modules", "further modules", Form::Texts(&[])),
                "besides those that the kind selects",
            ),
            hinted(
                field("dealt_with", "dealt with by the annual of", Form::Date),
                "then no later annual is targeted by it",
            ),
            field("dealt_with_how", "how it was dealt with", Form::Text),
        ],
    },
    List {
        key: "defect",
        one: "a defect that stands open",
        title: "Deferred and open defects",
        fields: &[
            needed("id", "id", Form::Text),
            needed("what", "what is wrong", Form::Text),
            field("component", "component", Form::Text),
            field("side", "side", Form::Choice(SIDES)),
            field("station_mm", "station, from the type's datum", Form::Number("mm")),
            needed("severity", "severity", Form::Choice(SEVERITIES)),
            needed("standing", "standing", Form::Choice(&["deferred", "referred", "not-airworthy"])),
            needed("found", "first found on", Form::Date),
            hinted(field("until", "deferred until", Form::Date), "the last day"),
            field("step", "found by the step", Form::Text),
            field("session", "session", Form::Text),
            field("session_defect", "its name in that session", Form::Text),
            field("note", "note", Form::Text),
            field("closed", "closed on", Form::Date),
            field("closed_by", "how it was closed", Form::Text),
        ],
    },
    List {
        key: "directive",
        one: "a directive or bulletin",
        title: "Directives and bulletins",
        fields: &[
            needed("id", "number", Form::Text),
            needed("title", "title", Form::Text),
            field("bulletin", "a bulletin", Form::Flag),
            field("types", "for the types", Form::Texts(&[])),
            hinted(
                field("serials", "for the serial numbers", Form::Texts(&[])),
                "as 0101..0150, 0301.., 0107",
            ),
            field("with", "only with", Form::Texts(&[])),
            field("without", "only without", Form::Texts(&[])),
            hinted(
                field("applies", "applies", Form::Flag),
                "left out: as types, serial numbers and modifications say",
            ),
            field("repeating", "repeats", Form::Flag),
            field("due", "due on", Form::Date),
            field("due_hours", "due at", Form::Number("h")),
            field("due_launches", "due at launches", Form::Whole),
            hinted(field("months", "every so many months", Form::Whole), INTERVAL_HINT),
            hinted(field("calendar_months", "every so many calendar months", Form::Whole), INTERVAL_HINT),
            hinted(field("days", "every so many days", Form::Whole), INTERVAL_HINT),
            field("hours", "every so many hours", Form::Number("h")),
            field("launches", "every so many launches", Form::Whole),
            field("cycles", "every so many cycles", Form::Whole),
            hinted(
                field("complied", "complied on", Form::Date),
                "or an entry of its own among the compliances",
            ),
            field("note", "note", Form::Text),
        ],
    },
    List {
        key: "compliance",
        one: "a compliance",
        title: "Compliances",
        fields: &[
            needed("directive", "directive", Form::Text),
            needed("on", "on", Form::Date),
            field("hours", "at", Form::Number("h")),
            field("launches", "at launches", Form::Whole),
            field("cycles", "at cycles", Form::Whole),
            field("by", "by whom", Form::Text),
            field("how", "how, by which data", Form::Text),
        ],
    },
    List {
        key: "life_item",
        one: "a life-limited or time-controlled item",
        title: "Life-limited and time-controlled items",
        fields: &[
            needed("id", "id", Form::Text),
            needed("title", "title", Form::Text),
            field("part_number", "part number", Form::Text),
            field("serial", "serial number", Form::Text),
            field("manufactured", "manufactured on", Form::Date),
            field("installed", "installed or overhauled on", Form::Date),
            field("from", "the calendar counts from", Form::Choice(&["installation", "manufacture"])),
            hinted(field("months", "life in months", Form::Whole), INTERVAL_HINT),
            hinted(field("calendar_months", "life in calendar months", Form::Whole), INTERVAL_HINT),
            hinted(field("days", "life in days", Form::Whole), INTERVAL_HINT),
            field("hours", "life in hours", Form::Number("h")),
            field("launches", "life in launches", Form::Whole),
            field("cycles", "life in cycles", Form::Whole),
            hinted(
                field("airframe_hours_then", "airframe hours when installed", Form::Number("h")),
                "needed where it counts hours",
            ),
            field("airframe_launches_then", "airframe launches when installed", Form::Whole),
            field("airframe_cycles_then", "airframe cycles when installed", Form::Whole),
            field("item_hours_then", "hours it had before", Form::Number("h")),
            field("item_launches_then", "launches it had before", Form::Whole),
            field("item_cycles_then", "cycles it had before", Form::Whole),
            field("due", "due on", Form::Date),
            field("due_hours", "due at", Form::Number("h")),
            field("due_launches", "due at launches", Form::Whole),
            field("due_cycles", "due at cycles", Form::Whole),
            field("note", "note", Form::Text),
        ],
    },
    List {
        key: "modification",
        one: "a modification or laminate change",
        title: "Modifications and laminate changes",
        fields: &[
            needed("id", "id", Form::Text),
            needed("title", "title", Form::Text),
            field("laminate_change", "a change of the laminate", Form::Flag),
            field("on", "done on", Form::Date),
            field("data", "approved data", Form::Text),
            field("note", "note", Form::Text),
        ],
    },
    List {
        key: "repair",
        one: "a repair",
        title: "Repairs",
        fields: &[
            needed("id", "id", Form::Text),
            needed("date", "date", Form::Date),
            needed("what", "what was repaired", Form::Text),
            field("component", "component", Form::Text),
            field("side", "side", Form::Choice(SIDES)),
            field("station_mm", "station, from the type's datum", Form::Number("mm")),
            field("by", "by whom", Form::Text),
            field("data", "approved data", Form::Text),
        ],
    },
    List {
        key: "weighing",
        one: "a weighing",
        title: "Weighings",
        fields: &[
            needed("date", "date", Form::Date),
            needed("empty_mass_kg", "empty mass", Form::Number("kg")),
            field("empty_cg_mm", "empty centre of gravity, aft of the datum", Form::Number("mm")),
            field("by", "by whom", Form::Text),
            field("reason", "why it was weighed", Form::Text),
            field("next_due", "next due", Form::Date),
        ],
    },
    List {
        key: "certificate",
        one: "a certificate",
        title: "Certificates",
        fields: &[
            needed("title", "title", Form::Text),
            field("number", "number", Form::Text),
            needed("expiry", "valid through", Form::Date),
        ],
    },
    List {
        key: "manual",
        one: "a manual",
        title: "Manuals",
        fields: &[
            needed("title", "title", Form::Text),
            needed("revision", "revision", Form::Text),
            field("date", "date", Form::Date),
        ],
    },
    List {
        key: "fitted",
        one: "a line of the equipment list",
        title: "Equipment list",
        fields: &[
            needed("title", "what", Form::Text),
            field("part_number", "part number", Form::Text),
            field("serial", "serial number", Form::Text),
            field("position", "where", Form::Text),
            field("note", "note", Form::Text),
        ],
    },
    List {
        key: "earlier_reading",
        one: "an earlier reading",
        title: "Readings of earlier annuals",
        fields: &[
            needed("step", "step", Form::Text),
            needed("measure", "measurement", Form::Text),
            needed("date", "date", Form::Date),
            needed("value", "value", Form::Number("")),
            needed("unit", "unit", Form::Text),
            hinted(
                field("standard_uncertainty", "standard uncertainty", Form::Number("")),
                "in the same unit, where it was evaluated",
            ),
            hinted(
                field("starts_new_series", "a new series begins because", Form::Text),
                "a repair, another gauge, another load",
            ),
        ],
    },
    List {
        key: "reference",
        one: "a reference from another airframe",
        title: "References from other airframes",
        fields: &[
            needed("registration", "registration", Form::Text),
            needed("type", "type", Form::Text),
            field("build_standard", "build standard", Form::Texts(&[])),
            needed("step", "step", Form::Text),
            needed("measure", "measurement", Form::Text),
            needed("stiffness_n_per_mm", "stiffness", Form::Number("N/mm")),
            field("standard_uncertainty_n_per_mm", "its standard uncertainty", Form::Number("N/mm")),
            needed("date", "date", Form::Date),
            field("believed_sound", "believed sound", Form::Flag),
            needed("provenance", "where it comes from", Form::Text),
            field("withdrawn.on", "taken back on", Form::Date),
            field("withdrawn.by", "taken back by", Form::Text),
            field("withdrawn.reason", "why", Form::Text),
        ],
    },
    List {
        key: "annual",
        one: "an annual",
        title: "Annuals",
        fields: &[
            needed("date", "date", Form::Date),
            needed("outcome", "outcome", Form::Text),
            field("session", "session", Form::Text),
            field("by", "by whom", Form::Text),
            field("hours", "at", Form::Number("h")),
            field("launches", "at launches", Form::Whole),
        ],
    },
];

/// The register of instruments.
pub const INSTRUMENTS: List = List {
    key: "instrument",
    one: "an instrument",
    title: "Instruments",
    fields: &[
        needed("id", "id", Form::Text),
        needed("title", "title", Form::Text),
        hinted(needed("quantity", "quantity", Form::Text), "what it measures: force, length, mass …"),
        needed("unit", "unit", Form::Text),
        field("resolution", "smallest step of the display", Form::Number("")),
        hinted(
            field("uncertainty", "expanded uncertainty, k = 2", Form::Number("")),
            "of its certificate, in its unit",
        ),
        hinted(
            field("calibration_due", "calibration due", Form::Date),
            "a reading that demands an instrument keeps from signing without it",
        ),
        field("certificate", "certificate", Form::Text),
    ],
};

/// The register of people.
pub const PEOPLE: List = List {
    key: "person",
    one: "a person",
    title: "People",
    fields: &[
        needed("id", "id", Form::Text),
        needed("name", "name", Form::Text),
        needed(
            "role",
            "role",
            Form::Choice(&["inspector", "helper", "second-inspector", "author", "auditor"]),
        ),
    ],
};

/// What a person may sign; entries below a person. Keys are entered by their own command.
pub const AUTHORISATIONS: List = List {
    key: "authorisation",
    one: "an authorisation",
    title: "Authorisations",
    fields: &[
        needed("kind", "for", Form::Choice(&["annual-release", "independent-inspection"])),
        needed("number", "number", Form::Text),
        needed("certificate", "kind of certificate or licence", Form::Text),
        hinted(needed("types", "for the types", Form::Texts(&[])), "* for all"),
        needed("valid_until", "valid until", Form::Date),
    ],
};

/// The list of an airframe's record with this key.
pub fn airframe_list(key: &str) -> Option<&'static List> {
    AIRFRAME_LISTS.iter().find(|list| list.key == key)
}
