//! Reports with what became of each, and the records that were answered.

use super::{Source, para, who_when};
use crate::report::facts::{RecordFacts, ReportFacts};
use crate::report::model::{Block, Part, Row, Table, Text, column};
use crate::report::words;
use crate::words::{day_of, said};

pub(super) fn reports(source: &Source<'_>) -> Part {
    let reports = &source.facts.reports;
    let blocks = if reports.is_empty() {
        vec![para(said(words::NOTHING))]
    } else {
        vec![Block::Table(Table {
            caption: say!("Reports and occurrences since the last annual").to_string(),
            columns: vec![
                column(say!("of pilots" => "Report"), 9.0),
                column(say!("Date"), 13.0),
                column(say!("Kind, by"), 20.0),
                column(say!("What was reported"), 32.0),
                column(say!("How it was dealt with"), 34.0),
            ],
            rows: reports.iter().map(|report| report_row(source, report)).collect(),
        })]
    };
    Part { id: words::REPORTS.0, title: said(words::REPORTS.1).to_string(), starts_page: false, blocks }
}

fn report_row(source: &Source<'_>, report: &ReportFacts) -> Row {
    let mut fate = Text::default();
    if !report.modules.is_empty() {
        fate = fate.and(say!(
            "targeted by {modules}: {done} of {all} steps answered",
            modules = report.modules.join(", "),
            done = report.steps_done,
            all = report.steps
        ));
    }
    if let Some(aside) = &report.set_aside {
        let gap = if fate.is_empty() { "" } else { "; " };
        fate = fate
            .and(format!("{gap}{} ", say!("set aside: {reason}", reason = aside.reason)))
            .joined(who_when(source, &aside.mark));
    }
    if fate.is_empty() {
        fate = Text::strong(said(words::NOT_DEALT_WITH));
    }
    Row::cells(vec![
        Text::plain(&report.id),
        Text::plain(day_of(&report.date)),
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
        vec![para(said(words::NOTHING))]
    } else {
        vec![Block::Table(Table {
            caption: say!("Directives, bulletins and life-limited items as answered").to_string(),
            columns: vec![
                column(say!("Id"), 19.0),
                column(say!("What"), 32.0),
                column(say!("Answer"), 24.0),
                column(say!("Due again"), 13.0),
                column(say!("By"), 27.0),
            ],
            rows: records.iter().map(|record| record_row(source, record)).collect(),
        })]
    };
    Part { id: words::RECORDS.0, title: said(words::RECORDS.1).to_string(), starts_page: false, blocks }
}

fn record_row(source: &Source<'_>, record: &RecordFacts) -> Row {
    let answer = match (&record.answer, &record.note) {
        (None, _) => Text::strong(said(words::UNANSWERED)),
        (Some(answer), None) => Text::plain(said(answer)),
        (Some(answer), Some(note)) => Text::plain(format!("{}: {note}", said(answer))),
    };
    let kind = match record.kind {
        "life_item" => say!("life-limited item"),
        "bulletin" => say!("bulletin"),
        _ => say!("directive"),
    };
    Row::cells(vec![
        Text::plain(&record.id),
        Text::plain(&record.title).quiet(format!(" ({kind})")),
        answer,
        Text::plain(record.next_due.as_deref().map(crate::words::day_of).unwrap_or_default()),
        record.mark.as_ref().map_or_else(Text::default, |mark| who_when(source, mark)),
    ])
}
