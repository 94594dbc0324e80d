//! What a preview adds to the screens: it looks again by itself, and shows faults in place of a worksheet.

use crossterm::event::{KeyCode, KeyEvent, KeyModifiers};
use ratatui::Frame;
use ratatui::text::Line;
use ratatui::widgets::Paragraph;

use super::desk::SessionView;
use super::look::Look;
use super::{step_detail, worksheet};

/// Draws a text over the whole screen; lines that do not fit are cut.
pub(super) fn draw_instead(frame: &mut Frame<'_>, text: &str) {
    let lines: Vec<Line<'_>> = text.lines().map(Line::from).collect();
    frame.render_widget(Paragraph::new(lines), frame.area());
}

/// Whether a key leaves a text that stands in place of the screens.
pub(super) fn leaves(key: &KeyEvent) -> bool {
    match key.code {
        KeyCode::Char('q') => true,
        KeyCode::Char('c') => key.modifiers.contains(KeyModifiers::CONTROL),
        _ => false,
    }
}

/// The Worksheet as text: its list, and the details of the steps wanted, as wide as told.
pub fn worksheet_text(view: &SessionView<'_>, wanted: impl Fn(usize) -> bool, width: usize) -> String {
    let look = Look::of_environment(|_| None);
    let mut out = String::new();
    let mut put = |text: String| {
        out.push_str(text.trim_end());
        out.push('\n');
    };
    for row in worksheet::rows(view, look) {
        let parts: String = row.parts.iter().map(|(text, _)| text.as_str()).collect();
        put(if row.item.is_some() { format!("  {parts}") } else { parts });
    }
    for at in (0..view.plan.steps.len()).filter(|at| wanted(*at)) {
        put(format!("\n{}", "-".repeat(width.min(60))));
        for line in step_detail::detail(view, at, look, width) {
            put(line.spans.iter().map(|span| span.content.as_ref()).collect());
        }
    }
    out
}
