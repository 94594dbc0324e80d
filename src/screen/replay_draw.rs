//! The replay's list, the words of one entry with what held then, and the worksheet of the moment.

use ratatui::buffer::Buffer;
use ratatui::layout::Rect;
use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::{Desk, SessionView};
use super::head;
use super::list::Row;
use super::look::Look;
use super::replay::Replay;
use super::text::{Page, pad};
use super::words::{minute, words};
use crate::audit::replay::{Happening, Mark};
use crate::command::Place;
use crate::event::{Event, StepResult};
use crate::state::instant;
use crate::words::{date, of_checklist, said};

/// Width of the column for the time since the entry before.
const ELAPSED: usize = 11;

/// Changes of a step that its summary lists.
const CHANGES: usize = 3;

/// One row of the list.
pub fn row(replay: &Replay, item: usize, look: Look) -> Row {
    let Some((entry, stamped)) =
        replay.entry(item).and_then(|at| replay.line().entries().get(at).map(|stamped| (at, stamped)))
    else {
        return Row::item(item, Vec::new());
    };
    let elapsed = replay.line().elapsed(entry).map_or_else(String::new, |elapsed| elapsed.short());
    let who = stamped.event.actor().map_or("", |actor| actor.name.as_str());
    let (sign, style) = sign(replay, entry, look);
    Row::item(
        item,
        vec![
            (format!("{entry:>5} {} {} ", short_time(&stamped.wall), pad(&elapsed, ELAPSED)), look.quiet()),
            (format!("{sign} "), style),
            (words(&stamped.event), Style::new()),
            (format!(" · {who}"), look.quiet()),
        ],
    )
}

/// `11-25 09:14`; the details give the whole of it.
fn short_time(wall: &str) -> String {
    let Some(moment) = instant(wall) else { return minute(wall) };
    let day = moment.date_naive();
    let without_year = date(day).replace(&day.format("%Y").to_string(), "");
    format!("{} {}", without_year.trim_matches('-'), moment.format("%H:%M"))
}

/// What kind of entry it is, at a glance.
fn sign(replay: &Replay, entry: usize, look: Look) -> (&'static str, Style) {
    let line = replay.line();
    let is = |mark| line.is(entry, mark);
    if is(Mark::Failure) {
        return ("✗", look.bad());
    }
    if is(Mark::Correction) {
        return ("↻", look.doubt());
    }
    if is(Mark::Pause) || is(Mark::Revision) || is(Mark::Defect) {
        return ("▲", look.doubt());
    }
    match line.entries().get(entry).map(|stamped| stamped.event.inner()) {
        Some(Event::Answered(answered)) if answered.result == StepResult::Passed => ("✓", look.good()),
        Some(Event::SignedOff(_) | Event::Countersigned(_)) => ("✓", look.good()),
        Some(Event::Answered(_)) => ("–", look.quiet()),
        _ => ("·", look.quiet()),
    }
}

/// The entry in words with who, when and what held, and before it the summary where a step's story is told: no more
/// of it than half the `height` in lines, the rest below the entry.
pub fn detail(replay: &Replay, item: usize, look: Look, width: usize, height: usize) -> Vec<Line<'static>> {
    let mut rest = Vec::new();
    let mut page = Page::new(look, width);
    if let Some(story) = &replay.story {
        page.text(look.strong(), &format!("{} ({})", of_checklist(&story.title), story.step));
        // The list shows every change; here they must not push the entry off a small screen.
        let hidden = story.summary.changes.len().saturating_sub(CHANGES);
        let sentences = story.summary.sentences();
        let shown = sentences.len() - hidden.min(sentences.len());
        for sentence in sentences.iter().take(shown) {
            page.hanging(Style::new(), "· ", sentence);
        }
        if hidden > 0 {
            page.hanging(
                Style::new(),
                "· ",
                &say!("and {n} more changes, in the list" | "and {n} more changes, in the list" % hidden),
            );
        }
        let most = (height / 2).max(2);
        if page.lines.len() > most {
            rest = page.lines.split_off(most - 1);
            page.text(look.quiet(), say!("the summary goes on below the entry (PgDn)"));
        } else {
            page.gap();
        }
    }
    let told = match &replay.story {
        Some(story) => story.happenings.get(item).cloned(),
        None => replay.line().told(item),
    };
    match told {
        Some(told) => one(&mut page, replay, &told),
        None => page.plain(say!("There is no entry.")),
    }
    if !rest.is_empty() {
        page.gap();
        page.text(look.quiet(), say!("The summary goes on:"));
        page.lines.append(&mut rest);
    }
    page.lines
}

fn one(page: &mut Page, replay: &Replay, told: &Happening) {
    let look = page.look;
    let Some(stamped) = replay.line().entries().get(told.entry) else { return };
    page.text(look.strong(), &say!("Entry {}: {}", told.entry, words(&stamped.event)));
    let by =
        told.by.as_ref().map_or(say!("the program").to_string(), |by| format!("{} ({})", by.name, by.id));
    page.field(say!("by"), &by);
    page.field(say!("time" => "at"), &told.wall);
    if let Some(elapsed) = told.elapsed {
        page.field(say!("since the entry before"), &elapsed.words());
    }
    let plan = replay.line().plan_at(told.entry);
    if let Some(step) = stamped.event.step().and_then(|id| plan.step(id)) {
        page.field(say!("step"), of_checklist(&step.step.title));
    }
    for note in told.notes() {
        page.hanging(Style::new(), "· ", &note);
    }
    if let Some(code) = replay.line().paper_code(told.entry) {
        page.field(say!("code on paper"), &code);
    }
    if let Some(start) = stamped.hash.get(..12) {
        page.field(say!("hash begins"), start);
    }
}

/// The session as it stood at the moment, for the drawing of the worksheet.
pub fn view<'a>(replay: &'a Replay, now: &SessionView<'a>) -> SessionView<'a> {
    let count = replay.moment().entry().map_or(0, |entry| entry + 1);
    SessionView {
        sid: now.sid,
        plan: replay.plan(),
        state: replay.moment().state(),
        entries: replay.line().entries().get(..count).unwrap_or_default(),
        verdict: now.verdict,
        read_only: Some(say!("replay")),
        notices: &[],
        earlier: now.earlier,
    }
}

pub fn head(
    replay: &Replay,
    at: usize,
    place: Place,
    desk: &dyn Desk,
    look: Look,
    area: Rect,
    buffer: &mut Buffer,
) {
    let Some(now) = desk.session() else { return };
    let who = desk.person().map_or(say!("nobody named (w)").to_string(), |person| person.name.clone());
    let line = replay.line();
    let damaged = match line.first_bad() {
        Some(0) => say!("THE RECORD IS DAMAGED from its first entry · ").to_string(),
        Some(first_bad) => {
            say!("THE RECORD IS DAMAGED after entry {}; the rest cannot be told · ", first_bad - 1)
        }
        None => String::new(),
    };
    let told = if place == Place::ReplaySheet {
        let when = line.entries().get(at).map_or(String::new(), |stamped| minute(&stamped.wall));
        say!("{damaged}as it stood after entry {at}, {when}", damaged, at, when)
    } else {
        let last = line.entries().len().saturating_sub(1);
        let looked_for = match replay.kind {
            Mark::Any => say!("every entry").to_string(),
            kind => say!("looking for {}", said(kind.word())),
        };
        let story = replay.story.as_ref().map_or(String::new(), |story| say!("only {} · ", story.step));
        say!(
            "{damaged}{story}entry {at} of 0 to {last} · {looked_for} · nothing is recorded here",
            damaged,
            story,
            at,
            last,
            looked_for
        )
    };
    head::draw_replay(&view(replay, &now), place, &who, told, look, area, buffer);
}
