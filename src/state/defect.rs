//! One defect from raising to closing.

use chrono::NaiveDate;

use super::{Stamp, Struck, Told};
use crate::airframe::DefectStanding;
use crate::checklist::Severity;
use crate::event::{DefectDisposed, DefectRaised, DefectRectified, Disposition};
use crate::words::{date, said};

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
    /// Neutral: it goes into records; `said` translates it where it is shown.
    pub fn word(self) -> &'static str {
        match self {
            Standing::Undecided => mark!("undecided"),
            Standing::Rectifying => mark!("to be rectified"),
            Standing::AwaitingReinspection => mark!("rectified, re-inspection open"),
            Standing::Closed => mark!("rectified and re-inspected"),
            Standing::Deferred => mark!("deferred"),
            Standing::Referred => mark!("referred to a repairer"),
            Standing::NotAirworthy => mark!("not airworthy"),
            Standing::Struck => mark!("taken back"),
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

    /// It keeps the airframe on the ground: by its severity, or because it was referred or declared so, here or by the
    /// airframe's record until it is decided anew. An overdue deferral is told by [`Defect::overdue_on`].
    pub fn grounds(&self) -> bool {
        let by_record = || {
            let undecided = !matches!(self.standing(), Standing::Deferred);
            let standing = self.raised.from_record.as_ref().map(|record| record.standing.as_str());
            undecided && standing.is_some_and(|standing| standing != DefectStanding::Deferred.word())
        };
        self.is_open()
            && (self.raised.severity == Severity::Grounding
                || matches!(self.standing(), Standing::Referred | Standing::NotAirworthy)
                || by_record())
    }

    /// When it was first found: by the airframe's record, else the day on which it was raised.
    pub fn found_on(&self) -> Option<NaiveDate> {
        self.raised.from_record.as_ref().map(|record| record.found).or_else(|| self.stamp.day())
    }

    /// The limit of its deferral that holds now: as decided here, else as the airframe's record has it.
    pub fn deferred_until(&self) -> Option<NaiveDate> {
        match self.disposition() {
            Some(disposed) if disposed.disposition == Disposition::Defer => disposed.until,
            _ => self.raised.from_record.as_ref().and_then(|record| record.until),
        }
    }

    /// Where it comes from when an earlier annual left it open, with its limit as of that day, in words.
    pub fn record_words(&self, day: NaiveDate) -> Option<String> {
        let record = self.raised.from_record.as_ref()?;
        let until = record.until.map_or(String::new(), |until| say!(" until {until}", until = date(until)));
        let passed = self.is_open() && record.until.is_some_and(|until| day > until);
        let overdue = if passed { say!(", OVERDUE") } else { "" };
        let session = record.session.as_ref().map_or(String::new(), |sid| {
            let name = record
                .session_defect
                .as_ref()
                .map_or(String::new(), |name| say!(", {name} there", name = name));
            say!("; session {sid}{name}", sid = format_args!("{:.12}", sid), name = name)
        });
        let (id, standing, found) = (&record.id, &record.standing, record.found);
        Some(say!(
            "from the airframe's record ({id}): found {found}, {standing}{until}{overdue}{session}",
            id = id,
            found = date(found),
            standing = said(standing),
            until = until,
            overdue = overdue,
            session = session
        ))
    }

    /// The limit of its deferral where it has passed on that day.
    pub fn overdue_on(&self, day: NaiveDate) -> Option<NaiveDate> {
        self.deferred_until().filter(|until| self.is_open() && day > *until)
    }
}
