//! One defect from raising to closing.

use super::{Stamp, Struck, Told};
use crate::checklist::Severity;
use crate::event::{DefectDisposed, DefectRaised, DefectRectified, Disposition};

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Defect {
    pub id: String,
    pub stamp: Stamp,
    pub raised: DefectRaised,
    pub struck: Option<Struck>,
    pub dispositions: Vec<Told<DefectDisposed>>,
    pub rectifications: Vec<Told<DefectRectified>>,
    /// A satisfactory re-inspection after the last rectification.
    pub reinspected: Option<Stamp>,
}

/// How a defect stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// Nobody has decided what becomes of it.
    Undecided,
    /// To be rectified.
    Rectifying,
    /// Rectified; its re-inspection is open.
    AwaitingReinspection,
    Closed,
    Deferred,
    Referred,
    NotAirworthy,
    /// Taken back with a reason.
    Struck,
}

impl Standing {
    pub fn word(self) -> &'static str {
        match self {
            Standing::Undecided => "undecided",
            Standing::Rectifying => "to be rectified",
            Standing::AwaitingReinspection => "rectified, re-inspection open",
            Standing::Closed => "rectified and re-inspected",
            Standing::Deferred => "deferred",
            Standing::Referred => "referred to a repairer",
            Standing::NotAirworthy => "not airworthy",
            Standing::Struck => "taken back",
        }
    }
}

impl Defect {
    pub fn disposition(&self) -> Option<&DefectDisposed> {
        self.dispositions.last().map(|told| &told.what)
    }

    pub fn standing(&self) -> Standing {
        if self.struck.is_some() {
            return Standing::Struck;
        }
        if self.reinspected.is_some() {
            return Standing::Closed;
        }
        if !self.rectifications.is_empty() && !self.decided_after_rectification() {
            return Standing::AwaitingReinspection;
        }
        match self.disposition().map(|disposed| disposed.disposition) {
            None => Standing::Undecided,
            Some(Disposition::Rectify) => Standing::Rectifying,
            Some(Disposition::Defer) => Standing::Deferred,
            Some(Disposition::Refer) => Standing::Referred,
            Some(Disposition::NotAirworthy) => Standing::NotAirworthy,
        }
    }

    /// A disposition given after the last rectification takes precedence: the repair did not hold.
    fn decided_after_rectification(&self) -> bool {
        let rectified = self.rectifications.last().map(|told| told.stamp.entry);
        let decided = self.dispositions.last().map(|told| told.stamp.entry);
        decided > rectified
    }

    pub fn is_open(&self) -> bool {
        !matches!(self.standing(), Standing::Closed | Standing::Struck)
    }

    /// It keeps the airframe on the ground: by its severity, or because it was referred or declared so.
    pub fn grounds(&self) -> bool {
        self.is_open()
            && (self.raised.severity == Severity::Grounding
                || matches!(self.standing(), Standing::Referred | Standing::NotAirworthy))
    }
}
