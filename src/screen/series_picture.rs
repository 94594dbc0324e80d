//! The picture of a load–deflection table while it is typed: beside the table, or in its place.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::text::Line;

use super::desk::Desk;
use super::look::Look;
use super::picture;
use super::seen::{Seen, Target};
use super::series::{Series, Spot};
use super::text::{Page, fit, statements};
use super::verdict;
use crate::event::Used;
use crate::plot::Plot;

/// From this width on the picture stands beside the table.
const BESIDE_FROM: u16 = 110;
/// A higher picture shows nothing more, and the figures want the room.
const MOST_LINES: u16 = 24;
/// Room for the columns of the table.
const TABLE_COLUMNS: u16 = 60;

impl Series {
    pub fn draw(&self, area: Rect, desk: &dyn Desk, look: Look, frame: &mut Frame<'_>, seen: &mut Seen) {
        if area.width >= BESIDE_FROM {
            let wide = (area.width * 9 / 20).max(TABLE_COLUMNS);
            let table = Rect { width: wide, ..area };
            let right = Rect { x: area.x + wide, width: area.width - wide, ..area };
            self.draw_table(table, desk, look, frame, seen, false);
            self.draw_beside(right, desk, look, frame);
        } else if self.picture && matches!(self.spot, Spot::Cell(..)) {
            self.draw_instead(area, desk, look, frame, seen);
        } else {
            self.draw_table(area, desk, look, frame, seen, true);
        }
    }

    /// The rows that can be read as points; half-typed ones are not drawn.
    fn plot(&self, desk: &dyn Desk) -> Option<Plot> {
        let view = desk.session()?;
        let points = self.readable_points();
        if points.is_empty() {
            return None;
        }
        let (instrument, load) = self.instruments_used(desk);
        let used = Used { instrument: instrument.as_ref(), load: load.as_ref() };
        picture::of_series(self.card(&view), &self.demand, &points, used).map(|(plot, _)| plot)
    }

    fn verdict_lines(&self, desk: &dyn Desk, page: &mut Page) {
        let look = page.look;
        match self.live(desk) {
            Some(judged) => {
                let lead = say!("So far: {} ", verdict::sign(&judged));
                page.hanging(verdict::style(&judged, look), &lead, &verdict::plain(&judged));
            }
            None => page.text(look.quiet(), say!("The verdict stands here once rows are complete.")),
        }
    }

    fn draw_beside(&self, area: Rect, desk: &dyn Desk, look: Look, frame: &mut Frame<'_>) {
        let width = usize::from(area.width).saturating_sub(2);
        let mut page = Page::new(look, width);
        self.verdict_lines(desk, &mut page);
        let used = u16::try_from(page.lines.len()).unwrap_or(u16::MAX);
        let height = (area.height.saturating_sub(used + 1) * 3 / 4).min(MOST_LINES);
        if let Some(plot) = self.plot(desk) {
            page.lines.extend(picture::lines(&plot, width, usize::from(height), look));
        }
        if let Some(judged) = self.live(desk) {
            page.gap();
            for statement in statements(&judged.words) {
                page.plain(statement);
            }
        }
        put(&page.lines, area, frame);
    }

    /// On a small screen: the ceiling, the row at hand, the picture, the verdict.
    fn draw_instead(&self, area: Rect, desk: &dyn Desk, look: Look, frame: &mut Frame<'_>, seen: &mut Seen) {
        let width = usize::from(area.width).saturating_sub(2);
        let Spot::Cell(at, _) = self.spot else { return };
        let mut page = Page::new(look, width);
        page.text(look.strong(), &fit(&self.title, width));
        page.lines.push(self.ceiling_line(look, width));
        page.lines.push(self.head_line(look));
        let y = area.y + u16::try_from(page.lines.len()).unwrap_or(0);
        page.lines.push(self.row_line(at, look, width));
        if y < area.bottom() {
            seen.add(Rect { y, height: 1, ..area }, Target::Field(at));
            frame.set_cursor_position(self.cursor(area, y, at));
        }
        let mut below = Page::new(look, width);
        match &self.problem {
            Some(problem) => {
                below.hanging(look.bad(), "✗ ", &problem.why);
                below.text(look.bad(), &format!("→ {}", problem.next));
            }
            None => self.verdict_lines(desk, &mut below),
        }
        below.lines.truncate(3);
        let height = usize::from(area.height).saturating_sub(page.lines.len() + below.lines.len());
        match self.plot(desk) {
            Some(plot) => page.lines.extend(picture::lines(&plot, width, height, look)),
            None => page.plain(say!("There is nothing to draw yet.")),
        }
        page.lines.extend(below.lines);
        put(&page.lines, area, frame);
    }
}

fn put(lines: &[Line<'static>], area: Rect, frame: &mut Frame<'_>) {
    for (line, y) in lines.iter().zip(area.y..area.bottom()) {
        frame.buffer_mut().set_line(area.x + 1, y, line, area.width.saturating_sub(1));
    }
}
