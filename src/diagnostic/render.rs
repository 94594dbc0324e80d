//! Diagnostics as text with the source line and a caret, through a library that knows widths and tabs.

use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

use super::{Diagnostic, Place, Weight, shown_name};

/// Most faults shown at once. Each costs a walk over its whole file, so a file of nothing but faults took minutes;
/// and nobody repairs more than these before checking again.
const MOST_SHOWN: usize = 200;

/// Renders the diagnostics with their source lines, up to 200, and says how many more there are. `colour` adds
/// terminal colours.
pub fn render(diagnostics: &[Diagnostic], colour: bool) -> String {
    let left = diagnostics.len().saturating_sub(MOST_SHOWN);
    let mut text = render_all(&diagnostics[..diagnostics.len() - left], colour);
    if left > 0 {
        text.push_str(&say!("\n{left} more faults; repair these first, then check again\n", left = left));
    }
    text
}

fn render_all(diagnostics: &[Diagnostic], colour: bool) -> String {
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
    let level = match diagnostic.weight {
        Weight::Error => Level::ERROR.with_name(say!("error")),
        Weight::Advice => Level::WARNING.with_name(say!("advice")),
    };
    let mut group = level.primary_title(diagnostic.message.as_str()).id(diagnostic.code).element(primary);
    for related in other_files {
        group = group.element(snippet(&related.place).annotation(
            AnnotationKind::Context.span(safe_span(&related.place)).label(related.label.as_str()),
        ));
    }
    if let Some(hint) = &diagnostic.hint {
        group = group.element(Level::HELP.with_name(say!("help")).message(hint.as_str()));
    }
    vec![group]
}

fn snippet<'a, T: Clone>(place: &'a Place) -> Snippet<'a, T> {
    Snippet::source(place.source.text.as_str()).path(shown_name(&place.source.name))
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

#[cfg(test)]
mod tests {
    use super::super::Source;
    use super::*;

    #[test]
    fn a_file_of_nothing_but_faults_is_told_in_bounds() {
        let source = Source::new("a.toml", "x\n".repeat(2_000));
        let fault =
            |n: usize| Diagnostic::new("test", Place::new(&source, 2 * n..2 * n + 1), format!("fault {n}."));
        let few: Vec<Diagnostic> = (0..MOST_SHOWN).map(fault).collect();
        assert!(!render(&few, false).contains("more faults"));
        let text = render(&(0..2_000).map(fault).collect::<Vec<_>>(), false);
        assert!(text.contains("fault 199.") && !text.contains("fault 200."), "{text}");
        assert!(text.ends_with("1800 more faults; repair these first, then check again\n"));
    }
}
