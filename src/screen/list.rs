//! The list of a screen: headings and items, the selected one always visible.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};

use super::big;
use super::look::Look;
use super::seen::{Seen, Target};
use super::text::{fit, pad};

/// One row: an item that can be selected, or a heading.
#[derive(Clone)]
pub struct Row {
    pub item: Option<usize>,
    /// Parts with their styles; the last one gives way when the row is too narrow.
    pub parts: Vec<(String, Style)>,
}

impl Row {
    pub fn heading(look: Look, text: &str) -> Row {
        Row { item: None, parts: vec![(text.to_string(), look.strong())] }
    }

    pub fn item(item: usize, parts: Vec<(String, Style)>) -> Row {
        Row { item: Some(item), parts }
    }
}

/// Rows of the screen that a whole list would take.
pub fn height(items: &[Option<usize>], look: Look) -> usize {
    if look.big { big::height(items) } else { items.len() }
}

/// What each row stands for: an item, or nothing where it is a heading.
pub fn items(rows: &[Row]) -> Vec<Option<usize>> {
    rows.iter().map(|row| row.item).collect()
}

/// Where a screen's list and its details stand.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Cursor {
    pub at: usize,
    /// Lines by which the details are scrolled.
    pub scroll: usize,
}

/// First row to be shown. It moves in half pages, so that a click does not shift the rows under the hand.
pub fn first_row(selected_row: usize, rows: usize, height: usize) -> usize {
    let quarter = height / 4;
    let half = (height / 2).max(1);
    let wanted = selected_row.saturating_sub(quarter) / half * half;
    let wanted = if selected_row >= wanted + height { selected_row + 1 - height } else { wanted };
    wanted.min(rows.saturating_sub(height))
}

/// Draws a list with headings. `row` makes the row at a place; only the visible ones are made, since a long plan has
/// thousands.
pub fn draw(
    area: Rect,
    items: &[Option<usize>],
    selected: usize,
    look: Look,
    buffer: &mut Buffer,
    seen: &mut Seen,
    row: impl Fn(usize) -> Row,
) {
    seen.add(area, Target::List);
    let height = usize::from(area.height);
    if height == 0 || area.width < 4 {
        return;
    }
    if look.big {
        return big::draw_list(area, items, selected, look, buffer, seen, row);
    }
    let selected_row = items.iter().position(|item| *item == Some(selected)).unwrap_or(0);
    let first = if selected == 0 { 0 } else { first_row(selected_row, items.len(), height) };
    for (at, y) in (first..items.len()).take(height).zip(area.y..) {
        let row = row(at);
        let line_area = Rect { x: area.x, y, width: area.width, height: 1 };
        let is_selected = row.item == Some(selected);
        let line = row_line(&row, is_selected, usize::from(area.width), look);
        buffer.set_line(area.x, y, &line, area.width);
        if let Some(item) = row.item {
            seen.add(line_area, Target::Item(item));
        }
    }
}

/// As [`draw`] for a list of `count` items without headings, of which only the visible rows are made.
pub fn draw_visible(
    area: Rect,
    count: usize,
    selected: usize,
    look: Look,
    buffer: &mut Buffer,
    seen: &mut Seen,
    row: impl Fn(usize) -> Row,
) {
    seen.add(area, Target::List);
    let height = usize::from(area.height);
    if height == 0 || area.width < 4 {
        return;
    }
    if look.big {
        return big::draw_visible(area, count, selected, look, buffer, seen, row);
    }
    let first = first_row(selected, count, height);
    for (item, y) in (first..count).take(height).zip(area.y..) {
        let line = row_line(&row(item), item == selected, usize::from(area.width), look);
        buffer.set_line(area.x, y, &line, area.width);
        seen.add(Rect { x: area.x, y, width: area.width, height: 1 }, Target::Item(item));
    }
}

fn row_line(row: &Row, is_selected: bool, width: usize, look: Look) -> Line<'static> {
    let mark = if is_selected { "▶" } else { " " };
    let mut left = width.saturating_sub(1);
    let mut spans = vec![Span::raw(mark)];
    for (text, style) in &row.parts {
        let text = fit(text, left);
        left = left.saturating_sub(unicode_width::UnicodeWidthStr::width(text.as_str()));
        spans.push(Span::styled(text, *style));
    }
    if is_selected {
        spans.push(Span::raw(pad("", left)));
        return Line::from(spans).patch_style(look.selected());
    }
    Line::from(spans)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_selected_row_is_always_visible() {
        for height in 1..12 {
            for rows in 1..60 {
                for selected in 0..rows {
                    let first = first_row(selected, rows, height);
                    assert!(
                        first <= selected && selected < first + height,
                        "{selected} of {rows} in {height}"
                    );
                    assert!(first == 0 || first + height <= rows, "no empty rows while there are more");
                }
            }
        }
    }
}
