//! The list of all that falls due, worst first.

use chrono::NaiveDate;

use super::{
    Horizon, Reckoning, annual_holds_through, directive_reckoned, is_exhausted, joined, life_item_reckoned,
};
use crate::airframe::{Airframe, Certificate, DefectStanding};
use crate::measure::life::{DueStatus, LifeError, Part, Usage};
use crate::words::date;

/// What a line is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    Annual,
    Directive,
    LifeItem,
    DeferredDefect,
    Weighing,
    Certificate,
    Calibration,
    Authorisation,
}

impl Kind {
    /// Of JSON; shown through the catalogue.
    pub fn word(self) -> &'static str {
        match self {
            Kind::Annual => mark!("annual inspection"),
            Kind::Directive => mark!("directive"),
            Kind::LifeItem => mark!("life-limited item"),
            Kind::DeferredDefect => mark!("deferred defect"),
            Kind::Weighing => mark!("weighing"),
            Kind::Certificate => mark!("certificate"),
            Kind::Calibration => mark!("calibration"),
            Kind::Authorisation => mark!("authorisation"),
        }
    }
}

/// How a line stands; the gravest first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    Overdue,
    /// The last day, or nothing left of a counter.
    Due,
    /// The record does not say enough, or contradicts itself.
    Unclear,
    BeforeNextAnnual,
    Later,
}

impl Standing {
    /// Of JSON; shown through the catalogue.
    pub fn word(self) -> &'static str {
        match self {
            Standing::Overdue => mark!("overdue"),
            Standing::Due => mark!("due now"),
            Standing::Unclear => mark!("cannot be told"),
            Standing::BeforeNextAnnual => mark!("before the next annual"),
            Standing::Later => mark!("later"),
        }
    }
}

#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DueLine {
    pub kind: Kind,
    pub id: String,
    pub title: String,
    pub standing: Standing,
    /// Every limit that counts; whichever comes first governs.
    pub parts: Vec<Part>,
    /// Which part is expected to end first, and when, at the expected use.
    pub first: Option<(Part, NaiveDate)>,
    /// What cannot be told, and why; parts that can be counted stand beside it.
    pub trouble: Option<String>,
}

impl DueLine {
    /// True where the airframe must not be released with it.
    pub fn is_exhausted(&self) -> bool {
        self.parts.iter().any(is_exhausted)
    }

    /// True where it needs a look before the next annual is over.
    pub fn is_before_next(&self) -> bool {
        self.standing != Standing::Later
    }
}

/// Everything of this airframe that has a date or a counter, gravest first, then by the day on which it is expected.
pub fn due_list(airframe: &Airframe, horizon: &Horizon) -> Vec<DueLine> {
    let maker = Maker { horizon };
    let mut lines = vec![maker.annual(airframe)];
    for directive in airframe.directives.iter().filter(|directive| directive.applies) {
        let title = format!("{} {}", directive.id, directive.title);
        lines.extend(maker.line(Kind::Directive, &directive.id, &title, |now| {
            directive_reckoned(airframe, directive, now)
        }));
    }
    for item in &airframe.life_items {
        lines.extend(
            maker.line(Kind::LifeItem, &item.id, &item.title, |now| life_item_reckoned(airframe, item, now)),
        );
    }
    for defect in airframe.open_defects().filter(|defect| defect.standing == DefectStanding::Deferred) {
        let line = maker.dated(Kind::DeferredDefect, &defect.id, &defect.what, defect.until);
        let no_limit = say!("it is deferred without a limit");
        lines.push(
            line.unwrap_or_else(|| maker.unclear(Kind::DeferredDefect, &defect.id, &defect.what, no_limit)),
        );
    }
    if let Some(weighing) = airframe.weighings.iter().max_by_key(|weighing| weighing.date) {
        lines.extend(maker.dated(Kind::Weighing, "weighing", say!("Weighing"), weighing.next_due));
    }
    for paper in latest_certificates(airframe) {
        lines.extend(maker.dated(Kind::Certificate, &paper.title, &paper.title, Some(paper.expiry)));
    }
    in_order(lines)
}

/// Gravest first, then by the day on which each is expected.
pub(super) fn in_order(mut lines: Vec<DueLine>) -> Vec<DueLine> {
    lines.sort_by_key(|line| {
        (line.standing, line.first.map(|(_, day)| day).unwrap_or(NaiveDate::MAX), line.kind)
    });
    lines
}

/// Of several papers of one title the one that lasts longest: a renewed one leaves the old one behind.
fn latest_certificates(airframe: &Airframe) -> impl Iterator<Item = &Certificate> {
    let papers = &airframe.certificates;
    papers.iter().enumerate().filter_map(move |(at, paper)| {
        let newer = papers.iter().enumerate().any(|(other_at, other)| {
            other.title == paper.title && (other.expiry, other_at) > (paper.expiry, at)
        });
        (!newer).then_some(paper)
    })
}

pub(super) struct Maker<'a> {
    pub horizon: &'a Horizon,
}

impl Maker<'_> {
    /// `None` where nothing falls due and nothing is unclear.
    fn line(
        &self,
        kind: Kind,
        id: &str,
        title: &str,
        at: impl Fn(&Usage) -> Result<Reckoning, LifeError>,
    ) -> Option<DueLine> {
        let Horizon { now, next } = self.horizon;
        let (today, later) = match (at(now), at(next)) {
            (Ok(today), Ok(later)) => (today, later.due.map(|due| due.status)),
            (Err(error), _) | (_, Err(error)) => {
                return Some(self.unclear(kind, id, title, &error.to_string()));
            }
        };
        let trouble = (!today.troubles.is_empty()).then(|| today.troubles.join("; "));
        let standing = match (today.due.as_ref().map(|due| due.status), later) {
            (Some(DueStatus::Overdue), _) => Standing::Overdue,
            (Some(DueStatus::Due), _) => Standing::Due,
            _ if trouble.is_some() => Standing::Unclear,
            (None, _) => return None,
            (Some(DueStatus::Running), Some(DueStatus::Running) | None) => Standing::Later,
            (Some(DueStatus::Running), Some(_)) => Standing::BeforeNextAnnual,
        };
        let first = today.due.as_ref().and_then(|due| due.expected_first(now, next));
        Some(DueLine {
            kind,
            id: id.into(),
            title: title.into(),
            standing,
            parts: today.due.map_or_else(Vec::new, |due| due.parts),
            first,
            trouble,
        })
    }

    pub fn unclear(&self, kind: Kind, id: &str, title: &str, why: &str) -> DueLine {
        DueLine {
            kind,
            id: id.to_string(),
            title: title.to_string(),
            standing: Standing::Unclear,
            parts: Vec::new(),
            first: None,
            trouble: Some(why.to_string()),
        }
    }

    pub fn dated(&self, kind: Kind, id: &str, title: &str, day: Option<NaiveDate>) -> Option<DueLine> {
        let day = day?;
        self.line(kind, id, title, |now| {
            let part = Part::Calendar { due: day, days_left: (day - now.date).num_days() };
            Ok(Reckoning { due: joined(vec![part]), troubles: Vec::new() })
        })
    }

    fn annual(&self, airframe: &Airframe) -> DueLine {
        let (id, title) = ("annual", say!("Annual inspection"));
        let unclear = |why: &str| self.unclear(Kind::Annual, id, title, why);
        let Some(last) = airframe.last_annual else {
            return unclear(say!("the record names no last annual"));
        };
        if last > self.horizon.now.date {
            return unclear(&say!(
                "the last annual is dated {last}, after {today}; check the date",
                last = date(last),
                today = date(self.horizon.now.date)
            ));
        }
        match annual_holds_through(last) {
            Ok(through) => self
                .dated(Kind::Annual, id, title, Some(through))
                .unwrap_or_else(|| unclear(say!("its date cannot be told"))),
            Err(error) => unclear(&error.to_string()),
        }
    }
}
