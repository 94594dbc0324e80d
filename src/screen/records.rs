//! Records: reports with what they selected, directives, life-limited items, withdrawn steps.

use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::SessionView;
use super::list::Row;
use super::look::Look;
use super::records_carried;
use super::text::{Page, count, pad};
use crate::airframe::{Directive, LifeItem};
use crate::completion::Subject;
use crate::completion::totals::totals;
use crate::plan::{PlanStep, PlannedReport, WithdrawnStep};
use crate::state::{Defect, Stamp};
use crate::vocabulary::kind_words;

#[derive(Clone, Copy)]
pub enum Record<'a> {
    Report(&'a PlannedReport),
    Directive(&'a Directive),
    LifeItem(&'a LifeItem),
    Withdrawn(&'a WithdrawnStep),
    /// A defect that stood open in the airframe's record.
    CarriedDefect(&'a Defect),
    /// A step that failed at the annual before, and how it ended there.
    FailedBefore(&'a PlanStep, &'a str),
    ReadingsBefore,
}

impl Record<'_> {
    fn heading(&self) -> &'static str {
        match self {
            Record::Report(_) => "Reports and occurrences",
            Record::Directive(_) => "Directives and bulletins",
            Record::LifeItem(_) => "Life-limited and time-controlled items",
            Record::Withdrawn(_) => "Steps that the type supplement withdraws",
            Record::CarriedDefect(_) | Record::FailedBefore(..) | Record::ReadingsBefore => "Carried forward",
        }
    }
}

pub fn items<'a>(view: &SessionView<'a>) -> Vec<Record<'a>> {
    let plan = view.plan;
    let reports = plan.reports.iter().map(Record::Report);
    let directives = plan.airframe.directives.iter().map(Record::Directive);
    let life_items = plan.airframe.life_items.iter().map(Record::LifeItem);
    reports
        .chain(directives)
        .chain(life_items)
        .chain(records_carried::items(view))
        .chain(plan.withdrawn.iter().map(Record::Withdrawn))
        .collect()
}

pub fn rows(view: &SessionView<'_>, look: Look) -> Vec<Row> {
    let items = items(view);
    if items.is_empty() {
        return vec![Row::heading(look, "  no report, directive or life-limited item is recorded")];
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
            Record::Withdrawn(step) => step.title.clone(),
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
    let stands_against =
        |subject: Subject| view.verdict.refusals().iter().any(|refusal| refusal.subject == subject);
    let answered = |word: Option<&'static str>, subject: Subject| match word {
        Some(word) if stands_against(subject) => ("✗", format!("OVERDUE; {word}"), look.bad()),
        Some(word) => ("✓", word.to_string(), look.good()),
        None => ("○", "unanswered".to_string(), look.doubt()),
    };
    match item {
        Record::Report(report) => {
            let steps = steps_of(view, report);
            if view.state.set_aside.contains_key(&report.id) {
                ("–", "set aside".to_string(), look.quiet())
            } else if steps > 0 {
                ("✓", format!("selected {}", count(steps, "step", "steps")), look.good())
            } else {
                ("✗", "not dealt with".to_string(), look.bad())
            }
        }
        Record::Directive(directive) => {
            let told = view.state.directives.get(&directive.id);
            answered(told.map(|told| told.what.answer.word()), Subject::Directive(directive.id.clone()))
        }
        Record::LifeItem(item) => {
            let told = view.state.life_items.get(&item.id);
            answered(told.map(|told| told.what.answer.word()), Subject::LifeItem(item.id.clone()))
        }
        Record::Withdrawn(_) => ("–", "withdrawn".to_string(), look.quiet()),
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
    today: chrono::NaiveDate,
    at: usize,
    look: Look,
    width: usize,
) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    match items(view).get(at) {
        Some(Record::Report(report)) => report_detail(&mut page, view, report),
        Some(Record::Directive(directive)) => directive_detail(&mut page, view, directive),
        Some(Record::LifeItem(item)) => life_detail(&mut page, view, item),
        Some(Record::Withdrawn(step)) => {
            page.text(look.strong(), &step.title);
            page.field("withdrawn by", &step.by);
            page.field("reason", &step.reason);
        }
        Some(Record::CarriedDefect(defect)) => {
            records_carried::defect_detail(&mut page, view, today, defect);
        }
        Some(Record::FailedBefore(planned, how)) => {
            records_carried::failed_detail(&mut page, view, planned, how);
        }
        Some(Record::ReadingsBefore) => records_carried::readings_detail(&mut page, view),
        None => page.plain("Nothing is recorded here."),
    }
    page.lines
}

fn report_detail(page: &mut Page, view: &SessionView<'_>, report: &PlannedReport) {
    page.text(page.look.strong(), &format!("{} on {}", kind_words(&report.kind), report.date));
    page.plain(&format!("\"{}\"", report.text));
    if !report.by.is_empty() {
        page.field("by", &report.by);
    }
    if report.modules.is_empty() {
        page.hanging(page.look.bad(), "✗ ", "no module answers it: it must be set aside in writing (Enter)");
    }
    for module in view.plan.selected_by(report) {
        page.field("module", &format!("{} \"{}\"", module.id, module.title));
        for step in module.steps {
            page.hanging(
                Style::new(),
                "· ",
                &format!("{} ({})", step.step.title, view.state.standing(&step.step.id).word()),
            );
        }
    }
    if let Some(told) = view.state.set_aside.get(&report.id) {
        page.field("set aside", &told.what);
        page.field("by", &format!("{} · {}", told.stamp.by.name, told.stamp.short()));
    }
}

fn directive_detail(page: &mut Page, view: &SessionView<'_>, directive: &Directive) {
    page.text(page.look.strong(), &format!("{}: {}", directive.id, directive.title));
    let yes = |flag: bool| if flag { "yes" } else { "no" };
    page.field("applies by the record", yes(directive.applies));
    page.field("repeating", yes(directive.repeating));
    if let Some(due) = directive.due {
        page.field("due", &overdue(due, view));
    }
    if let Some(due) = directive.due_hours {
        page.field("due at", &format!("{due} h; the airframe has {} h", totals(view.plan, view.state).hours));
    }
    if let Some(complied) = directive.complied {
        page.field("last complied", &complied.to_string());
    }
    if let Some(note) = &directive.note {
        page.field("note", note);
    }
    page.gap();
    let answered = view.state.directives.get(&directive.id);
    answer(
        page,
        answered.map(|told| (told.what.answer.word(), told.what.next_due, &told.what.note, &told.stamp)),
    );
}

/// How a directive or a life-limited item was answered: the word, when it falls due next, the note, by whom.
fn answer(page: &mut Page, answered: Option<(&str, Option<chrono::NaiveDate>, &String, &Stamp)>) {
    let Some((word, next_due, note, stamp)) = answered else {
        page.text(page.look.doubt(), "○ unanswered; Enter answers it");
        return;
    };
    page.field("answer", word);
    if let Some(due) = next_due {
        page.field("next due", &due.to_string());
    }
    if !note.is_empty() {
        page.field("note", note);
    }
    page.field("by", &format!("{} · {}", stamp.by.name, stamp.short()));
}

/// The date, with a word where it lay before the session's last entry.
fn overdue(due: chrono::NaiveDate, view: &SessionView<'_>) -> String {
    let today = view.entries.last().and_then(|last| last.wall.get(..10)?.parse().ok());
    if today.is_some_and(|today: chrono::NaiveDate| due < today) {
        format!("{due}, PASSED")
    } else {
        due.to_string()
    }
}

fn life_detail(page: &mut Page, view: &SessionView<'_>, item: &LifeItem) {
    page.text(page.look.strong(), &item.title);
    let airframe = totals(view.plan, view.state);
    if let Some(due) = item.due {
        page.field("due", &overdue(due, view));
    }
    if let Some(due) = item.due_hours {
        page.field("due at", &format!("{due} h; the airframe has {} h", airframe.hours));
    }
    if let Some(due) = item.due_launches {
        page.field("due at", &format!("{due} launches; the airframe has {}", airframe.launches));
    }
    page.text(page.look.quiet(), "whichever comes first governs");
    if let Some(note) = &item.note {
        page.field("note", note);
    }
    page.gap();
    let answered = view.state.life_items.get(&item.id);
    answer(
        page,
        answered.map(|told| (told.what.answer.word(), told.what.next_due, &told.what.note, &told.stamp)),
    );
}
