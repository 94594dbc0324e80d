//! What falls due on the Records screen: the record as it stands, and as it will be with this annual's answers.

use chrono::NaiveDate;
use ratatui::style::Style;

use super::desk::SessionView;
use super::look::Look;
use super::text::Page;
use crate::airframe::{Airframe, Directive};
use crate::completion::answered::after_this_annual;
use crate::completion::refusals::overdue::objection;
use crate::completion::totals::totals;
use crate::due::{DueLine, Horizon, Kind, Standing, due_list, is_exhausted, part_words};
use crate::measure::life::LifeError;
use crate::words::{self, figure, said};

/// What falls due, before and after the answers.
pub struct Outlook {
    horizon: Result<Horizon, LifeError>,
    /// By the record alone, at the totals read at this annual.
    record: Vec<DueLine>,
    after: Vec<DueLine>,
}

impl Outlook {
    /// `today` is the day of the desk; a signed session is seen from the day of its signature.
    pub fn of(view: &SessionView<'_>, today: NaiveDate) -> Outlook {
        let day = view.state.signed.as_ref().and_then(|told| told.stamp.day()).unwrap_or(today);
        let found = after_this_annual(view.plan, view.state, day, None);
        let after = found.as_ref().map_or_else(|_| Vec::new(), |(after, horizon)| due_list(after, horizon));
        let horizon = found.map(|(_, horizon)| horizon);
        let mut airframe = view.plan.airframe.clone();
        let read = totals(view.plan, view.state);
        (airframe.hours, airframe.launches) = (read.hours, read.launches);
        let record = horizon.as_ref().map_or_else(|_| Vec::new(), |horizon| due_list(&airframe, horizon));
        Outlook { horizon, record, after }
    }

    /// What the record says of one paper, in one line.
    pub fn by_record(&self, kind: Kind, id: &str) -> Option<String> {
        let line = self.record.iter().find(|line| line.kind == kind && line.id == id)?;
        let parts = line.parts.iter().map(part_words);
        Some(parts.chain(line.trouble.clone()).collect::<Vec<_>>().join("; "))
    }

    /// Everything that does not hold until the next annual, gravest first.
    pub fn before_next(&self) -> Vec<DueLine> {
        self.after.iter().filter(|line| line.is_before_next()).cloned().collect()
    }
}

/// Sign, word and style of a line in the list.
pub fn line_words(line: &DueLine, look: Look) -> (&'static str, String, Style) {
    match line.standing {
        Standing::Overdue => ("✗", say!("OVERDUE").to_string(), look.bad()),
        Standing::Due => ("✗", say!("due now").to_string(), look.bad()),
        Standing::Unclear => ("?", say!("cannot be told").to_string(), look.doubt()),
        Standing::BeforeNextAnnual | Standing::Later => {
            let day = line.first.map(|(_, day)| words::date(day));
            ("○", day.map_or(say!("in time").to_string(), |day| say!("by {day}", day)), look.doubt())
        }
    }
}

pub fn line_detail(page: &mut Page, outlook: &Outlook, line: &DueLine) {
    page.text(page.look.strong(), &line.title);
    page.field(say!("due" => "what"), said(line.kind.word()));
    each_part(page, line);
    page.gap();
    if let Ok(horizon) = &outlook.horizon {
        page.text(
            page.look.quiet(),
            &say!(
                "With this annual's answers; the next annual is expected on {} at {} h and {} launches.",
                words::date(horizon.next.date),
                figure(horizon.next.hours.normalize()),
                horizon.next.launches
            ),
        );
    }
}

/// Whether a directive applies, and why.
pub fn applies_words(airframe: &Airframe, directive: &Directive) -> String {
    match (directive.applies, &directive.applicability) {
        (true, Some(_)) => say!("yes, by its type, serial numbers and modifications").to_string(),
        (true, None) => say!("yes, by the record").to_string(),
        (false, _) => objection(airframe, directive)
            .map_or_else(|| say!("no, by the record").to_string(), |why| say!("no: {why}", why)),
    }
}

/// The due parts of one paper, by the record and, where an answer changed them, with the answer.
pub fn parts(page: &mut Page, outlook: &Outlook, kind: Kind, id: &str) {
    let find = |lines: &[DueLine]| lines.iter().find(|line| line.kind == kind && line.id == id).cloned();
    if let Err(error) = &outlook.horizon {
        page.hanging(page.look.doubt(), "? ", &error.to_string());
    }
    let (record, after) = (find(&outlook.record), find(&outlook.after));
    page.gap();
    match &record {
        Some(line) => each_part(page, line),
        None => page.text(page.look.quiet(), say!("By the record nothing of it falls due.")),
    }
    if let Some(line) = after.as_ref().filter(|_| after != record) {
        page.gap();
        page.text(page.look.strong(), say!("with the answer"));
        each_part(page, line);
    }
}

fn each_part(page: &mut Page, line: &DueLine) {
    let look = page.look;
    for (index, part) in line.parts.iter().enumerate() {
        // An interval and a date that was entered may come to the same day.
        if line.parts.iter().take(index).any(|earlier| earlier == part) {
            continue;
        }
        let mut text = part_words(part);
        if let Some((first, day)) = line.first.filter(|(first, _)| first == part) {
            let alone = line.parts.iter().all(|other| other == part)
                && matches!(first, crate::measure::life::Part::Calendar { .. });
            if !alone {
                text.push_str(&say!(", first, expected on {day}", day = words::date(day)));
            }
        }
        let (style, lead) = if is_exhausted(part) { (look.bad(), "✗ ") } else { (Style::new(), "· ") };
        page.hanging(style, lead, &text);
    }
    if let Some(trouble) = &line.trouble {
        page.hanging(look.doubt(), "? ", trouble);
    }
    match line.standing {
        Standing::Overdue => page.text(look.bad(), say!("OVERDUE")),
        Standing::Due => page.text(look.bad(), say!("due now")),
        Standing::Unclear => page.text(look.doubt(), say!("it cannot be told when it falls due")),
        Standing::BeforeNextAnnual => page.text(look.doubt(), say!("falls due before the next annual")),
        Standing::Later => {}
    }
}
