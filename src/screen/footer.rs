//! The keys of the place at hand, from the command table; each of them can be clicked.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

use super::big::{self, Button};
use super::look::Look;
use super::seen::{Seen, Target};
use crate::command::{self, Circumstances, Command, Hand, Id, Need, Place, keys_of};
use crate::words::said_as;

const GAP: usize = 2;

/// A key and its label, as the footer shows them.
struct Label {
    command: &'static Command,
    key: String,
    text: String,
}

impl Label {
    fn of(command: &'static Command, place: Place, hand: Option<Hand>) -> Label {
        let key = keys_of(command, place, hand).first().map_or(String::new(), |key| key.words());
        let usual = command.keys.first().map_or(String::new(), |key| key.words());
        let label = said_as("footer", command.label);
        let text = label.strip_prefix(&format!("{usual} ")).unwrap_or(label);
        Label { command, key, text: format!(" {text}") }
    }

    fn width(&self) -> usize {
        self.key.width() + self.text.width()
    }
}

/// Fills the lines from the left. Help and the way back stand at the end of the last one, however narrow it
/// is; after a failed write the rescue copy comes first.
pub fn draw(place: Place, now: &Circumstances, look: Look, area: Rect, buffer: &mut Buffer, seen: &mut Seen) {
    let shown = command::of(place).filter(|command| !command.label.is_empty());
    // Both belong to a bad moment, and must then not be overlooked.
    let shown = shown.filter(|command| command.id != Id::Rescue || now.failed);
    let shown = shown.filter(|command| match command.need {
        Need::Full => now.full,
        Need::Closed => now.read_only,
        _ => true,
    });
    let shown = shown.filter(|command| !leads_here(command.id, place));
    let (mut kept, mut others): (Vec<Label>, Vec<Label>) = (Vec::new(), Vec::new());
    for label in shown.map(|command| Label::of(command, place, look.hand)) {
        match label.command.id {
            Id::Menu | Id::Help | Id::Back | Id::KeepDraft => kept.push(label),
            Id::Rescue | Id::MakeRoom => others.insert(0, label),
            _ => others.push(label),
        }
    }
    if look.big {
        return draw_big(place, now, look, area, (others, kept), buffer, seen);
    }
    let reserved: usize = kept.iter().map(|label| label.width() + GAP).sum();
    let width = usize::from(area.width).saturating_sub(1);
    let (mut x, mut row) = (0usize, 0u16);
    let others_count = others.len();
    for (index, label) in others.into_iter().chain(kept).enumerate() {
        let is_last_row = |row: u16| row + 1 == area.height;
        let room = |row: u16| {
            if is_last_row(row) && index < others_count { width.saturating_sub(reserved) } else { width }
        };
        if x + label.width() > room(row) && !is_last_row(row) {
            row += 1;
            x = 0;
        }
        if x + label.width() > room(row) {
            continue;
        }
        put(&label, now, look, Rect { x: area.x + 1 + narrow(x), y: area.y + row, ..area }, buffer, seen);
        x += label.width() + GAP;
    }
}

/// As large buttons: up and down first of what is kept, since a finger has no wheel.
fn draw_big(
    place: Place,
    now: &Circumstances,
    look: Look,
    area: Rect,
    (others, kept): (Vec<Label>, Vec<Label>),
    buffer: &mut Buffer,
    seen: &mut Seen,
) {
    let button = |label: &Label| {
        // "leave, keep the text": a button has room for the first word.
        let text = label.text.split(',').next().unwrap_or_default();
        Button {
            id: label.command.id,
            text: format!("{}{text}", label.key),
            is_met: label.command.need.objection(now).is_none(),
        }
    };
    let moves = [
        (Id::Up, say!("footer" => "up")),
        (Id::Down, say!("footer" => "down")),
        (Id::FieldPrevious, say!("footer" => "up")),
        (Id::FieldNext, say!("footer" => "down")),
    ];
    let moves = moves.into_iter().filter(|(id, _)| match place {
        Place::Form => matches!(id, Id::FieldPrevious | Id::FieldNext),
        Place::Help => false,
        _ => command::of(place).any(|command| matches!(id, Id::Up | Id::Down) && command.id == *id),
    });
    let mut last: Vec<Button> =
        moves.map(|(id, sign)| Button { id, text: sign.to_string(), is_met: true }).collect();
    // Help stands in the menu.
    last.extend(kept.iter().filter(|label| label.command.id != Id::Help).map(button));
    big::draw_buttons(area, others.iter().map(button).collect(), last, look, buffer, seen);
}

pub(super) fn leads_here(id: Id, place: Place) -> bool {
    matches!(
        (id, place),
        (Id::GoWorksheet, Place::Worksheet)
            | (Id::GoDefects, Place::Defects)
            | (Id::GoRecords, Place::Records)
            | (Id::GoReadings, Place::Readings)
            | (Id::GoSignOff, Place::SignOff)
            | (Id::GoHistory, Place::History)
            | (Id::GoReplay, Place::Replay)
            | (Id::GoFindings, Place::Findings)
            | (Id::GoOrder, Place::Order)
            | (Id::GoHandover, Place::Handover)
    )
}

fn narrow(columns: usize) -> u16 {
    u16::try_from(columns).unwrap_or(u16::MAX)
}

fn put(label: &Label, now: &Circumstances, look: Look, at: Rect, buffer: &mut Buffer, seen: &mut Seen) {
    let is_met = label.command.need.objection(now).is_none();
    let (key, text) = if is_met { (look.strong(), Style::new()) } else { (look.quiet(), look.quiet()) };
    let wide = narrow(label.width());
    let line = Line::from(vec![Span::styled(label.key.clone(), key), Span::styled(label.text.clone(), text)]);
    buffer.set_line(at.x, at.y, &line, wide);
    seen.add(Rect { x: at.x, y: at.y, width: wide, height: 1 }, Target::Command(label.command.id));
}
