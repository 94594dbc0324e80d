//! Diagnostics as text with the source line and a caret, through a library that knows widths and tabs.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use super::{Diagnostic, Place};

/// Renders every diagnostic with its source lines. `colour` adds terminal colours.
pub fn render(diagnostics: &[Diagnostic], colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    diagnostics
        .iter()
        .map(|diagnostic| renderer.render(&groups(diagnostic)) + "\n")
        .collect::<Vec<_>>()
        .join("\n")
}

fn groups(diagnostic: &Diagnostic) -> Vec<Group<'_>> {
    let mut primary = snippet(&diagnostic.place).annotation(
        AnnotationKind::Primary.span(safe_span(&diagnostic.place)).label(diagnostic.label.as_str()),
    );
    let (same_file, other_files): (Vec<_>, Vec<_>) =
        diagnostic.related.iter().partition(|related| related.place.source == diagnostic.place.source);
    for related in same_file {
        primary = primary.annotation(
            AnnotationKind::Context.span(safe_span(&related.place)).label(related.label.as_str()),
        );
    }
    let mut group =
        Level::ERROR.primary_title(diagnostic.message.as_str()).id(diagnostic.code).element(primary);
    for related in other_files {
        group = group.element(snippet(&related.place).annotation(
            AnnotationKind::Context.span(safe_span(&related.place)).label(related.label.as_str()),
        ));
    }
    if let Some(hint) = &diagnostic.hint {
        group = group.element(Level::HELP.message(hint.as_str()));
    }
    vec![group]
}

fn snippet<'a, T: Clone>(place: &'a Place) -> Snippet<'a, T> {
    Snippet::source(place.source.text.as_str()).path(place.source.name.as_str())
}

/// A span that lies inside the text and on character borders, and is never empty where that is possible.
fn safe_span(place: &Place) -> std::ops::Range<usize> {
    let text = &place.source.text;
    let mut start = place.span.start.min(text.len());
    while !text.is_char_boundary(start) {
        start -= 1;
    }
    let mut end = place.span.end.clamp(start, text.len());
    while !text.is_char_boundary(end) {
        end += 1;
    }
    // A caret under a whole table would drown the message: keep to the first line.
    let first_line_end = text[start..end].find('\n').map_or(end, |newline| start + newline);
    start..first_line_end.max(start)
}
