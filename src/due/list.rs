//! The list of all that falls due, worst first.

use chrono::NaiveDate;

use super::{Horizon, annual_holds_through, directive_due, joined, life_item_due};
use crate::airframe::{Airframe, DefectStanding};
use crate::measure::life::{Due, DueStatus, LifeError, Part};

/// What a line is about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    Annual,
    Directive,
    LifeItem,
    DeferredDefect,
    Weighing,
    Certificate,
}

impl Kind {
    pub fn word(self) -> &'static str {
        match self {
            Kind::Annual => "annual inspection",
            Kind::Directive => "directive",
            Kind::LifeItem => "life-limited item",
            Kind::DeferredDefect => "deferred defect",
            Kind::Weighing => "weighing",
            Kind::Certificate => "certificate",
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
    pub fn word(self) -> &'static str {
        match self {
            Standing::Overdue => "overdue",
            Standing::Due => "due now",
            Standing::Unclear => "cannot be told",
            Standing::BeforeNextAnnual => "before the next annual",
            Standing::Later => "later",
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
    /// Why it cannot be told.
    pub trouble: Option<String>,
}

/// Everything of this airframe that has a date or a counter, gravest first, then by the day on which it is expected.
pub fn due_list(airframe: &Airframe, horizon: &Horizon) -> Vec<DueLine> {
    let maker = Maker { horizon };
    let mut lines = vec![maker.annual(airframe)];
    for directive in airframe.directives.iter().filter(|directive| directive.applies) {
        let title = format!("{} {}", directive.id, directive.title);
        lines.extend(
            maker.line(Kind::Directive, &directive.id, &title, |now| directive_due(airframe, directive, now)),
        );
    }
    for item in &airframe.life_items {
        let found = maker.line(Kind::LifeItem, &item.id, &item.title, |now| life_item_due(item, now));
        let unlimited =
            || maker.unclear(Kind::LifeItem, &item.id, &item.title, "the record states no limit of it");
        lines.push(found.unwrap_or_else(unlimited));
    }
    for defect in airframe.open_defects().filter(|defect| defect.standing == DefectStanding::Deferred) {
        lines.extend(maker.dated(Kind::DeferredDefect, &defect.id, &defect.what, defect.until));
    }
    if let Some(weighing) = airframe.weighings.iter().max_by_key(|weighing| weighing.date) {
        lines.extend(maker.dated(Kind::Weighing, "weighing", "Weighing", weighing.next_due));
    }
    for paper in &airframe.certificates {
        lines.extend(maker.dated(Kind::Certificate, &paper.title, &paper.title, Some(paper.expiry)));
    }
    lines.sort_by_key(|line| {
        (line.standing, line.first.map(|(_, day)| day).unwrap_or(NaiveDate::MAX), line.kind)
    });
    lines
}

struct Maker<'a> {
    horizon: &'a Horizon,
}

impl Maker<'_> {
    fn line(
        &self,
        kind: Kind,
        id: &str,
        title: &str,
        at: impl Fn(&crate::measure::life::Usage) -> Result<Option<Due>, LifeError>,
    ) -> Option<DueLine> {
        let Horizon { now, next } = self.horizon;
        let (due, later) = match (at(now), at(next)) {
            (Ok(due), Ok(later)) => (due?, later),
            (Err(error), _) | (_, Err(error)) => {
                return Some(self.unclear(kind, id, title, &error.to_string()));
            }
        };
        let standing = match (due.status, later.map(|later| later.status)) {
            (DueStatus::Overdue, _) => Standing::Overdue,
            (DueStatus::Due, _) => Standing::Due,
            (DueStatus::Running, Some(DueStatus::Running) | None) => Standing::Later,
            (DueStatus::Running, Some(_)) => Standing::BeforeNextAnnual,
        };
        let first = due.expected_first(now, next);
        Some(DueLine {
            kind,
            id: id.into(),
            title: title.into(),
            standing,
            parts: due.parts,
            first,
            trouble: None,
        })
    }

    fn unclear(&self, kind: Kind, id: &str, title: &str, why: &str) -> DueLine {
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

    fn dated(&self, kind: Kind, id: &str, title: &str, day: Option<NaiveDate>) -> Option<DueLine> {
        let day = day?;
        self.line(kind, id, title, |now| {
            Ok(joined(vec![Part::Calendar { due: day, days_left: (day - now.date).num_days() }]))
        })
    }

    fn annual(&self, airframe: &Airframe) -> DueLine {
        let (id, title) = ("annual", "Annual inspection");
        let Some(last) = airframe.last_annual else {
            return self.unclear(Kind::Annual, id, title, "the record names no last annual");
        };
        let found = annual_holds_through(last);
        match found {
            Ok(through) => self
                .dated(Kind::Annual, id, title, Some(through))
                .unwrap_or_else(|| self.unclear(Kind::Annual, id, title, "its date cannot be told")),
            Err(error) => self.unclear(Kind::Annual, id, title, &error.to_string()),
        }
    }
}
