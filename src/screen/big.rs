//! Large rows and buttons, for gloves and fingers: an item is three rows high, a button at least three by nine.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

use super::list::Row;
use super::look::Look;
use super::seen::{Seen, Target};
use super::text::{fit, pad};
use crate::command::Id;

/// Rows of an item.
pub const ITEM: u16 = 3;
/// Rows and least columns of a button.
pub const BUTTON: (u16, usize) = (3, 9);
/// From this height of the window on there are two rows of buttons.
const TWO_ROWS_FROM: u16 = 30;

/// Rows that buttons take in a window.
pub fn footer_lines(height: u16) -> u16 {
    if height < TWO_ROWS_FROM { BUTTON.0 } else { 2 * BUTTON.0 }
}

/// Of an item, or of a heading, which is none.
fn height_of(item: &Option<usize>) -> u16 {
    if item.is_some() { ITEM } else { 1 }
}

/// Rows that a whole list would take.
pub fn height(items: &[Option<usize>]) -> usize {
    items.iter().map(|item| usize::from(height_of(item))).sum()
}

/// The rows from the first of the selected one's page on. Pages do not move while one taps within them.
fn page_of(heights: &[u16], selected: usize, room: u16) -> usize {
    let (mut first, mut used) = (0, 0);
    for (index, height) in heights.iter().enumerate() {
        if used + height > room && index > first {
            (first, used) = (index, 0);
        }
        used += height;
        if index >= selected {
            break;
        }
    }
    first
}

/// Rows and headings; only the visible ones are made.
pub fn draw_list(
    area: Rect,
    items: &[Option<usize>],
    selected: usize,
    look: Look,
    buffer: &mut Buffer,
    seen: &mut Seen,
    row: impl Fn(usize) -> Row,
) {
    let heights: Vec<u16> = items.iter().map(height_of).collect();
    let at = items.iter().position(|item| *item == Some(selected)).unwrap_or(0);
    let first = if selected == 0 && at < 3 { 0 } else { page_of(&heights, at, area.height) };
    let mut y = area.y;
    for (index, item) in items.iter().enumerate().skip(first) {
        let height = height_of(item).min(area.bottom().saturating_sub(y));
        if height == 0 {
            return;
        }
        draw_row(Rect { y, height, ..area }, &row(index), *item == Some(selected), look, buffer, seen);
        y += height;
    }
}

/// As [`draw_list`] for `count` items without headings, of which only the visible ones are made.
pub fn draw_visible(
    area: Rect,
    count: usize,
    selected: usize,
    look: Look,
    buffer: &mut Buffer,
    seen: &mut Seen,
    row: impl Fn(usize) -> Row,
) {
    let fit = usize::from((area.height / ITEM).max(1));
    let first = selected / fit * fit;
    for (item, at) in (first..count).take(fit).zip(0u16..) {
        let y = area.y + at * ITEM;
        let height = ITEM.min(area.bottom().saturating_sub(y));
        draw_row(Rect { y, height, ..area }, &row(item), item == selected, look, buffer, seen);
    }
}

fn draw_row(area: Rect, row: &Row, is_selected: bool, look: Look, buffer: &mut Buffer, seen: &mut Seen) {
    let width = usize::from(area.width);
    let mut lines = two_lines(row, is_selected, width);
    lines.resize(usize::from(area.height), Vec::new());
    for (spans, y) in lines.into_iter().zip(area.y..) {
        let used: usize = spans.iter().map(Span::width).sum();
        let mut line = Line::from(spans);
        line.push_span(Span::raw(pad("", width.saturating_sub(used))));
        let line = if is_selected { line.patch_style(look.selected()) } else { line };
        buffer.set_line(area.x, y, &line, area.width);
    }
    if let Some(item) = row.item {
        seen.add(area, Target::Item(item));
    }
}

/// What the row says, on two lines where one is too short.
fn two_lines(row: &Row, is_selected: bool, width: usize) -> Vec<Vec<Span<'static>>> {
    let mark = if is_selected { "▶ " } else { "  " };
    let mut lines = vec![vec![Span::raw(mark)], vec![Span::raw("    ")]];
    let (mut at, mut used) = (0, 2);
    let words =
        row.parts.iter().flat_map(|(text, style)| text.split_inclusive(' ').map(move |word| (word, *style)));
    for (word, style) in words {
        if used + word.trim_end().width() > width && at == 0 {
            (at, used) = (1, 4);
        }
        let room = width.saturating_sub(used);
        // The space behind the last word of a line needs no room.
        let word = if word.width() > room { fit(word.trim_end(), room) } else { word.to_string() };
        used += word.width();
        if let Some(line) = lines.get_mut(at) {
            line.push(Span::styled(word, style));
        }
    }
    lines
}

/// A button to be drawn.
pub struct Button {
    pub id: Id,
    pub text: String,
    pub is_met: bool,
}

impl Button {
    fn width(&self) -> usize {
        (self.text.width() + 2).max(BUTTON.1)
    }
}

/// Buttons from the left, as many as find room; `kept` stand at the end of the last row in any case.
pub fn draw_buttons(
    area: Rect,
    mut buttons: Vec<Button>,
    kept: Vec<Button>,
    look: Look,
    buffer: &mut Buffer,
    seen: &mut Seen,
) {
    let width = usize::from(area.width);
    let reserved: usize = kept.iter().map(Button::width).sum();
    let rows = (area.height / BUTTON.0).max(1);
    let (mut row, mut x) = (0, 0);
    let others = buttons.len();
    buttons.extend(kept);
    for (index, button) in buttons.iter().enumerate() {
        let is_last = row + 1 == rows;
        let room = if is_last && index < others { width.saturating_sub(reserved) } else { width };
        if x + button.width() > room && !is_last {
            (row, x) = (row + 1, 0);
        }
        let is_last = row + 1 == rows;
        let room = if is_last && index < others { width.saturating_sub(reserved) } else { width };
        if x + button.width() > room {
            continue;
        }
        let place = Rect {
            x: area.x + u16::try_from(x).unwrap_or(u16::MAX),
            y: area.y + row * BUTTON.0,
            width: u16::try_from(button.width()).unwrap_or(u16::MAX),
            height: BUTTON.0.min(area.height),
        };
        draw_button(place, button, look, buffer, seen);
        x += button.width();
    }
}

fn draw_button(area: Rect, button: &Button, look: Look, buffer: &mut Buffer, seen: &mut Seen) {
    let inner = usize::from(area.width).saturating_sub(2);
    let text = fit(&button.text, inner);
    let before = (inner - text.width().min(inner)) / 2;
    let edge = if button.is_met { Style::new() } else { look.quiet() };
    let style = if button.is_met { look.strong() } else { look.quiet() };
    let line = "─".repeat(inner);
    buffer.set_string(area.x, area.y, format!("┌{line}┐"), edge);
    buffer.set_string(area.x, area.y + 1, "│", edge);
    buffer.set_string(area.x + 1, area.y + 1, pad(&format!("{}{text}", " ".repeat(before)), inner), style);
    buffer.set_string(area.right().saturating_sub(1), area.y + 1, "│", edge);
    buffer.set_string(area.x, area.y + 2, format!("└{line}┘"), edge);
    seen.add(area, Target::Command(button.id));
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_selected_row_is_whole_on_its_page() {
        for room in 3..20u16 {
            for headings in 1..5usize {
                let heights: Vec<u16> = (0..40).map(|at| if at % headings == 0 { 1 } else { ITEM }).collect();
                for selected in 0..heights.len() {
                    let first = page_of(&heights, selected, room);
                    let to_its_end: u16 = heights[first..=selected].iter().sum();
                    assert!(first <= selected && to_its_end <= room, "{selected} in {room}");
                }
            }
        }
    }

    #[test]
    fn what_is_too_long_goes_on_below() {
        let row = Row::item(
            0,
            vec![("○ open ".into(), Style::new()), ("look at the fin root".into(), Style::new())],
        );
        let lines: Vec<String> = two_lines(&row, false, 20)
            .into_iter()
            .map(|spans| spans.iter().map(|span| span.content.as_ref()).collect())
            .collect();
        assert_eq!(lines, ["  ○ open look at the", "    fin root"]);
    }
}
