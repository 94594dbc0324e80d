//! Tables: a head for every column, one cell that names each row, what is told about a row bound to it.

use std::fmt::Write as _;

use super::{Ids, escape, inline};
use crate::report::model::{Align, Row, Table, Text};

/// Cells up to this many letters without a blank stand on one line: dates, ids, codes.
const UNBROKEN: usize = 16;
/// Tables up to this many rows are kept together on paper.
const KEPT_TOGETHER: usize = 10;

/// A row that begins something, with what is told about it.
struct Bound<'t> {
    first: &'t Row,
    about: Vec<&'t Row>,
}

pub(super) fn lay_table(out: &mut String, table: &Table, ids: &mut Ids) {
    let name = escape(&table.caption);
    let class = if table.rows.len() <= KEPT_TOGETHER { "wide together" } else { "wide" };
    // Keys move what is wider than the window. No landmark: a report has dozens of tables.
    let _ = writeln!(out, "<div class=\"{class}\" role=\"group\" aria-label=\"{name}\" tabindex=\"0\">");
    let _ = writeln!(out, "<table>\n<caption>{name}</caption>\n<thead>\n<tr>");
    for column in &table.columns {
        let _ =
            writeln!(out, "<th scope=\"col\"{}>{}</th>", class_of(column.align, None), escape(column.title));
    }
    out.push_str("</tr>\n</thead>\n<tbody>\n");
    // A group of rows is a body of its own: its heading and a row's name reach to its end and no further.
    let (mut is_begun, mut is_over) = (false, false);
    for bound in bound(&table.rows) {
        let is_group = matches!(bound.first, Row::Group { .. }) || !bound.about.is_empty();
        if is_begun && (is_group || is_over) {
            out.push_str("</tbody>\n<tbody>\n");
        }
        is_over = !bound.about.is_empty();
        lay_row(out, table, bound.first, is_group, ids);
        bound.about.iter().for_each(|row| lay_row(out, table, row, false, ids));
        is_begun = true;
    }
    out.push_str("</tbody>\n</table>\n</div>\n");
}

fn bound(rows: &[Row]) -> Vec<Bound<'_>> {
    let mut all: Vec<Bound<'_>> = Vec::new();
    for row in rows {
        match (row, all.last_mut()) {
            (Row::Detail { .. } | Row::Note { .. }, Some(last)) => last.about.push(row),
            _ => all.push(Bound { first: row, about: Vec::new() }),
        }
    }
    all
}

/// `names_group`: the rows that follow in the same body are about this one.
fn lay_row(out: &mut String, table: &Table, row: &Row, names_group: bool, ids: &mut Ids) {
    let span = table.columns.len().max(1);
    match row {
        Row::Cells { id, cells } => {
            let id = id.as_ref().map(|id| ids.attribute(id)).unwrap_or_default();
            let scope = if names_group { "rowgroup" } else { "row" };
            let _ = write!(out, "<tr{id}>");
            for (index, column) in table.columns.iter().enumerate() {
                let words = cells.get(index).map(inline).unwrap_or_default();
                let class = class_of(column.align, cells.get(index));
                let _ = match index == table.naming_column() {
                    true => write!(out, "<th scope=\"{scope}\"{class}>{words}</th>"),
                    false => write!(out, "<td{class}>{words}</td>"),
                };
            }
            out.push_str("</tr>\n");
        }
        Row::Group { text } => {
            let words = inline(text);
            let _ = writeln!(
                out,
                "<tr class=\"group\"><th scope=\"rowgroup\" colspan=\"{span}\">{words}</th></tr>"
            );
        }
        Row::Note { text } => {
            let words = inline(text);
            let _ = writeln!(out, "<tr class=\"note\"><td colspan=\"{span}\">{words}</td></tr>");
        }
        Row::Blank => {
            let _ = writeln!(out, "<tr class=\"blank\">{}</tr>", "<td></td>".repeat(span));
        }
        Row::Detail { text } => {
            let words = inline(text);
            let _ = match span {
                1 => writeln!(out, "<tr class=\"detail\"><td>{words}</td></tr>"),
                _ => writeln!(
                    out,
                    "<tr class=\"detail\"><td></td><td colspan=\"{}\">{words}</td></tr>",
                    span - 1
                ),
            };
        }
    }
}

fn class_of(align: Align, cell: Option<&Text>) -> String {
    let letters = cell.map(Text::letters).unwrap_or_default();
    let count = letters.chars().count();
    let is_short = (1..=UNBROKEN).contains(&count) && !letters.contains(char::is_whitespace);
    match (align, is_short) {
        (Align::Left, false) => String::new(),
        (Align::Left, true) => " class=\"short\"".to_string(),
        (Align::Right, _) => " class=\"number\"".to_string(),
    }
}
