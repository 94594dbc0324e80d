//! The keys of the hangar's files as a person fills them in: one table, from which forms, commands and help are made.
//!
//! It says how a key is asked for, not what makes a file right: that is for the readers, which look at every change before it
//! is written.

use crate::vocabulary::{EQUIPMENT, OCCURRENCES, REPORTS};
use crate::words::said;

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
    /// As the catalogue has it, like its hint; [`Field::words`] is for showing.
    pub label: &'static str,
    pub form: Form,
    pub needed: bool,
    pub hint: &'static str,
}

impl Field {
    /// The label in the chosen language.
    pub fn words(&self) -> &'static str {
        match self.label {
            // Of a paper, not of a value.
            "number" => say!("of a paper" => "number"),
            label => said(label),
        }
    }
}

/// A list of entries in a file, as `[[key]]`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct List {
    pub key: &'static str,
    /// With its article: "a report or occurrence". Title and this are as the catalogue has them.
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
const SIDES: &[&str] = &[mark!("left"), mark!("right"), mark!("both"), mark!("centre")];

/// What stands above the lists of an airframe's record.
pub const AIRFRAME: &[Field] = &[
    needed("registration", mark!("registration"), Form::Text),
    hinted(needed("type", mark!("type"), Form::Text), mark!("as a type supplement of the library names it")),
    needed("serial", mark!("serial number"), Form::Text),
    hinted(
        field("build_standard", mark!("build standard"), Form::Texts(&[])),
        mark!("modifications and laminate changes that make its structure another one"),
    ),
    field("owner", mark!("owner or operator"), Form::Text),
    field("manufactured", mark!("manufactured on"), Form::Date),
    needed("hours", mark!("total time in service"), Form::Number("h")),
    field("launches", mark!("launches"), Form::Whole),
    field("cycles", mark!("cycles"), Form::Whole),
    field("totals_on", mark!("totals as of"), Form::Date),
    field("equipment", mark!("equipment"), Form::Texts(EQUIPMENT)),
    field("last_annual", mark!("last annual"), Form::Date),
    field("hours_at_last_annual", mark!("hours at the last annual"), Form::Number("h")),
    field("launches_at_last_annual", mark!("launches at the last annual"), Form::Whole),
    hinted(
        field("expected_hours", mark!("hours expected in a year"), Form::Number("h")),
        mark!("for what falls due before the next annual"),
    ),
    field("expected_launches", mark!("launches expected in a year"), Form::Whole),
    field("deferral.forbidden", mark!("nothing may be deferred"), Form::Flag),
    hinted(
        field("deferral.longest_months", mark!("longest deferral, months"), Form::Whole),
        mark!("from the first finding to the limit"),
    ),
    field("deferral.not_on", mark!("nothing may be deferred on"), Form::Texts(&[])),
    field("deferral.source", mark!("source of these rules"), Form::Text),
];

const INTERVAL_HINT: &str = mark!("one of months, calendar months (to the month's end) and days");

/// The lists of an airframe's record, in the order of the screen.
pub const AIRFRAME_LISTS: &[List] = &[
    List {
        key: "report",
        one: mark!("a report or occurrence"),
        title: mark!("Reports and occurrences"),
        fields: &[
            needed("id", mark!("id"), Form::Text),
            needed("kind", mark!("kind"), Form::ReportKind),
            needed("date", mark!("date"), Form::Date),
            field("by", mark!("by whom"), Form::Text),
            hinted(needed("text", mark!("what was reported"), Form::Text), mark!("in the pilot's own words")),
            field("log", mark!("where in the technical log"), Form::Text),
            hinted(
                field("modules", mark!("further modules"), Form::Texts(&[])),
                mark!("besides those that the kind selects"),
            ),
            hinted(
                field("dealt_with", mark!("dealt with by the annual of"), Form::Date),
                mark!("then no later annual is targeted by it"),
            ),
            field("dealt_with_how", mark!("how it was dealt with"), Form::Text),
        ],
    },
    List {
        key: "defect",
        one: mark!("a defect that stands open"),
        title: mark!("Deferred and open defects"),
        fields: &[
            needed("id", mark!("id"), Form::Text),
            needed("what", mark!("what is wrong"), Form::Text),
            field("component", mark!("component"), Form::Text),
            field("side", mark!("side"), Form::Choice(SIDES)),
            field("station_mm", mark!("station, from the type's datum"), Form::Number("mm")),
            needed("severity", mark!("severity"), Form::Choice(SEVERITIES)),
            needed("standing", mark!("standing"), Form::Choice(&["deferred", "referred", "not-airworthy"])),
            needed("found", mark!("first found on"), Form::Date),
            hinted(field("until", mark!("deferred until"), Form::Date), mark!("the last day")),
            field("step", mark!("found by the step"), Form::Text),
            field("session", mark!("session"), Form::Text),
            field("session_defect", mark!("its name in that session"), Form::Text),
            field("note", mark!("note"), Form::Text),
            field("closed", mark!("closed on"), Form::Date),
            field("closed_by", mark!("how it was closed"), Form::Text),
        ],
    },
    List {
        key: "directive",
        one: mark!("a directive or bulletin"),
        title: mark!("Directives and bulletins"),
        fields: &[
            needed("id", "number", Form::Text),
            needed("title", mark!("title"), Form::Text),
            field("bulletin", mark!("a bulletin"), Form::Flag),
            field("types", mark!("for the types"), Form::Texts(&[])),
            hinted(
                field("serials", mark!("for the serial numbers"), Form::Texts(&[])),
                mark!("as 0101..0150, 0301.., 0107"),
            ),
            field("with", mark!("only with"), Form::Texts(&[])),
            field("without", mark!("only without"), Form::Texts(&[])),
            hinted(
                field("applies", mark!("applies"), Form::Flag),
                mark!("left out: as types, serial numbers and modifications say"),
            ),
            field("repeating", mark!("repeats"), Form::Flag),
            field("due", mark!("due on"), Form::Date),
            field("due_hours", mark!("due at"), Form::Number("h")),
            field("due_launches", mark!("due at launches"), Form::Whole),
            hinted(field("months", mark!("every so many months"), Form::Whole), INTERVAL_HINT),
            hinted(
                field("calendar_months", mark!("every so many calendar months"), Form::Whole),
                INTERVAL_HINT,
            ),
            hinted(field("days", mark!("every so many days"), Form::Whole), INTERVAL_HINT),
            field("hours", mark!("every so many hours"), Form::Number("h")),
            field("launches", mark!("every so many launches"), Form::Whole),
            field("cycles", mark!("every so many cycles"), Form::Whole),
            hinted(
                field("complied", mark!("complied on"), Form::Date),
                mark!("or an entry of its own among the compliances"),
            ),
            field("note", mark!("note"), Form::Text),
        ],
    },
    List {
        key: "compliance",
        one: mark!("a compliance"),
        title: mark!("Compliances"),
        fields: &[
            needed("directive", mark!("directive"), Form::Text),
            needed("on", mark!("on"), Form::Date),
            field("hours", mark!("at"), Form::Number("h")),
            field("launches", mark!("at launches"), Form::Whole),
            field("cycles", mark!("at cycles"), Form::Whole),
            field("by", mark!("by whom"), Form::Text),
            field("how", mark!("how, by which data"), Form::Text),
        ],
    },
    List {
        key: "life_item",
        one: mark!("a life-limited or time-controlled item"),
        title: mark!("Life-limited and time-controlled items"),
        fields: &[
            needed("id", mark!("id"), Form::Text),
            needed("title", mark!("title"), Form::Text),
            field("part_number", mark!("part number"), Form::Text),
            field("serial", mark!("serial number"), Form::Text),
            field("manufactured", mark!("manufactured on"), Form::Date),
            field("installed", mark!("installed or overhauled on"), Form::Date),
            field("from", mark!("the calendar counts from"), Form::Choice(&["installation", "manufacture"])),
            hinted(field("months", mark!("life in months"), Form::Whole), INTERVAL_HINT),
            hinted(field("calendar_months", mark!("life in calendar months"), Form::Whole), INTERVAL_HINT),
            hinted(field("days", mark!("life in days"), Form::Whole), INTERVAL_HINT),
            field("hours", mark!("life in hours"), Form::Number("h")),
            field("launches", mark!("life in launches"), Form::Whole),
            field("cycles", mark!("life in cycles"), Form::Whole),
            hinted(
                field("airframe_hours_then", mark!("airframe hours when installed"), Form::Number("h")),
                mark!("needed where it counts hours"),
            ),
            field("airframe_launches_then", mark!("airframe launches when installed"), Form::Whole),
            field("airframe_cycles_then", mark!("airframe cycles when installed"), Form::Whole),
            field("item_hours_then", mark!("hours it had before"), Form::Number("h")),
            field("item_launches_then", mark!("launches it had before"), Form::Whole),
            field("item_cycles_then", mark!("cycles it had before"), Form::Whole),
            field("due", mark!("due on"), Form::Date),
            field("due_hours", mark!("due at"), Form::Number("h")),
            field("due_launches", mark!("due at launches"), Form::Whole),
            field("due_cycles", mark!("due at cycles"), Form::Whole),
            field("note", mark!("note"), Form::Text),
        ],
    },
    List {
        key: "modification",
        one: mark!("a modification or laminate change"),
        title: mark!("Modifications and laminate changes"),
        fields: &[
            needed("id", mark!("id"), Form::Text),
            needed("title", mark!("title"), Form::Text),
            field("laminate_change", mark!("a change of the laminate"), Form::Flag),
            field("on", mark!("done on"), Form::Date),
            field("data", mark!("approved data"), Form::Text),
            field("note", mark!("note"), Form::Text),
        ],
    },
    List {
        key: "repair",
        one: mark!("a repair"),
        title: mark!("Repairs"),
        fields: &[
            needed("id", mark!("id"), Form::Text),
            needed("date", mark!("date"), Form::Date),
            needed("what", mark!("what was repaired"), Form::Text),
            field("component", mark!("component"), Form::Text),
            field("side", mark!("side"), Form::Choice(SIDES)),
            field("station_mm", mark!("station, from the type's datum"), Form::Number("mm")),
            field("by", mark!("by whom"), Form::Text),
            field("data", mark!("approved data"), Form::Text),
        ],
    },
    List {
        key: "weighing",
        one: mark!("a weighing"),
        title: mark!("Weighings"),
        fields: &[
            needed("date", mark!("date"), Form::Date),
            needed("empty_mass_kg", mark!("empty mass"), Form::Number("kg")),
            field("empty_cg_mm", mark!("empty centre of gravity, aft of the datum"), Form::Number("mm")),
            field("by", mark!("by whom"), Form::Text),
            field("reason", mark!("why it was weighed"), Form::Text),
            field("next_due", mark!("next due"), Form::Date),
        ],
    },
    List {
        key: "certificate",
        one: mark!("a certificate"),
        title: mark!("Certificates"),
        fields: &[
            needed("title", mark!("title"), Form::Text),
            field("number", "number", Form::Text),
            needed("expiry", mark!("valid through"), Form::Date),
        ],
    },
    List {
        key: "manual",
        one: mark!("a manual"),
        title: mark!("Manuals"),
        fields: &[
            needed("title", mark!("title"), Form::Text),
            needed("revision", mark!("revision"), Form::Text),
            field("date", mark!("date"), Form::Date),
        ],
    },
    List {
        key: "fitted",
        one: mark!("a line of the equipment list"),
        title: mark!("Equipment list"),
        fields: &[
            needed("title", mark!("what"), Form::Text),
            field("part_number", mark!("part number"), Form::Text),
            field("serial", mark!("serial number"), Form::Text),
            field("position", mark!("where"), Form::Text),
            field("note", mark!("note"), Form::Text),
        ],
    },
    List {
        key: "earlier_reading",
        one: mark!("an earlier reading"),
        title: mark!("Readings of earlier annuals"),
        fields: &[
            needed("step", mark!("step"), Form::Text),
            needed("measure", mark!("measurement"), Form::Text),
            needed("date", mark!("date"), Form::Date),
            needed("value", mark!("value"), Form::Number("")),
            needed("unit", mark!("unit"), Form::Text),
            hinted(
                field("standard_uncertainty", mark!("standard uncertainty"), Form::Number("")),
                mark!("in the same unit, where it was evaluated"),
            ),
            hinted(
                field("starts_new_series", mark!("a new series begins because"), Form::Text),
                mark!("a repair, another gauge, another load"),
            ),
        ],
    },
    List {
        key: "reference",
        one: mark!("a reference from another airframe"),
        title: mark!("References from other airframes"),
        fields: &[
            needed("registration", mark!("registration"), Form::Text),
            needed("type", mark!("type"), Form::Text),
            field("build_standard", mark!("build standard"), Form::Texts(&[])),
            needed("step", mark!("step"), Form::Text),
            needed("measure", mark!("measurement"), Form::Text),
            needed("stiffness_n_per_mm", mark!("stiffness"), Form::Number("N/mm")),
            field("standard_uncertainty_n_per_mm", mark!("its standard uncertainty"), Form::Number("N/mm")),
            needed("date", mark!("date"), Form::Date),
            field("believed_sound", mark!("believed sound"), Form::Flag),
            needed("provenance", mark!("where it comes from"), Form::Text),
            field("withdrawn.on", mark!("taken back on"), Form::Date),
            field("withdrawn.by", mark!("taken back by"), Form::Text),
            field("withdrawn.reason", mark!("why"), Form::Text),
        ],
    },
    List {
        key: "annual",
        one: mark!("an annual"),
        title: mark!("Annuals"),
        fields: &[
            needed("date", mark!("date"), Form::Date),
            needed("outcome", mark!("outcome"), Form::Text),
            field("session", mark!("session"), Form::Text),
            field("by", mark!("by whom"), Form::Text),
            field("hours", mark!("at"), Form::Number("h")),
            field("launches", mark!("at launches"), Form::Whole),
        ],
    },
];

/// The register of instruments.
pub const INSTRUMENTS: List = List {
    key: "instrument",
    one: mark!("an instrument"),
    title: mark!("Instruments"),
    fields: &[
        needed("id", mark!("id"), Form::Text),
        needed("title", mark!("title"), Form::Text),
        hinted(
            needed("quantity", mark!("quantity"), Form::Text),
            mark!("what it measures: force, length, mass …"),
        ),
        needed("unit", mark!("unit"), Form::Text),
        field("resolution", mark!("smallest step of the display"), Form::Number("")),
        hinted(
            field("uncertainty", mark!("expanded uncertainty, k = 2"), Form::Number("")),
            mark!("of its certificate, in its unit"),
        ),
        hinted(
            field("calibration_due", mark!("calibration due"), Form::Date),
            mark!("a reading that demands an instrument keeps from signing without it"),
        ),
        field("certificate", mark!("certificate"), Form::Text),
    ],
};

/// The register of people.
pub const PEOPLE: List = List {
    key: "person",
    one: mark!("a person"),
    title: mark!("People"),
    fields: &[
        needed("id", mark!("id"), Form::Text),
        needed("name", mark!("name"), Form::Text),
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
    one: mark!("an authorisation"),
    title: mark!("Authorisations"),
    fields: &[
        needed(
            "kind",
            mark!("for"),
            Form::Choice(&[mark!("annual-release"), mark!("independent-inspection")]),
        ),
        needed("number", "number", Form::Text),
        needed("certificate", mark!("kind of certificate or licence"), Form::Text),
        hinted(needed("types", mark!("for the types"), Form::Texts(&[])), mark!("* for all")),
        needed("valid_until", mark!("valid until"), Form::Date),
    ],
};

/// The list of an airframe's record with this key.
pub fn airframe_list(key: &str) -> Option<&'static List> {
    AIRFRAME_LISTS.iter().find(|list| list.key == key)
}
