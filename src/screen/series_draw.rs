//! The load–deflection table on the screen: the ceiling always in sight, the verdict under the rows.

use ratatui::Frame;
use ratatui::layout::{Position, Rect};
use ratatui::style::{Modifier, Style};
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

use super::big::ITEM;
use super::desk::Desk;
use super::field::Entry;
use super::list::first_row;
use super::look::Look;
use super::reading::limit_line;
use super::seen::{Seen, Target};
use super::series::{Column, Series, Spot};
use super::text::{Page, count, fit, pad};
use super::verdict;
use crate::quantity::Quantity;
use crate::session::LOAD_CAUTION;

const WIDTHS: [usize; 5] = [4, 12, 8, 14, 14];
/// From this height on there is room for more than the table itself.
const ROOMY: u16 = 26;

impl Series {
    /// `with_verdict` is false where the verdict stands beside the table.
    pub(super) fn draw_table(
        &self,
        area: Rect,
        desk: &dyn Desk,
        look: Look,
        frame: &mut Frame<'_>,
        seen: &mut Seen,
        with_verdict: bool,
    ) {
        let width = usize::from(area.width).saturating_sub(2);
        let top = self.top(look, width, area.height);
        let most = if is_tight(look, area.height) { 1 } else { usize::from(area.height / 4).max(2) };
        let mut bottom = self.bottom(look, width);
        if with_verdict {
            self.verdict(desk, &mut bottom, most);
        }
        self.problem_lines(&mut bottom);
        // As high as an item of any list: a finger must find the row, and the field below it.
        let high = if look.big { ITEM } else { 1 };
        let fields = self.tail.len() * usize::from(high);
        let below = fields + bottom.lines.len().saturating_sub(self.tail.len());
        let lines = usize::from(area.height).saturating_sub(top.len() + below);
        let room = (lines / usize::from(high)).max(1);
        let selected = match self.spot {
            Spot::Cell(row, _) => row,
            Spot::Tail(_) => self.rows.len().saturating_sub(1),
        };
        let first = if self.rows.len() <= room { 0 } else { first_row(selected, self.rows.len(), room) };
        let mut y = area.y;
        let put = |line: &Line<'static>, y: &mut u16, frame: &mut Frame<'_>| {
            if *y < area.bottom() {
                frame.buffer_mut().set_line(area.x + 1, *y, line, area.width.saturating_sub(1));
            }
            *y += 1;
        };
        for line in &top {
            put(line, &mut y, frame);
        }
        for index in first..(first + room).min(self.rows.len()) {
            let is_at = matches!(self.spot, Spot::Cell(row, _) if row == index);
            let height = high.min(area.bottom().saturating_sub(y));
            if height > 0 {
                self.see_row(index, Rect { y, height, ..area }, WIDTHS, seen);
            }
            if is_at && y < area.bottom() {
                frame.set_cursor_position(self.cursor(area, y, index));
            }
            put(&self.row_line(index, look, width), &mut y, frame);
            y += high - 1;
        }
        y = y.max(area.bottom().saturating_sub(u16::try_from(below).unwrap_or(0)));
        for (index, line) in bottom.lines.iter().enumerate() {
            let is_field = index < self.tail.len();
            let height = high.min(area.bottom().saturating_sub(y));
            if is_field && height > 0 {
                seen.add(Rect { y, height, ..area }, Target::Field(index));
            }
            put(line, &mut y, frame);
            if is_field {
                y += high - 1;
            }
        }
    }

    fn top(&self, look: Look, width: usize, height: u16) -> Vec<Line<'static>> {
        let mut page = Page::new(look, width);
        page.text(look.strong(), &fit(&self.title, width));
        page.block(look.caution(), &format!("▲ LOAD {}: {LOAD_CAUTION}", self.ceiling_words()));
        if height >= ROOMY
            && let Some(caution) = &self.caution
        {
            page.text(look.doubt(), caution);
        }
        if !is_tight(look, height) {
            page.text(look.quiet(), &fit(&limit_line(&self.measure), width));
            for before in &self.before {
                page.text(look.quiet(), &fit(before, width));
            }
        }
        page.lines.push(self.head_line(look));
        page.lines
    }

    fn ceiling_words(&self) -> String {
        let words = self.ceilings.iter().map(|(most, whose)| format!("at most {most} by {whose}"));
        words.collect::<Vec<_>>().join(", ")
    }

    /// Number of the first row that is above a ceiling, with that ceiling and whose it is.
    fn first_above_ceiling(&self) -> Option<(usize, &Quantity, &'static str)> {
        self.rows
            .iter()
            .zip(1..)
            .find_map(|(row, number)| self.above_ceiling(row).map(|(most, whose)| (number, most, *whose)))
    }

    /// The ceiling in one line, for the small screen; in its alarm while a row is above it.
    pub(super) fn ceiling_line(&self, look: Look, width: usize) -> Line<'static> {
        let (style, text) = match self.first_above_ceiling() {
            Some((row, most, whose)) => {
                (look.alarm(), format!(" ✗ ROW {row} IS ABOVE {most}, the ceiling of {whose}"))
            }
            None => (look.caution(), format!(" ▲ LOAD {}", self.ceiling_words())),
        };
        Line::from(Span::styled(pad(&text, width), style))
    }

    pub(super) fn head_line(&self, look: Look) -> Line<'static> {
        let head = ["row", "direction", "way"].map(ToString::to_string);
        let load = format!("load {}", self.demand.load_unit.symbol());
        let deflection = format!("deflection {}", self.demand.deflection_unit.symbol());
        let cells: Vec<String> = head
            .into_iter()
            .chain([load, deflection])
            .zip(WIDTHS)
            .map(|(text, wide)| pad(&text, wide))
            .collect();
        // Not wrapped: the spaces are the columns.
        Line::from(Span::styled(cells.join(" ").trim_end().to_string(), look.head()))
    }

    pub(super) fn row_line(&self, index: usize, look: Look, width: usize) -> Line<'static> {
        let Some(row) = self.rows.get(index) else { return Line::default() };
        let at = match self.spot {
            Spot::Cell(at, column) if at == index => Some(column),
            _ => None,
        };
        let way = if row.loading { "up" } else { "down" };
        let direction = self.demand.directions.get(row.direction).map_or("", String::as_str);
        let cells = [
            (Column::Direction, direction.to_string(), WIDTHS[1]),
            (Column::Way, way.to_string(), WIDTHS[2]),
            (Column::Load, row.load.value().to_string(), WIDTHS[3]),
            (Column::Deflection, row.deflection.value().to_string(), WIDTHS[4]),
        ];
        let mark = if at.is_some() { "▶" } else { " " };
        let mut spans = vec![Span::raw(pad(&format!("{mark}{:>2}", index + 1), WIDTHS[0]))];
        for (column, text, wide) in cells {
            let style = if at == Some(column) { look.selected() } else { Style::new() };
            // The end of a long entry is the part that is being typed.
            let text = if at == Some(column) { end_of(&text, wide.saturating_sub(1)) } else { text };
            spans.push(Span::raw(" "));
            spans.push(Span::styled(pad(&text, wide), style));
        }
        if let Some((most, whose)) = self.above_ceiling(row) {
            let used: usize = spans.iter().map(Span::width).sum();
            let words = format!(" ✗ above {most} ({whose})");
            // Where the words find no room the line below the table says them.
            let room = width.saturating_sub(used);
            let warning = if words.width() <= room { words } else { fit(" ✗", room) };
            spans.push(Span::styled(warning, look.alarm()));
        } else if at.is_none() && self.is_unreadable(row) {
            let used: usize = spans.iter().map(Span::width).sum();
            spans.push(Span::styled(fit(" ✗ no number", width.saturating_sub(used)), look.bad()));
        }
        Line::from(spans)
    }

    pub(super) fn cursor(&self, area: Rect, y: u16, index: usize) -> Position {
        let (before, text) = match (self.spot, self.rows.get(index)) {
            (Spot::Cell(_, Column::Load), Some(row)) => {
                (WIDTHS[0] + WIDTHS[1] + WIDTHS[2] + 3, Some(&row.load))
            }
            (Spot::Cell(_, Column::Deflection), Some(row)) => {
                (WIDTHS[0] + WIDTHS[1] + WIDTHS[2] + WIDTHS[3] + 4, Some(&row.deflection))
            }
            (Spot::Cell(_, Column::Way), _) => (WIDTHS[0] + WIDTHS[1] + 2, None),
            _ => (WIDTHS[0] + 1, None),
        };
        let typed = text.map_or(0, |input| input.visual_cursor().min(WIDTHS[3] - 1));
        let column = u16::try_from(before + typed).unwrap_or(0);
        Position::new((area.x + 1 + column).min(area.right().saturating_sub(1)), y)
    }

    fn bottom(&self, look: Look, width: usize) -> Page {
        let mut page = Page::new(look, width);
        for (index, field) in self.tail.iter().enumerate() {
            let is_at = self.spot == Spot::Tail(index);
            let style = if is_at { look.selected() } else { Style::new() };
            let shown = match &field.entry {
                Entry::Text(input) => input.value().to_string(),
                Entry::Choice { options, at } => match at.and_then(|at| options.get(at).zip(Some(at + 1))) {
                    Some((option, number)) => format!("{option}  ({number} of {})", options.len()),
                    None => format!("not chosen  (1 to {})", options.len()),
                },
                Entry::Ticks { .. } | Entry::Find { .. } => String::new(),
            };
            let mark = if is_at { "▶ " } else { "  " };
            let label = format!("{mark}{}: ", field.label);
            let room = width.saturating_sub(label.width());
            let is_typed = matches!(field.entry, Entry::Text(_));
            let shown = if is_at && is_typed { end_of(&shown, room) } else { fit(&shown, room) };
            page.lines.push(Line::from(vec![
                Span::styled(label, look.quiet()),
                Span::styled(shown, style.add_modifier(Modifier::UNDERLINED)),
            ]));
        }
        page
    }

    /// The verdict in plain words first, the figures as far as there is room.
    fn verdict(&self, desk: &dyn Desk, page: &mut Page, most: usize) {
        let look = page.look;
        let Some(judged) = self.live(desk) else {
            let typed = count(self.rows.iter().filter(|row| !row.is_empty()).count(), "row", "rows");
            page.text(look.quiet(), &format!("{typed}; the result stands here once rows are complete"));
            return;
        };
        let text = format!("{} {}", verdict::sign(&judged), verdict::with_figures(&judged));
        // The rows need the room; once saved, the step shows the result whole.
        let first = page.lines.len();
        page.hanging(verdict::style(&judged, look), "So far: ", &text);
        if page.lines.len() - first > most {
            page.lines.truncate(first + most);
            page.lines.last_mut().into_iter().for_each(|line| line.push_span("…"));
        }
    }

    fn problem_lines(&self, page: &mut Page) {
        // A narrow table has no room for the words beside the row.
        if let Some((row, most, whose)) = self.first_above_ceiling() {
            let text = format!("✗ row {row} is above {most}, the ceiling of {whose}");
            page.text(page.look.alarm(), &fit(&text, page.width()));
        }
        if let Some(problem) = &self.problem {
            page.hanging(page.look.bad(), "✗ ", &problem.why);
            page.hanging(Style::new(), "→ ", &problem.next);
        }
    }
}

/// Large rows in a small window: what also stands elsewhere gives way, so that two rows are in sight. The ceiling stays.
fn is_tight(look: Look, height: u16) -> bool {
    look.big && height < ROOMY
}

/// The last `width` columns.
pub(super) fn end_of(text: &str, width: usize) -> String {
    let mut kept: Vec<char> = Vec::new();
    let mut used = 0;
    for c in text.chars().rev() {
        let wide = unicode_width::UnicodeWidthChar::width(c).unwrap_or(0);
        if used + wide > width {
            break;
        }
        used += wide;
        kept.push(c);
    }
    kept.iter().rev().collect()
}
