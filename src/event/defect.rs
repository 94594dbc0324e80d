//! Defects: raised, decided, rectified.

use chrono::NaiveDate;
use serde::{Deserialize, Serialize};

use super::Actor;
use crate::checklist::Severity;
use crate::quantity::Number;

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DefectRaised {
    pub by: Actor,
    /// `d1`, `d2` … in the order of raising.
    pub defect: String,
    pub step: Option<String>,
    pub what: String,
    pub component: Option<String>,
    pub side: Option<String>,
    /// From the type's datum.
    pub station_mm: Option<Number>,
    pub severity: Severity,
    /// It stood open in the airframe's record when the session began.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub from_record: Option<FromRecord>,
}

/// Where a defect comes from that an earlier annual left open.
#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct FromRecord {
    /// Its id in the airframe's record.
    pub id: String,
    /// How it stood there, in words: "deferred", "referred to a repairer", "not airworthy".
    pub standing: String,
    /// When it was first found.
    pub found: NaiveDate,
    /// Limit of the deferral.
    pub until: Option<NaiveDate>,
    /// The session in whose record it stands, and its name there.
    pub session: Option<String>,
    pub session_defect: Option<String>,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "snake_case")]
pub enum Disposition {
    /// Put right now, then inspected again by the step.
    Rectify,
    /// Handed to a repairer; the airframe stays on the ground.
    Refer,
    /// Left within what the rules allow, with a limit.
    Defer,
    /// The airframe is grounded.
    NotAirworthy,
}

impl Disposition {
    pub const WORDS: [(&'static str, Disposition); 4] = [
        ("rectify", Disposition::Rectify),
        ("refer", Disposition::Refer),
        ("defer", Disposition::Defer),
        ("not-airworthy", Disposition::NotAirworthy),
    ];

    pub fn word(self) -> &'static str {
        match self {
            Disposition::Rectify => mark!("rectify"),
            Disposition::Refer => mark!("refer"),
            Disposition::Defer => mark!("defer"),
            Disposition::NotAirworthy => mark!("not airworthy"),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DefectDisposed {
    pub by: Actor,
    pub defect: String,
    pub disposition: Disposition,
    pub note: String,
    /// Limit of a deferral.
    pub until: Option<NaiveDate>,
}

#[derive(Debug, Clone, PartialEq, Eq, Serialize, Deserialize)]
pub struct DefectRectified {
    pub by: Actor,
    pub defect: String,
    /// What was done, with the data used.
    pub work: String,
    /// A flight-control connection was disturbed: an independent inspection is needed.
    pub disturbed_controls: bool,
}
