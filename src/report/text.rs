//! The document as plain text, 80 columns wide.

mod page;

use super::model::{Align, Block, Document, Drawing, Figure, Part, Row, Style, Table, Text, Tone, shown};
use super::words;
use crate::columns::wrap;
use crate::compute::Picture;
use crate::plot::plot_text;
use crate::words::{Language, current};
use page::{Page, WIDTH};
use unicode_width::UnicodeWidthStr;

/// Lines of a plot.
const PLOT_LINES: usize = 20;
/// Words up to this width are kept whole by the width of their column, where the page allows it. German joins its nouns.
fn unbroken() -> usize {
    match current() {
        Language::English | Language::Proof => 12,
        Language::German | Language::SwissGerman => 17,
    }
}

/// No column is narrower, where the width allows it.
const NARROWEST: usize = 5;

/// The whole document. Marks stand at its head and again before every part.
pub fn text(document: &Document) -> String {
    let mut page = Page::new();
    page.line(&document.title);
    page.line(&document.head);
    marks(&mut page, document);
    for part in &document.parts {
        lay_part(&mut page, document, part);
    }
    page.gap();
    page.line(&"=".repeat(WIDTH));
    page.para(0, 0, &document.foot);
    marks(&mut page, document);
    page.finish()
}

fn marks(page: &mut Page, document: &Document) {
    for mark in &document.marks {
        page.para(0, 4, &format!("*** {} ***", mark.text));
    }
}

fn lay_part(page: &mut Page, document: &Document, part: &Part) {
    page.gap();
    page.line(&"=".repeat(WIDTH));
    page.para(0, 0, &part.title);
    page.line(&"=".repeat(WIDTH));
    marks(page, document);
    for block in &part.blocks {
        lay_block(page, block);
    }
}

fn lay_block(page: &mut Page, block: &Block) {
    page.gap();
    match block {
        Block::Heading { level, text, .. } => {
            page.para(0, 0, text);
            page.line(&if *level <= 2 { "-" } else { "." }.repeat(text.width().clamp(1, WIDTH)));
        }
        Block::Para(text) => page.para(0, 0, &plain(text)),
        Block::Notice { tone, text } => {
            let sign = match tone {
                Tone::Grave => "!! ",
                Tone::Caution => "! ",
                Tone::Good | Tone::Plain => "",
            };
            page.para(0, sign.len(), &format!("{sign}{}", plain(text)));
        }
        Block::Facts(rows) => {
            let indent = rows.iter().map(|(name, _)| name.width() + 2).max().unwrap_or(0).min(32);
            for (name, value) in rows {
                let name = format!("{name}:");
                let gap = " ".repeat(indent.saturating_sub(name.width()).max(1));
                page.kept(indent, &name, &gap, &plain(value));
            }
        }
        Block::List(items) => items.iter().for_each(|item| page.para(0, 2, &format!("- {}", plain(item)))),
        Block::Table(table) => lay_table(page, table),
        Block::Figure(figure) => lay_figure(page, figure),
        Block::Lines(lines) => lines.iter().for_each(|line| page.whole(&shown(line))),
        Block::SignatureLines(lines) => {
            for line in lines {
                page.gap();
                page.line(&"_".repeat(48));
                page.para(0, 0, line);
            }
        }
    }
}

/// Struck stretches say so, once for neighbours of one kind.
fn plain(text: &Text) -> String {
    let mut out = String::new();
    for runs in text.0.chunk_by(|a, b| a.style.struck == b.style.struck) {
        let letters: String = runs.iter().map(|run| run.text.as_str()).collect();
        match runs.first().map(|run| run.style) {
            Some(Style { struck: true, .. }) => out.push_str(&words::struck_in_text(&letters)),
            _ => out.push_str(&letters),
        }
    }
    out
}

fn lay_table(page: &mut Page, table: &Table) {
    let widths = widths(table);
    page.para(0, 0, &format!("[{}]", table.caption));
    let heads: Vec<String> = table.columns.iter().map(|column| column.title.to_string()).collect();
    lay_cells(page, table, &widths, &heads);
    page.line(&widths.iter().map(|width| "-".repeat(*width)).collect::<Vec<_>>().join(" "));
    let indent = widths.first().map_or(0, |first| first + 1);
    for row in &table.rows {
        match row {
            Row::Cells { cells, .. } => {
                let cells: Vec<String> = cells.iter().map(plain).collect();
                lay_cells(page, table, &widths, &cells);
            }
            Row::Group { text } => page.para(0, 2, &format!("# {}", plain(text))),
            Row::Detail { text } => page.para(indent, 2, &plain(text)),
            Row::Note { text } => page.para(2, 2, &plain(text)),
            Row::Blank => {
                let lines: Vec<String> = widths.iter().map(|width| "_".repeat(*width)).collect();
                page.line(&lines.join(" "));
            }
        }
    }
}

/// Columns by their shares, each wide enough for its longest common word where that is possible.
fn widths(table: &Table) -> Vec<usize> {
    let room = WIDTH.saturating_sub(table.columns.len().saturating_sub(1)).max(table.columns.len());
    let whole: f32 = table.columns.iter().map(|column| column.share.max(0.1)).sum();
    let mut widths: Vec<usize> = table
        .columns
        .iter()
        .enumerate()
        .map(|(index, column)| {
            let longest = longest_word(table, index, column.title);
            ((column.share.max(0.1) / whole * room as f32) as usize).max(longest).max(NARROWEST)
        })
        .collect();
    while widths.iter().sum::<usize>() > room {
        match widths.iter_mut().max() {
            Some(widest) if *widest > 1 => *widest -= 1,
            _ => break,
        }
    }
    let left = room.saturating_sub(widths.iter().sum());
    if let Some(widest) = widths.iter_mut().max() {
        *widest += left;
    }
    widths
}

/// The longest word of a column that must not be broken, such as a date.
fn longest_word(table: &Table, index: usize, title: &str) -> usize {
    let cells = table.rows.iter().filter_map(|row| match row {
        Row::Cells { cells, .. } => cells.get(index).map(Text::letters),
        _ => None,
    });
    let longest = |text: &str| {
        text.split_whitespace()
            .map(UnicodeWidthStr::width)
            .filter(|width| *width <= unbroken())
            .max()
            .unwrap_or(1)
    };
    cells.map(|text| longest(&text)).max().unwrap_or(1).max(longest(title))
}

fn lay_cells(page: &mut Page, table: &Table, widths: &[usize], cells: &[String]) {
    let broken: Vec<Vec<String>> =
        cells.iter().zip(widths).map(|(cell, width)| wrap(cell, *width, 0)).collect();
    let lines = broken.iter().map(Vec::len).max().unwrap_or(0);
    for index in 0..lines {
        let mut line = String::new();
        for ((cell, width), column) in broken.iter().zip(widths).zip(&table.columns) {
            let words = cell.get(index).map_or("", String::as_str);
            let gap = " ".repeat(width.saturating_sub(words.width()));
            match column.align {
                Align::Left => line.push_str(&format!("{words}{gap} ")),
                Align::Right => line.push_str(&format!("{gap}{words} ")),
            }
        }
        page.line(&line);
    }
}

fn lay_figure(page: &mut Page, figure: &Figure) {
    page.para(0, 0, &format!("[{}]", figure.caption));
    let drawn = match &figure.drawing {
        Drawing::Plot(plot) => plot_text(plot, WIDTH, PLOT_LINES, false),
        Drawing::Tap(grid) => Picture::Tap(grid.clone()).text(WIDTH, PLOT_LINES, false),
        Drawing::Airframe { lines, .. } => lines.join("\n"),
    };
    for line in drawn.lines() {
        let line = shown(line);
        if line.trim().is_empty() {
            page.gap();
        } else if line.width() <= WIDTH {
            page.line(&line);
        } else {
            page.para(0, 2, &line);
        }
    }
}
