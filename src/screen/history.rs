//! History: every entry of the record in plain words, newest last.

use ratatui::style::Style;
use ratatui::text::Line;

use super::desk::SessionView;
use super::list::Row;
use super::look::Look;
use super::text::Page;
use super::words::{minute, words};
use crate::state::Stamped;
use crate::words::of_checklist;

pub fn rows(view: &SessionView<'_>, look: Look) -> Vec<Row> {
    let row = |(index, stamped): (usize, &Stamped)| {
        let when = minute(&stamped.wall);
        let who = stamped.event.actor().map_or("", |actor| actor.name.as_str());
        Row::item(
            index,
            vec![
                (format!("{:>4} {when} ", stamped.entry), look.quiet()),
                (words(&stamped.event), Style::new()),
                (format!(" · {who}"), look.quiet()),
            ],
        )
    };
    view.entries.iter().enumerate().map(row).collect()
}

pub fn detail(view: &SessionView<'_>, at: usize, look: Look, width: usize) -> Vec<Line<'static>> {
    let mut page = Page::new(look, width);
    if let Some(stamped) = view.entries.get(at) {
        page.text(look.strong(), &say!("Entry {}", stamped.entry));
        page.plain(&words(&stamped.event));
        if let Some(actor) = stamped.event.actor() {
            page.field(say!("by"), &format!("{} ({})", actor.name, actor.id));
        }
        page.field(say!("of a moment" => "at"), &stamped.wall);
        if let Some(step) = stamped.event.step().and_then(|id| view.plan.step(id)) {
            page.field(say!("step"), of_checklist(&step.step.title));
        }
        page.field(say!("hash"), &stamped.hash);
    }
    for notice in view.notices {
        page.hanging(look.doubt(), "· ", notice);
    }
    page.lines
}
