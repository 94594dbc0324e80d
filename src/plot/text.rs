//! A picture as plain text: for a report's file, a pipe, or a terminal without a screen.

use unicode_width::UnicodeWidthStr;

use super::{Plot, TapCell, raster};

/// Title, picture and legend in lines of at most `width` columns, `height` lines in all, no blanks at their ends.
///
/// Where the room is too small for a picture (about 14 columns by 6 lines), the title alone is left.
pub fn plot_text(plot: &Plot, width: usize, height: usize, ascii: bool) -> String {
    let mut text = String::new();
    push_line(&mut text, &plot.title.chars().take(width).collect::<String>());
    for row in raster(plot, width, height.saturating_sub(1), ascii) {
        push_line(&mut text, &row.iter().map(|cell| cell.sign).collect::<String>());
    }
    // Rows of a picture that found no room.
    text.truncate(text.trim_end().len());
    text.push('\n');
    text
}

/// A tap map with numbered columns and rows, the legend with its counts below. Row 1 is the first of the list of
/// points, column 1 its first point. `width` is the most columns of a line: a wider grid loses the blanks between
/// its signs, and what does not fit even then is left off and said to be.
pub fn tap_text(grid: &[Vec<TapCell>], width: usize, ascii: bool) -> String {
    let columns = grid.iter().map(Vec::len).max().unwrap_or(0);
    let lead = grid.len().to_string().width().max(3) + 1;
    let room = width.saturating_sub(lead);
    let pitch = [3, 2].into_iter().find(|pitch| pitch * columns <= room).unwrap_or(1);
    let shown = columns.min(room / pitch);
    let mut text = String::new();
    push_line(&mut text, &format!("{:lead$}{}", "", column_numbers(shown, pitch)));
    for (index, row) in grid.iter().enumerate() {
        let signs: String =
            row.iter().take(shown).map(|cell| format!("{:>pitch$}", shown_sign(*cell, ascii))).collect();
        push_line(&mut text, &format!("{:>number$} {signs}", index + 1, number = lead - 1));
    }
    if shown < columns {
        push_line(&mut text, &say!("columns {from} to {to} found no room", from = shown + 1, to = columns));
    }
    for line in legend(grid, ascii) {
        push_line(&mut text, &line);
    }
    text
}

/// A point without a tone is shown: a blank could be taken for a point that nobody tapped.
fn shown_sign(cell: TapCell, ascii: bool) -> char {
    match (cell, ascii) {
        (TapCell::Empty, false) => '○',
        (TapCell::Empty, true) => 'o',
        (cell, ascii) => cell.sign(ascii),
    }
}

/// Every column where there is room for its number, else every fifth.
fn column_numbers(columns: usize, pitch: usize) -> String {
    let every = if pitch > columns.to_string().width() { 1 } else { 5 };
    let mut line = String::new();
    for column in (1..=columns).filter(|column| column % every == 0) {
        let words = column.to_string();
        let end = column * pitch;
        if end >= line.width() + words.width() {
            line.push_str(&" ".repeat(end - line.width() - words.width()));
            line.push_str(&words);
        }
    }
    line
}

fn legend(grid: &[Vec<TapCell>], ascii: bool) -> Vec<String> {
    let all = || grid.iter().flatten();
    let mut lines: Vec<String> = [
        (TapCell::Lower, say!("rings lower than its surroundings: dull, look again")),
        (TapCell::Higher, say!("rings higher than its surroundings")),
        (TapCell::Even, say!("rings like its surroundings")),
        (TapCell::Empty, say!("no clear tone, or not tapped")),
    ]
    .into_iter()
    .map(|(cell, meaning)| (cell, meaning, all().filter(|other| **other == cell).count()))
    .filter(|(_, _, count)| *count > 0)
    .map(|(cell, meaning, count)| format!("{} {meaning} ({count})", shown_sign(cell, ascii)))
    .collect();
    if all().next().is_none() {
        lines.push(say!("no point was tapped").to_string());
    }
    lines
}

fn push_line(text: &mut String, line: &str) {
    text.push_str(line.trim_end());
    text.push('\n');
}
