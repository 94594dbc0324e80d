//! Records: reports with what they selected, directives, life-limited items, withdrawn steps, what falls due.

use chrono::NaiveDate;
use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::SessionView;
use super::list::Row;
use super::look::Look;
use super::records_carried;
use super::records_due::{Outlook, applies_words, line_detail, line_words, parts};
use super::text::{Page, pad};
use crate::airframe::{CountsFrom, Directive, LifeItem};
use crate::completion::Subject;
use crate::due::{DueLine, Kind};
use crate::plan::{PlanStep, PlannedReport, WithdrawnStep};
use crate::state::{Defect, Stamp};
use crate::vocabulary::kind_words;
use crate::words::{self, figure, of_checklist, said};

#[derive(Clone)]
pub enum Record<'a> {
    Report(&'a PlannedReport),
    Directive(&'a Directive),
    LifeItem(&'a LifeItem),
    Withdrawn(&'a WithdrawnStep),
    /// Falls due before the next annual, or is overdue, with this annual's answers.
    Due(DueLine),
    /// A defect that stood open in the airframe's record.
    CarriedDefect(&'a Defect),
    /// A step that failed at the annual before, and how it ended there.
    FailedBefore(&'a PlanStep, &'a str),
    ReadingsBefore,
}

impl Record<'_> {
    fn heading(&self) -> &'static str {
        match self {
            Record::Report(_) => say!("Reports and occurrences"),
            Record::Directive(_) => say!("Directives and bulletins"),
            Record::LifeItem(_) => say!("Life-limited and time-controlled items"),
            Record::Withdrawn(_) => say!("Steps that the type supplement withdraws"),
            Record::Due(_) => say!("Falls due before the next annual"),
            Record::CarriedDefect(_) | Record::FailedBefore(..) | Record::ReadingsBefore => {
                say!("Carried forward")
            }
        }
    }
}

/// `today` is the day of the desk; a signed session is seen from its own day.
pub fn items<'a>(view: &SessionView<'a>, today: NaiveDate) -> Vec<Record<'a>> {
    let plan = view.plan;
    let reports = plan.reports.iter().map(Record::Report);
    let directives = plan.airframe.directives.iter().map(Record::Directive);
    let life_items = plan.airframe.life_items.iter().map(Record::LifeItem);
    let due = Outlook::of(view, today).before_next().into_iter().map(Record::Due);
    reports
        .chain(directives)
        .chain(life_items)
        .chain(records_carried::items(view))
        .chain(plan.withdrawn.iter().map(Record::Withdrawn))
        .chain(due)
        .collect()
}

pub fn rows(view: &SessionView<'_>, today: NaiveDate, look: Look) -> Vec<Row> {
    let items = items(view, today);
    if items.is_empty() {
        return vec![Row::heading(look, say!("  no report, directive or life-limited item is recorded"))];
    }
    let mut rows = Vec::new();
    let mut heading = "";
    for (index, item) in items.iter().enumerate() {
        if item.heading() != heading {
            heading = item.heading();
            rows.push(Row::heading(look, heading));
        }
        let (sign, word, style) = standing(view, item, look);
        let title = match item {
            Record::Report(report) => format!("{}: {}", kind_words(&report.kind), report.text),
            Record::Directive(directive) => format!("{} {}", directive.id, directive.title),
            Record::LifeItem(item) => item.title.clone(),
            Record::Withdrawn(step) => of_checklist(&step.title).to_string(),
            Record::Due(line) => line.title.clone(),
            Record::CarriedDefect(_) | Record::FailedBefore(..) | Record::ReadingsBefore => {
                records_carried::title(view, item)
            }
        };
        rows.push(Row::item(
            index,
            vec![(format!("{sign} {} ", pad(&word, 22)), style), (title, Style::new())],
        ));
    }
    rows
}

fn standing(view: &SessionView<'_>, item: &Record<'_>, look: Look) -> (&'static str, String, Style) {
    // An answer that leaves it overdue is no tick.
    let against =
        |subject: Subject| view.verdict.refusals().iter().find(|refusal| refusal.subject == subject);
    let answered = |word: Option<&'static str>, subject: Subject| match word {
        Some(word) => match against(subject) {
            Some(refusal) if refusal.release_only => ("✗", say!("OVERDUE; {word}", word), look.bad()),
            Some(_) => ("✗", say!("needs a note").to_string(), look.bad()),
            None => ("✓", word.to_string(), look.good()),
        },
        None => ("○", say!("unanswered").to_string(), look.doubt()),
    };
    match item {
        Record::Report(report) => {
            let steps = steps_of(view, report);
            if view.state.set_aside.contains_key(&report.id) {
                ("–", say!("set aside").to_string(), look.quiet())
            } else if steps > 0 {
                ("✓", say!("selected {}", say!("{n} step" | "{n} steps" % steps)), look.good())
            } else {
                ("✗", say!("not dealt with").to_string(), look.bad())
            }
        }
        Record::Directive(directive) => {
            let told = view.state.directives.get(&directive.id);
            answered(told.map(|told| said(told.what.answer.word())), Subject::Directive(directive.id.clone()))
        }
        Record::LifeItem(item) => {
            let told = view.state.life_items.get(&item.id);
            answered(told.map(|told| said(told.what.answer.word())), Subject::LifeItem(item.id.clone()))
        }
        Record::Withdrawn(_) => ("–", say!("withdrawn").to_string(), look.quiet()),
        Record::Due(line) => line_words(line, look),
        Record::CarriedDefect(_) | Record::FailedBefore(..) | Record::ReadingsBefore => {
            records_carried::standing(item, look)
        }
    }
}

fn steps_of(view: &SessionView<'_>, report: &PlannedReport) -> usize {
    view.plan.steps.iter().filter(|step| step.because.contains(&report.id)).count()
}

pub fn detail(
    view: &SessionView<'_>,
    today: NaiveDate,
    at: usize,
    look: Look,
    width: usize,
) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    let outlook = Outlook::of(view, today);
    match items(view, today).get(at) {
        Some(Record::Report(report)) => report_detail(&mut page, view, report),
        Some(Record::Directive(directive)) => directive_detail(&mut page, view, &outlook, directive),
        Some(Record::LifeItem(item)) => life_detail(&mut page, view, &outlook, item),
        Some(Record::Due(line)) => line_detail(&mut page, &outlook, line),
        Some(Record::Withdrawn(step)) => {
            page.text(look.strong(), of_checklist(&step.title));
            page.field(say!("withdrawn by"), &step.by);
            page.field(say!("reason"), of_checklist(&step.reason));
        }
        Some(Record::CarriedDefect(defect)) => {
            records_carried::defect_detail(&mut page, view, today, defect);
        }
        Some(Record::FailedBefore(planned, how)) => {
            records_carried::failed_detail(&mut page, view, planned, how);
        }
        Some(Record::ReadingsBefore) => records_carried::readings_detail(&mut page, view),
        None => page.plain(say!("Nothing is recorded here.")),
    }
    page.lines
}

fn report_detail(page: &mut Page, view: &SessionView<'_>, report: &PlannedReport) {
    page.text(page.look.strong(), &say!("{} on {}", kind_words(&report.kind), words::date(report.date)));
    page.plain(&say!("\"{}\"", report.text));
    if !report.by.is_empty() {
        page.field(say!("by"), &report.by);
    }
    if report.modules.is_empty() {
        page.hanging(
            page.look.bad(),
            "✗ ",
            say!("no module answers it: it must be set aside in writing (Enter)"),
        );
    }
    for module in view.plan.selected_by(report) {
        page.field(say!("module"), &format!("{} {}", module.id, say!("\"{}\"", of_checklist(module.title))));
        for step in module.steps {
            page.hanging(
                Style::new(),
                "· ",
                &format!(
                    "{} ({})",
                    of_checklist(&step.step.title),
                    said(view.state.standing(&step.step.id).word())
                ),
            );
        }
    }
    if let Some(told) = view.state.set_aside.get(&report.id) {
        page.field(say!("set aside"), &told.what);
        page.field(say!("by"), &format!("{} · {}", told.stamp.by.name, told.stamp.short()));
    }
}

fn directive_detail(page: &mut Page, view: &SessionView<'_>, outlook: &Outlook, directive: &Directive) {
    page.text(page.look.strong(), &format!("{}: {}", directive.id, directive.title));
    page.field(say!("applies"), &applies_words(&view.plan.airframe, directive));
    let interval = directive.interval.as_ref().map(|interval| say!(", every {}", interval.words()));
    let repeating = if directive.repeating { say!("yes") } else { say!("no") };
    page.field(say!("repeating"), &format!("{repeating}{}", interval.unwrap_or_default()));
    if let Some(done) = view.plan.airframe.last_compliance(&directive.id) {
        let hours = done.hours.map(|hours| say!(" at {hours} h", hours = figure(hours))).unwrap_or_default();
        let launches =
            done.launches.map(|launches| say!(", {launches} launches", launches)).unwrap_or_default();
        page.field(say!("last complied"), &format!("{}{hours}{launches}", words::date(done.on)));
    } else if let Some(complied) = directive.complied {
        page.field(say!("last complied"), &words::date(complied));
    }
    if let Some(note) = &directive.note {
        page.field(say!("note"), note);
    }
    parts(page, outlook, Kind::Directive, &directive.id);
    page.gap();
    let answered = view.state.directives.get(&directive.id);
    answer(
        page,
        answered
            .map(|told| (said(told.what.answer.word()), told.what.next_due, &told.what.note, &told.stamp)),
    );
}

/// How a directive or a life-limited item was answered: the word, when it falls due next, the note, by whom.
fn answer(page: &mut Page, answered: Option<(&str, Option<chrono::NaiveDate>, &String, &Stamp)>) {
    let Some((word, next_due, note, stamp)) = answered else {
        page.text(page.look.doubt(), say!("○ unanswered; Enter answers it"));
        return;
    };
    page.field(say!("answer"), word);
    if let Some(due) = next_due {
        page.field(say!("next due"), &words::date(due));
    }
    if !note.is_empty() {
        page.field(say!("note"), note);
    }
    page.field(say!("by"), &format!("{} · {}", stamp.by.name, stamp.short()));
}

fn life_detail(page: &mut Page, view: &SessionView<'_>, outlook: &Outlook, item: &LifeItem) {
    page.text(page.look.strong(), &item.title);
    let numbers = [item.part_number.as_deref(), item.serial.as_deref()];
    let numbers: Vec<&str> = numbers.into_iter().flatten().collect();
    if !numbers.is_empty() {
        page.field(say!("part, serial"), &numbers.join(", "));
    }
    if let Some(life) = &item.life {
        let from = match life.from {
            CountsFrom::Installation => say!("installation"),
            CountsFrom::Manufacture => say!("manufacture"),
        };
        page.field(say!("life"), &say!("{}; the calendar counts from {from}", life.interval.words(), from));
        let dates = [(say!("manufactured"), life.manufactured), (say!("installed"), life.installed)];
        for (label, day) in dates.into_iter().filter_map(|(label, day)| Some((label, day?))) {
            page.field(label, &words::date(day));
        }
    }
    if let Some(note) = &item.note {
        page.field(say!("note"), note);
    }
    parts(page, outlook, Kind::LifeItem, &item.id);
    page.gap();
    let answered = view.state.life_items.get(&item.id);
    answer(
        page,
        answered
            .map(|told| (said(told.what.answer.word()), told.what.next_due, &told.what.note, &told.stamp)),
    );
}
