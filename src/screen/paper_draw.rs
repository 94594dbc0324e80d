//! "From paper" drawn: one line for each line of the sheet, what is typed beside it, the row at hand always in view.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::style::{Modifier, Style};
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

use super::field::{Entry, Field};
use super::form::Form;
use super::list::first_row;
use super::look::Look;
use super::paper;
use super::seen::{Seen, Target};
use super::series_draw::end_of;
use super::text::{Page, fit, pad};
use crate::paper::label_of;
use crate::paper::words::screen;
use crate::words::said;

/// Columns of the mark and the line's label.
const LABEL: usize = 7;

impl Form {
    /// `live` is what the row at hand would record.
    pub(super) fn draw_sheet(
        &self,
        area: Rect,
        look: Look,
        live: Option<(Style, String)>,
        frame: &mut Frame<'_>,
        seen: &mut Seen,
    ) {
        let width = usize::from(area.width).saturating_sub(2);
        let row_height: u16 = if look.big { 3 } else { 1 };
        let below = self.below(look, width, live);
        let head = fit(&self.title, width);
        frame.buffer_mut().set_string(area.x + 1, area.y, head, look.strong());
        let below_lines = u16::try_from(below.lines.len()).unwrap_or(0).min(area.height / 2);
        let body = Rect { y: area.y + 1, height: area.height.saturating_sub(1 + below_lines), ..area };
        let room = usize::from(body.height / row_height).max(1);
        let first = if self.fields.len() <= room { 0 } else { first_row(self.at, self.fields.len(), room) };
        let shown = self.fields.iter().enumerate().skip(first).take(room);
        for ((index, field), y) in shown.zip((body.y..body.bottom()).step_by(usize::from(row_height))) {
            let height = row_height.min(body.bottom() - y);
            let text_y = y + height / 2;
            seen.add(Rect { y, height, ..body }, Target::Field(index));
            let (line, cursor) = self.sheet_row(index, field, look, width);
            frame.buffer_mut().set_line(area.x + 1, text_y, &line, area.width.saturating_sub(1));
            if let Some(column) = cursor.and_then(|column| u16::try_from(column).ok()) {
                let x = (area.x + 1 + column).min(area.right().saturating_sub(1));
                frame.set_cursor_position(Position::new(x, text_y));
            }
        }
        for (line, y) in below.lines.iter().zip(body.bottom()..area.bottom()) {
            frame.buffer_mut().set_line(area.x + 1, y, line, area.width.saturating_sub(1));
        }
    }

    /// The row, and the cursor's column where it is the one at hand.
    fn sheet_row(
        &self,
        index: usize,
        field: &Field,
        look: Look,
        width: usize,
    ) -> (Line<'static>, Option<usize>) {
        let is_at = index == self.at;
        let (label, about) = label_of(&field.label);
        let about_width = (width / 2).saturating_sub(LABEL).max(10);
        let typed_width = width.saturating_sub(LABEL + about_width + 2);
        let mark = if is_at { "▶ " } else { "  " };
        let is_measure = label.ends_with(|c: char| c.is_ascii_lowercase());
        let about = if is_measure { format!("  {about}") } else { about.to_string() };
        let style = match (is_at, is_measure || label.starts_with('-')) {
            (true, _) => look.strong(),
            (false, true) => look.quiet(),
            (false, false) => Style::new(),
        };
        let Entry::Text(input) = &field.entry else { return (Line::default(), None) };
        let before: String = input.value().chars().take(input.cursor()).collect();
        let room = typed_width.saturating_sub(1);
        // The end of a long entry is the part that is being typed.
        let text =
            if is_at && before.width() > room { end_of(&before, room) } else { fit(input.value(), room) };
        // What the record has of the line already.
        let is_told = !is_at && text.is_empty() && !field.hint.is_empty();
        let text = if is_told { fit(&field.hint, room) } else { text };
        let cursor = LABEL + about_width + 1 + before.width().min(room);
        let typed_style =
            if is_at { look.selected() } else { Style::new().add_modifier(Modifier::UNDERLINED) };
        let typed_style = if is_told { look.quiet() } else { typed_style };
        let line = Line::from(vec![
            Span::styled(pad(&format!("{mark}{label}"), LABEL), style),
            Span::styled(pad(&fit(&about, about_width), about_width), style),
            Span::raw(" "),
            Span::styled(pad(&text, typed_width), typed_style),
        ]);
        (line, is_at.then_some(cursor))
    }

    /// Where one is, what may be typed, and what stands against it.
    fn below(&self, look: Look, width: usize, live: Option<(Style, String)>) -> Page {
        let mut page = Page::new(look, width);
        let typed = paper::typed(self).len();
        let place = say!(
            "── row {} of {} · {typed} typed · {} ──",
            self.at + 1,
            self.fields.len(),
            said(screen::KEYS),
            typed
        );
        page.text(look.quiet(), &fit(&place, width));
        page.text(look.quiet(), &fit(&paper::hint(self, self.at), width));
        match (&self.problem, live) {
            (Some(problem), _) => {
                page.hanging(look.bad(), "✗ ", &problem.why);
                page.hanging(Style::new(), "→ ", &problem.next);
            }
            (None, Some((style, words))) => page.text(style, &words),
            (None, None) => {}
        }
        page
    }
}
