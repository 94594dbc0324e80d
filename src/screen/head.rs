//! The head of every screen: which airframe, who works, how much is open, and what nobody may overlook.

use chrono::NaiveDate;
use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::{Line, Span};
use unicode_width::UnicodeWidthStr;

use super::desk::{Desk, SessionView};
use super::look::Look;
use super::pace;
use super::text::fit;
use crate::command::Place;
use crate::state::{grounding, instant};
use crate::words::{of_checklist, said};

pub const LINES: u16 = 2;
/// Columns that the alarm and the reason that grounds the airframe get, however little room the rest leaves.
const LEAST_ALARM: usize = 35;

/// From this width on there is room for how far the work is.
const WIDE: usize = 120;

pub fn draw(place: Place, desk: &dyn Desk, look: Look, area: Rect, buffer: &mut Buffer) {
    let width = usize::from(area.width).saturating_sub(1);
    let who = desk.person().map_or(say!("nobody named (w)").to_string(), |person| person.name.clone());
    let (first, second) = match desk.session().filter(|_| place != Place::Hangar) {
        Some(view) => {
            (session_line(&view, place, &who, look), standing_line(&view, desk.today(), look, width))
        }
        None => (hangar_line(desk, place, &who, look), hangar_standing(desk, look)),
    };
    for (line, y) in [first, second].into_iter().zip(area.y..) {
        buffer.set_line(area.x + 1, y, &cut_line(line, width), area.width.saturating_sub(1));
    }
}

/// The head of a record that is looked back on: `told` says at which moment.
pub fn draw_replay(
    view: &SessionView<'_>,
    place: Place,
    who: &str,
    told: String,
    look: Look,
    area: Rect,
    buffer: &mut Buffer,
) {
    let width = usize::from(area.width).saturating_sub(1);
    let mut second = vec![(told, look.doubt())];
    if place == Place::ReplaySheet {
        second.push((" · ".to_string(), Style::new()));
        second.extend(standing_line(view, last_day(view), look, width));
    }
    for (line, y) in [session_line(view, place, who, look), second].into_iter().zip(area.y..) {
        buffer.set_line(area.x + 1, y, &cut_line(line, width), area.width.saturating_sub(1));
    }
}

/// Cuts from the right, so that what comes first is never lost.
fn cut_line(parts: Vec<(String, Style)>, width: usize) -> Line<'static> {
    let mut left = width;
    let mut spans = Vec::new();
    for (text, style) in parts {
        let text = fit(&text, left);
        left = left.saturating_sub(unicode_width::UnicodeWidthStr::width(text.as_str()));
        spans.push(Span::styled(text, style));
    }
    Line::from(spans)
}

fn session_line(view: &SessionView<'_>, place: Place, who: &str, look: Look) -> Vec<(String, Style)> {
    let airframe = &view.plan.airframe;
    let type_name =
        view.plan.of_type.as_ref().map_or(airframe.type_id.as_str(), |of_type| of_checklist(&of_type.name));
    vec![
        (airframe.registration.clone(), look.strong()),
        (format!(" · {} · ", said(place.title())), Style::new()),
        (say!("working: {who}", who), look.strong()),
        (say!(" · {type_name}, serial {}", airframe.serial, type_name = type_name), look.quiet()),
    ]
}

/// Of a record that is looked back on, the day of its last entry.
fn last_day(view: &SessionView<'_>) -> NaiveDate {
    instant(&view.state.last_wall).map_or(NaiveDate::MIN, |wall| wall.date_naive())
}

fn standing_line(view: &SessionView<'_>, today: NaiveDate, look: Look, width: usize) -> Vec<(String, Style)> {
    let open = view.state.open_mandatory(view.plan).count();
    let mut parts = Vec::new();

    let style = if open == 0 { look.good() } else { look.strong() };
    let sign = if open == 0 { "✓" } else { "○" };
    parts.push((
        format!("{sign} {}", say!("{n} mandatory step open" | "{n} mandatory steps open" % open)),
        style,
    ));
    if view.state.paused.is_some() {
        parts.push((" · ".to_string(), Style::new()));
        parts.push((say!(" PAUSED, z resumes ").to_string(), look.caution()));
    }
    if let Some(signed) = &view.state.signed {
        parts.push((say!(" · ✓ signed: {}", said(signed.what.outcome.word())), look.good()));
    }
    if let Some(why) = view.read_only {
        parts.push((say!(" · shown only: {why}", why = said(why)), look.doubt()));
    }
    let defects = view.state.standing_defects().filter(|defect| defect.is_open()).count();
    if defects > 0 {
        parts.push((say!(" · {n} defect open" | " · {n} defects open" % defects), look.doubt()));
    }
    if width >= WIDE && view.read_only.is_none() {
        parts.push((format!(" · {}", pace::short(view)), look.quiet()));
    }
    let used: usize = parts.iter().map(|(text, _)| text.width()).sum();
    let mut line = not_airworthy(view, today, look, width.saturating_sub(used));
    line.extend(parts);
    line
}

/// The alarm with its first reason, in the room that the rest of the line leaves, and at least a few words of it.
fn not_airworthy(view: &SessionView<'_>, today: NaiveDate, look: Look, room: usize) -> Vec<(String, Style)> {
    let alarm = say!(" NOT AIRWORTHY ");
    let grounding = grounding(view.state, today);
    let Some(why) = grounding.first() else { return Vec::new() };
    let more = match grounding.len() {
        1 => String::new(),
        all => format!(" (+{})", all - 1),
    };
    let room =
        room.saturating_sub(alarm.width() + more.width() + 4).max(LEAST_ALARM.saturating_sub(alarm.width()));
    vec![(alarm.to_string(), look.alarm()), (format!(" {}{more} · ", fit(why, room)), look.bad())]
}

fn hangar_line(desk: &dyn Desk, place: Place, who: &str, look: Look) -> Vec<(String, Style)> {
    let name = match (desk.hangar().is_demo, place) {
        (true, Place::Hangar) => say!("Demo hangar").to_string(),
        (true, place) => format!("{} · {}", say!("Demo hangar"), said(place.title())),
        (false, place) => said(place.title()).to_string(),
    };
    vec![
        (name, look.strong()),
        (" · ".to_string(), Style::new()),
        (say!("working: {who}", who), look.strong()),
    ]
}

fn hangar_standing(desk: &dyn Desk, look: Look) -> Vec<(String, Style)> {
    let hangar = desk.hangar();
    let mut parts = Vec::new();
    if hangar.is_demo {
        parts.push((say!(" ALL OF THIS IS INVENTED ").to_string(), look.caution()));
        parts.push((" ".to_string(), Style::new()));
    }
    let sessions = say!("{n} session" | "{n} sessions" % hangar.sessions.len());
    let airframes = say!("{n} airframe" | "{n} airframes" % hangar.airframes.len());
    parts.push((format!("{airframes}, {sessions}"), Style::new()));
    if !hangar.faults.is_empty() {
        let faults = say!("{n} fault of files" | "{n} faults of files" % hangar.faults.len());
        parts.push((format!(" · ✗ {faults}"), look.bad()));
    }
    parts
}
