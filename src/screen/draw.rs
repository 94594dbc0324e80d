//! The whole picture: head line, list, details or what lies over them, message, keys.

use ratatui::Frame;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

use super::app::{App, Overlay, Tone};
use super::desk::{Desk, SessionView};
use super::look::{Look, sign_of_verdict, to_ascii};
use super::on_file::is_of_files;
use super::purpose::Purpose;
use super::reading;
use super::readings::Filter;
use super::seen::{Seen, Target};
use super::text::{fit, pad, wrap};
use super::{
    big, body, book, book_detail, defects, footer, head, list, replay_draw, sketch, step_detail, theme,
    worksheet,
};
use crate::command::{self, Id, Place};

/// From this width on the details stand beside the list.
const BESIDE_FROM: u16 = 104;
const FOOTER_LINES: u16 = 2;

/// A longer message is cut; what it is about shows it whole.
const MESSAGE_LINES: usize = 3;

/// The areas of one picture.
pub struct Areas {
    pub head: Rect,
    pub body: Rect,
    pub message: Rect,
    pub footer: Rect,
}

impl App {
    /// Draws; changes nothing. Give the answer to [`App::saw`].
    pub fn draw(&self, desk: &dyn Desk, frame: &mut Frame<'_>) -> Seen {
        let mut seen = Seen::default();
        let area = frame.area();
        if area.width < 30 || area.height < 10 {
            frame.buffer_mut().set_string(area.x, area.y, "make the window larger", Style::new());
            return seen;
        }
        let message = self.message_lines(usize::from(area.width));
        let footer_lines = if self.look.big { big::footer_lines(area.height) } else { FOOTER_LINES };
        let areas = divide(area, u16::try_from(message.len()).unwrap_or(1), footer_lines);
        match self.replay.as_ref().filter(|_| is_replay(self.place)) {
            Some(replay) => {
                let at = self.stands_at();
                replay_draw::head(replay, at, self.place, desk, self.look, areas.head, frame.buffer_mut());
            }
            None => head::draw(self.place, desk, self.look, areas.head, frame.buffer_mut()),
        }
        self.see_head(areas.head, &mut seen);
        match self.overlays.last() {
            Some(Overlay::Form(form)) => {
                let area = sketch::beside_form(form, desk, areas.body, self.look, frame);
                form.draw(area, self.look, self.live(desk), frame, &mut seen);
            }
            Some(Overlay::Series(series)) => series.draw(areas.body, desk, self.look, frame, &mut seen),
            Some(Overlay::Pick(pick)) => pick.draw(areas.body, self.look, frame, &mut seen),
            None => self.draw_place(desk, areas.body, frame, &mut seen),
        }
        for (line, y) in message.iter().zip(areas.message.y..) {
            frame.buffer_mut().set_line(areas.message.x, y, line, areas.message.width);
        }
        let now = self.circumstances_here(desk);
        footer::draw(self.key_place(), &now, self.look, areas.footer, frame.buffer_mut(), &mut seen);
        if self.look.ascii {
            to_ascii(frame.buffer_mut());
        }
        theme::finish(frame.buffer_mut(), self.look);
        seen
    }

    /// A click on the head leads to the other screens.
    fn see_head(&self, area: Rect, seen: &mut Seen) {
        let place = self.key_place();
        let leads =
            [Id::Places, Id::Menu].into_iter().find(|id| command::of(place).any(|found| found.id == *id));
        if let Some(id) = leads {
            seen.add(area, Target::Command(id));
        }
    }

    fn message_lines(&self, width: usize) -> Vec<Line<'static>> {
        let Some(message) = &self.message else { return vec![Line::default()] };
        let (sign, style) = match message.tone {
            Tone::Good => ("✓ ", self.look.good()),
            Tone::Plain => ("· ", Style::new()),
            Tone::Bad => ("✗ ", self.look.bad()),
        };
        let mut wrapped = wrap(&message.text, width.saturating_sub(4));
        if wrapped.len() > MESSAGE_LINES {
            wrapped.truncate(MESSAGE_LINES);
            wrapped[MESSAGE_LINES - 1].push('…');
        }
        let lines = wrapped.into_iter().enumerate();
        lines
            .map(|(index, line)| {
                let lead = if index == 0 { sign } else { "  " };
                Line::from(Span::styled(format!(" {lead}{line}"), style))
            })
            .collect()
    }

    fn draw_place(&self, desk: &dyn Desk, area: Rect, frame: &mut Frame<'_>, seen: &mut Seen) {
        let cursor = self.cursor();
        let (rule, detail_area) = self.draw_list(desk, area, frame, seen);
        let detail_area = self.draw_pinned(detail_area, frame);
        let help_for = self.back.last().copied().unwrap_or(Place::Hangar);
        let width = usize::from(detail_area.width).saturating_sub(2);
        let lines = self.detail(desk, help_for, width, usize::from(detail_area.height));
        let is_beside = rule.is_some_and(|rule| rule.height > 1) || rule.is_none();
        let mut height = usize::from(detail_area.height);
        // Beside the list, and in the help, the last line tells that there is more.
        if is_beside && lines.len() > height {
            height = height.saturating_sub(1);
        }
        seen.scroll_end = lines.len().saturating_sub(height);
        seen.page = height;
        seen.add(detail_area, Target::Detail);
        let scroll = cursor.scroll.min(seen.scroll_end);
        for (line, y) in lines.iter().skip(scroll).take(height).zip(detail_area.y..) {
            frame.buffer_mut().set_line(detail_area.x + 1, y, line, detail_area.width.saturating_sub(1));
        }
        let more = match (scroll > 0, scroll < seen.scroll_end) {
            (true, true) => " PgUp, PgDn: more ",
            (false, true) => " PgDn: more ",
            (true, false) => " PgUp: more ",
            (false, false) => "",
        };
        if is_beside && seen.scroll_end > 0 {
            let y = detail_area.bottom().saturating_sub(1);
            frame.buffer_mut().set_string(detail_area.x + 1, y, format!("──{more}──"), self.look.quiet());
        }
        if let Some(rule) = rule {
            let count = self.count(desk, self.place);
            let place = if count == 0 { String::new() } else { format!(" {} of {count} ", cursor.at + 1) };
            let place = match (self.place, self.readings) {
                (Place::Readings, filter) if filter != Filter::All => format!("{place}· {} ", filter.words()),
                _ => place,
            };
            draw_rule(rule, &place, more, self.look, frame);
        }
    }

    /// Draws the list and tells the areas of rule and details.
    fn draw_list(
        &self,
        desk: &dyn Desk,
        area: Rect,
        frame: &mut Frame<'_>,
        seen: &mut Seen,
    ) -> (Option<Rect>, Rect) {
        let (at, look) = (self.cursor().at, self.look);
        // A long record: only the rows that are seen are made.
        if let Some(replay) = self.replay.as_ref().filter(|_| self.place == Place::Replay) {
            let rows = if look.big { replay.len() * usize::from(big::ITEM) } else { replay.len() };
            let areas = split(area, rows, self.place, look.big);
            if let Some(list_area) = areas.0 {
                let row = |item| replay_draw::row(replay, item, look);
                list::draw_visible(list_area, replay.len(), at, look, frame.buffer_mut(), seen, row);
            }
            return (areas.1, areas.2);
        }
        match (&self.replay, self.place, desk.session()) {
            (Some(replay), Place::ReplaySheet, Some(now)) => {
                return self.draw_sheet(&replay_draw::view(replay, &now), area, frame, seen);
            }
            (_, Place::Worksheet, Some(now)) => return self.draw_sheet(&now, area, frame, seen),
            _ => {}
        }
        let rows = match self.place {
            place if is_of_files(place) => book::rows(&self.book, desk.today(), look),
            Place::Order => self.order_rows(desk),
            Place::Handover => self.handover_rows(desk),
            _ => body::rows(desk, self.place, self.readings, look),
        };
        self.draw_rows(&list::items(&rows), area, frame, seen, |at| rows[at].clone())
    }

    /// A worksheet: a plan may have thousands of steps.
    fn draw_sheet(
        &self,
        view: &SessionView<'_>,
        area: Rect,
        frame: &mut Frame<'_>,
        seen: &mut Seen,
    ) -> (Option<Rect>, Rect) {
        let lines = worksheet::lines(view.plan);
        let items: Vec<Option<usize>> = lines.iter().map(|line| line.item()).collect();
        self.draw_rows(&items, area, frame, seen, |at| worksheet::row(view, lines[at], self.look))
    }

    /// Rows with headings, of which `row` makes the visible ones; tells the areas of rule and details.
    fn draw_rows(
        &self,
        items: &[Option<usize>],
        area: Rect,
        frame: &mut Frame<'_>,
        seen: &mut Seen,
        row: impl Fn(usize) -> list::Row,
    ) -> (Option<Rect>, Rect) {
        let areas = split(area, list::height(items, self.look), self.place, self.look.big);
        if let Some(list_area) = areas.0 {
            list::draw(list_area, items, self.cursor().at, self.look, frame.buffer_mut(), seen, row);
        }
        (areas.1, areas.2)
    }

    fn detail(&self, desk: &dyn Desk, help_for: Place, width: usize, height: usize) -> Vec<Line<'static>> {
        let at = self.cursor().at;
        match (&self.replay, self.place, desk.session()) {
            (_, place, _) if is_of_files(place) => {
                book_detail::detail(&self.book, at, desk.today(), self.look, width)
            }
            (Some(replay), Place::Replay, _) => replay_draw::detail(replay, at, self.look, width, height),
            (Some(replay), Place::ReplaySheet, Some(now)) => {
                step_detail::detail(&replay_draw::view(replay, &now), at, self.look, width)
            }
            (_, Place::Defects, Some(now)) => {
                defects::detail(&now, desk.today(), at, self.look, width, height)
            }
            (_, Place::Sketch, Some(now)) => sketch::all(&now, at, self.view, self.look, width, height),
            (_, Place::Order, _) => self.order_detail(desk, at, width),
            (_, Place::Handover, _) => self.handover_detail(desk, at, width, height),
            _ => body::detail(desk, self.place, at, self.readings, help_for, self.look, width),
        }
    }

    /// The verdict on what stands in the open reading form.
    fn live(&self, desk: &dyn Desk) -> Option<(Style, String)> {
        let Some(Overlay::Form(form)) = self.overlays.last() else { return None };
        if let Purpose::FromPaper { .. } = &form.purpose {
            return self.live_paper(form, desk);
        }
        if let Purpose::Defect { .. } = &form.purpose {
            return sketch::live(form, desk, self.look);
        }
        let Purpose::Reading { step, measure, .. } = &form.purpose else {
            return self.live_opening(form, desk);
        };
        let view = desk.session()?;
        let found = view.plan.step(step)?.step.measure(measure)?;
        if let Some(judged) = reading::live(form, desk, found) {
            let sign = sign_of_verdict(judged.verdict);
            let text = format!("{sign} {}: {}", judged.headline(), judged.words);
            return Some((self.look.of_verdict(judged.verdict), text));
        }
        let problem = reading::value(form, found).err().filter(|_| reading::is_begun(form))?;
        Some((self.look.quiet(), format!("… {}", problem.why)))
    }
}

fn is_replay(place: Place) -> bool {
    matches!(place, Place::Replay | Place::ReplaySheet)
}

fn draw_rule(rule: Rect, place: &str, more: &str, look: Look, frame: &mut Frame<'_>) {
    let width = usize::from(rule.width);
    if rule.height > 1 {
        for y in rule.y..rule.bottom() {
            frame.buffer_mut().set_string(rule.x, y, "│", look.quiet());
        }
        return;
    }
    let left = format!("──{place}");
    let dashes = width.saturating_sub(left.width() + more.width() + 2);
    let text = format!("{left}{}{more}──", "─".repeat(dashes));
    frame.buffer_mut().set_string(rule.x, rule.y, fit(&pad(&text, width), width), look.quiet());
}

fn divide(area: Rect, message_lines: u16, footer_lines: u16) -> Areas {
    let message_lines = message_lines.max(1);
    let head = Rect { height: head::LINES, ..area };
    let footer = Rect { y: area.bottom() - footer_lines, height: footer_lines, ..area };
    let message = Rect { y: footer.y - message_lines, height: message_lines, ..area };
    let body = Rect { y: head.bottom(), height: message.y - head.bottom(), ..area };
    Areas { head, body, message, footer }
}

/// List, rule and details: beside each other where there is room, else the list above.
fn split(area: Rect, rows: usize, place: Place, big: bool) -> (Option<Rect>, Option<Rect>, Rect) {
    if matches!(place, Place::Help | Place::Sketch) {
        return (None, None, area);
    }
    if area.width >= BESIDE_FROM {
        let list_width = match place {
            // The brief is a page of 80 columns.
            Place::Handover => (area.width * 9 / 20).min(area.width.saturating_sub(83).max(30)),
            _ => area.width * 9 / 20,
        };
        let list = Rect { width: list_width, ..area };
        let rule = Rect { x: list.right(), width: 1, ..area };
        let detail = Rect { x: rule.right(), width: area.width - list_width - 1, ..area };
        return (Some(list), Some(rule), detail);
    }
    // The history is read line by line; elsewhere the details matter more.
    let most = match place {
        Place::History => area.height * 3 / 5,
        _ if big => area.height * 3 / 5,
        Place::Replay => area.height / 2,
        Place::SignOff | Place::Readings | Place::Airframe | Place::Registers => area.height / 2,
        _ => area.height * 2 / 5,
    };
    let list_height = u16::try_from(rows).unwrap_or(u16::MAX).clamp(1, most.max(3));
    // A long message may leave less than list and rule need.
    let list_height = list_height.min(area.height.saturating_sub(1));
    let list = Rect { height: list_height, ..area };
    let rule = Rect { y: list.bottom(), height: area.height.saturating_sub(list_height).min(1), ..area };
    let detail = Rect { y: rule.bottom(), height: area.height.saturating_sub(list_height + 1), ..area };
    (Some(list), Some(rule), detail)
}
