//! What falls due next, gravest first.

use super::{Source, notice, para, quiet_para};
use crate::report::model::{Block, Part, Row, Style, Table, Text, Tone, column};
use crate::report::words;
use crate::words::{day_of, said};

pub(super) fn part(source: &Source<'_>) -> Part {
    let due = &source.facts.due;
    let mut blocks = Vec::new();
    if let Some(trouble) = &due.trouble {
        blocks.push(notice(Tone::Caution, say!("This cannot be told: {trouble}.", trouble)));
    }
    if let (Some(from), Some(next)) = (&due.seen_from, &due.next_annual) {
        blocks.push(para(say!(
            "Seen from {from}; the next annual is expected by {next}.",
            from = day_of(from),
            next = day_of(next)
        )));
    }
    if due.rows.is_empty() {
        blocks.push(para(said(words::NOTHING)));
    } else {
        blocks.push(Block::Table(Table {
            caption: say!("Due dates and remaining lives").to_string(),
            columns: vec![
                column(say!("Standing"), 18.0),
                column(say!("What"), 34.0),
                column(say!("Kind"), 16.0),
                column(say!("Limits"), 30.0),
                column(say!("Expected"), 12.0),
            ],
            rows: due.rows.iter().map(row).collect(),
        }));
    }
    blocks.push(quiet_para(said(words::DUE_RULE)));
    // Behind the stories of defects it goes on where they end; it never stands on the page of the logbook entry.
    let starts_page = source.facts.defects.is_empty();
    Part { id: words::DUE.0, title: said(words::DUE.1).to_string(), starts_page, blocks }
}

fn row(row: &crate::report::facts::DueRow) -> Row {
    let is_grave = matches!(row.standing.as_str(), "overdue" | "due now" | "cannot be told");
    let style = if is_grave { Style::STRONG } else { Style::PLAIN };
    let sign = if is_grave { "▲ " } else { "" };
    let limits = match &row.trouble {
        Some(trouble) => trouble.clone(),
        None => row.limits_shown.join("; "),
    };
    Row::cells(vec![
        Text::default().with(format!("{sign}{}", said(&row.standing)), style),
        Text::plain(&row.title),
        Text::plain(said(&row.kind)),
        Text::plain(limits),
        Text::plain(row.expected.as_deref().map(crate::words::day_of).unwrap_or_default()),
    ])
}
