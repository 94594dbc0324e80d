//! Reports with what became of each, and the records that were answered.

use super::{Source, para, who_when};
use crate::report::facts::{RecordFacts, ReportFacts};
use crate::report::model::{Block, Part, Row, Table, Text, column};
use crate::report::words;

pub(super) fn reports(source: &Source<'_>) -> Part {
    let reports = &source.facts.reports;
    let blocks = if reports.is_empty() {
        vec![para(words::NOTHING)]
    } else {
        vec![Block::Table(Table {
            caption: "Reports and occurrences since the last annual".to_string(),
            columns: vec![
                column("Report", 9.0),
                column("Date", 13.0),
                column("Kind, by", 20.0),
                column("What was reported", 32.0),
                column("How it was dealt with", 34.0),
            ],
            rows: reports.iter().map(|report| report_row(source, report)).collect(),
        })]
    };
    Part { id: words::REPORTS.0, title: words::REPORTS.1.to_string(), starts_page: false, blocks }
}

fn report_row(source: &Source<'_>, report: &ReportFacts) -> Row {
    let mut fate = Text::default();
    if !report.modules.is_empty() {
        fate = fate.and(format!(
            "targeted by {}: {} of {} steps answered",
            report.modules.join(", "),
            report.steps_done,
            report.steps
        ));
    }
    if let Some(aside) = &report.set_aside {
        let gap = if fate.is_empty() { "" } else { "; " };
        fate = fate.and(format!("{gap}set aside: {} ", aside.reason)).joined(who_when(source, &aside.mark));
    }
    if fate.is_empty() {
        fate = Text::strong(words::NOT_DEALT_WITH);
    }
    Row::cells(vec![
        Text::plain(&report.id),
        Text::plain(&report.date),
        Text::plain(if report.by.is_empty() {
            report.kind.clone()
        } else {
            format!("{}; {}", report.kind, report.by)
        }),
        Text::plain(&report.text),
        fate,
    ])
}

pub(super) fn records(source: &Source<'_>) -> Part {
    let records = &source.facts.records;
    let blocks = if records.is_empty() {
        vec![para(words::NOTHING)]
    } else {
        vec![Block::Table(Table {
            caption: "Directives, bulletins and life-limited items as answered".to_string(),
            columns: vec![
                column("Id", 19.0),
                column("What", 32.0),
                column("Answer", 24.0),
                column("Due again", 13.0),
                column("By", 27.0),
            ],
            rows: records.iter().map(|record| record_row(source, record)).collect(),
        })]
    };
    Part { id: words::RECORDS.0, title: words::RECORDS.1.to_string(), starts_page: false, blocks }
}

fn record_row(source: &Source<'_>, record: &RecordFacts) -> Row {
    let answer = match (&record.answer, &record.note) {
        (None, _) => Text::strong(words::UNANSWERED),
        (Some(answer), None) => Text::plain(answer),
        (Some(answer), Some(note)) => Text::plain(format!("{answer}: {note}")),
    };
    let kind = if record.kind == "life_item" { "life-limited item" } else { record.kind };
    Row::cells(vec![
        Text::plain(&record.id),
        Text::plain(&record.title).quiet(format!(" ({kind})")),
        answer,
        Text::plain(record.next_due.as_deref().unwrap_or_default()),
        record.mark.as_ref().map_or_else(Text::default, |mark| who_when(source, mark)),
    ])
}
