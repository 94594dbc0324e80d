//! Defects that an annual left open: deferred with a limit, referred to a repairer, or not airworthy.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use crate::quantity::Number;
use crate::source::Table;
use crate::vocabulary::Severity;
use crate::words::{date, said};

/// A defect of the airframe's record. It stays there for good; one that was closed says when and how.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct RecordedDefect {
    pub id: String,
    pub what: String,
    pub component: Option<String>,
    pub side: Option<String>,
    /// From the type's datum.
    pub station_mm: Option<Number>,
    pub severity: Severity,
    pub standing: DefectStanding,
    /// When it was first found: a deferral is counted from here, however often it is renewed.
    pub found: NaiveDate,
    /// The step that found it, where one did.
    pub step: Option<String>,
    /// The session in whose record it stands, and its name there.
    pub session: Option<String>,
    pub session_defect: Option<String>,
    /// Limit of the deferral: the last day.
    pub until: Option<NaiveDate>,
    pub note: Option<String>,
    pub closed: Option<NaiveDate>,
    /// How it was closed.
    pub closed_by: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum DefectStanding {
    Deferred,
    Referred,
    NotAirworthy,
}

impl DefectStanding {
    pub const WORDS: [(&'static str, DefectStanding); 3] = [
        ("deferred", DefectStanding::Deferred),
        ("referred", DefectStanding::Referred),
        ("not-airworthy", DefectStanding::NotAirworthy),
    ];

    pub fn word(self) -> &'static str {
        match self {
            DefectStanding::Deferred => mark!("deferred"),
            DefectStanding::Referred => mark!("referred to a repairer"),
            DefectStanding::NotAirworthy => mark!("not airworthy"),
        }
    }
}

impl RecordedDefect {
    pub fn is_open(&self) -> bool {
        self.closed.is_none()
    }

    /// Why it keeps the airframe on the ground on that day; `None` where it does not.
    pub fn grounds_on(&self, day: NaiveDate) -> Option<String> {
        if !self.is_open() {
            return None;
        }
        if self.severity == Severity::Grounding || self.standing != DefectStanding::Deferred {
            return Some(format!("{}: {}", self.what, said(self.standing.word())));
        }
        let until = self.until.filter(|until| day > *until)?;
        Some(say!("{}: was deferred until {until}, which has passed", self.what, until = date(until)))
    }
}

/// What the airframe's own rules say on deferring, from its programme or the local rules.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct DeferralRules {
    /// Nothing may be deferred on this airframe.
    #[serde(default, skip_serializing_if = "std::ops::Not::not")]
    pub forbidden: bool,
    /// Longest time from the first finding to the limit.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub longest_months: Option<u32>,
    /// Components on which nothing may be deferred.
    #[serde(default, skip_serializing_if = "Vec::is_empty")]
    pub not_on: Vec<String>,
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub source: Option<String>,
}

pub(super) fn read_defect(table: Table<'_>) -> Option<RecordedDefect> {
    let (id, what) = (table.required_text("id"), table.required_text("what"));
    let severity = table.required_choice("severity", &Severity::WORDS);
    let standing = table.required_choice("standing", &DefectStanding::WORDS);
    let found = table.required_date("found");
    let text = |key| table.text(key).map(|text| text.value);
    let until = table.date("until").map(|date| date.value);
    let closed = table.date("closed").map(|date| date.value);
    let is_deferred = standing.as_ref().is_some_and(|standing| standing.value == DefectStanding::Deferred);
    if is_deferred && until.is_none() && !table.has("until") {
        table.reject::<()>(
            "deferred-without-limit",
            table.span(),
            say!("a deferred defect lacks \"until\""),
            say!("add until = the last day of the deferral"),
        );
    }
    if let (Some(found), Some(until)) = (&found, until)
        && until < found.value
    {
        table.reject::<()>(
            "dates-in-disorder",
            table.span_of("until").unwrap_or_else(|| table.span()),
            say!("it is deferred until {until}, before it was found on {}", found.value, until = until),
            say!("check both dates"),
        );
    }
    let defect = RecordedDefect {
        id: String::new(),
        what: String::new(),
        component: text("component"),
        side: text("side"),
        station_mm: table.number("station_mm").map(|number| number.value),
        severity: severity.as_ref().map_or(Severity::Major, |found| found.value),
        standing: standing.as_ref().map_or(DefectStanding::Deferred, |found| found.value),
        found: NaiveDate::MIN,
        step: text("step"),
        session: text("session"),
        session_defect: text("session_defect"),
        until,
        note: text("note"),
        closed,
        closed_by: text("closed_by"),
    };
    table.finish();
    severity.as_ref().and(standing.as_ref())?;
    Some(RecordedDefect { id: id?.value, what: what?.value, found: found?.value, ..defect })
}

pub(super) fn read_deferral(table: Table<'_>) -> Option<DeferralRules> {
    let rules = DeferralRules {
        forbidden: table.flag("forbidden").unwrap_or(false),
        longest_months: table.whole("longest_months").map(|months| months.value),
        not_on: table.texts("not_on").into_iter().map(|word| word.value).collect(),
        source: table.text("source").map(|text| text.value),
    };
    table.finish();
    Some(rules)
}
