//! Text cut and wrapped to columns, and pages built line by line.

use ratatui::style::Style;
use ratatui::text::{Line, Span};
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

use super::look::Look;

/// Breaks at spaces into lines of at most `width` columns; longer words are broken where they must.
/// Line breaks of the text stay. At least one line, which may be empty.
pub fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(2);
    let mut lines = Vec::new();
    for paragraph in text.lines() {
        let mut line = String::new();
        for word in paragraph.split_whitespace() {
            let gap = usize::from(!line.is_empty());
            if line.width() + gap + word.width() <= width {
                if gap == 1 {
                    line.push(' ');
                }
                line.push_str(word);
                continue;
            }
            if !line.is_empty() {
                lines.push(std::mem::take(&mut line));
            }
            let mut pieces = cut(word, width);
            line = pieces.pop().unwrap_or_default();
            lines.extend(pieces);
        }
        lines.push(line);
    }
    if lines.is_empty() {
        lines.push(String::new());
    }
    lines
}

/// Cuts into pieces of at most `width` columns, spaces kept.
pub fn cut(text: &str, width: usize) -> Vec<String> {
    let width = width.max(2);
    let mut pieces = vec![String::new()];
    let mut used = 0;
    for c in text.chars() {
        let wide = c.width().unwrap_or(0);
        if used + wide > width {
            pieces.push(String::new());
            used = 0;
        }
        used += wide;
        if let Some(piece) = pieces.last_mut() {
            piece.push(c);
        }
    }
    pieces
}

/// At most `width` columns; what is cut off is marked with `…`.
pub fn fit(text: &str, width: usize) -> String {
    if text.width() <= width {
        return text.to_string();
    }
    let mut fitted = String::new();
    let mut used = 0;
    for c in text.chars() {
        let wide = c.width().unwrap_or(0);
        if used + wide + 1 > width {
            break;
        }
        used += wide;
        fitted.push(c);
    }
    if width > 0 {
        fitted.push('…');
    }
    fitted
}

/// Exactly `width` columns: cut or filled with spaces.
pub fn pad(text: &str, width: usize) -> String {
    let fitted = fit(text, width);
    let fill = width.saturating_sub(fitted.width());
    fitted + &" ".repeat(fill)
}

/// Width of a column that is `english` wide for these words: as much wider as another language's widest word is.
pub fn column(english: usize, words: &[&str]) -> usize {
    let widest = |wide: fn(&str) -> usize| words.iter().map(|word| wide(word)).max().unwrap_or(0);
    english + widest(|word| crate::words::said(word).width()).saturating_sub(widest(UnicodeWidthStr::width))
}

/// A run of sentences as one each; a decimal point ends none.
pub fn statements(words: &str) -> impl Iterator<Item = &str> {
    words.split_inclusive(". ").map(str::trim).filter(|statement| !statement.is_empty())
}

/// `3 steps`, `1 step`.
pub fn count(number: usize, one: &str, many: &str) -> String {
    format!("{number} {}", if number == 1 { one } else { many })
}

/// The names, or the first few and how many others there are.
pub fn some_of(names: &[&str]) -> String {
    const SHOWN: usize = 6;
    match names.get(SHOWN..).map(<[&str]>::len) {
        Some(others) if others > 0 => {
            say!("{} and {}", names[..SHOWN].join(", "), say!("{n} other" | "{n} others" % others))
        }
        _ => names.join(", "),
    }
}

/// Lines under construction for a certain width.
pub struct Page {
    pub lines: Vec<Line<'static>>,
    pub look: Look,
    width: usize,
}

impl Page {
    pub fn new(look: Look, width: usize) -> Page {
        Page { lines: Vec::new(), look, width }
    }

    pub fn width(&self) -> usize {
        self.width
    }

    pub fn gap(&mut self) {
        if self.lines.last().is_some_and(|line| line.width() > 0) {
            self.lines.push(Line::default());
        }
    }

    pub fn head(&mut self, text: &str) {
        self.gap();
        self.text(self.look.head(), text);
    }

    pub fn text(&mut self, style: Style, text: &str) {
        self.hanging(style, "", text);
    }

    pub fn plain(&mut self, text: &str) {
        self.text(Style::new(), text);
    }

    /// The first line begins with `lead`; the others are indented as far.
    pub fn hanging(&mut self, style: Style, lead: &str, text: &str) {
        let indent = lead.width();
        for (index, line) in wrap(text, self.width.saturating_sub(indent)).into_iter().enumerate() {
            let start = if index == 0 { lead.to_string() } else { " ".repeat(indent) };
            self.lines.push(Line::from(vec![Span::styled(start, style), Span::styled(line, style)]));
        }
    }

    /// `label: text`, the label quiet.
    pub fn field(&mut self, label: &str, text: &str) {
        let lead = format!("{label}: ");
        let indent = lead.width().min(self.width / 3);
        let first_width = self.width.saturating_sub(lead.width());
        let mut words = wrap(text, first_width).into_iter();
        let first = words.next().unwrap_or_default();
        let quiet = self.look.quiet();
        let rest = text.strip_prefix(first.as_str()).map(str::trim_start).unwrap_or_default().to_string();
        self.lines.push(Line::from(vec![Span::styled(lead, quiet), Span::raw(first)]));
        if words.next().is_some() {
            self.hanging(Style::new(), &" ".repeat(indent), &rest);
        }
    }

    /// A block over the full width, for cautions.
    pub fn block(&mut self, style: Style, text: &str) {
        for line in wrap(text, self.width.saturating_sub(2)) {
            self.lines.push(Line::from(Span::styled(
                format!(" {}", pad(&line, self.width.saturating_sub(1))),
                style,
            )));
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_are_kept_whole_where_they_fit() {
        assert_eq!(wrap("push the fin sideways", 8), ["push the", "fin", "sideways"]);
        assert_eq!(wrap("abcdefghij kl", 4), ["abcd", "efgh", "ij", "kl"]);
        assert_eq!(wrap("", 10), [""]);
        assert_eq!(wrap("one\ntwo", 10), ["one", "two"]);
    }

    #[test]
    fn wide_characters_take_two_columns() {
        assert_eq!(fit("検査記録", 5), "検査…");
        assert_eq!(pad("検査", 6).width(), 6);
        assert_eq!(wrap("検査記録", 4), ["検査", "記録"]);
    }

    #[test]
    fn sentences_part_and_decimals_do_not() {
        let found: Vec<&str> = statements("Softer by 2.5 %. Stiffness 39.2 N/mm. Weak").collect();
        assert_eq!(found, ["Softer by 2.5 %.", "Stiffness 39.2 N/mm.", "Weak"]);
    }

    #[test]
    fn a_field_loses_no_word() {
        let mut page = Page::new(Look { colour: false, ..Look::default() }, 20);
        page.field("kit", "spring balance, trestles, tail stand");
        let text: Vec<String> = page.lines.iter().map(ToString::to_string).collect();
        let joined = text.join(" ").split_whitespace().collect::<Vec<_>>().join(" ");
        assert_eq!(joined, "kit: spring balance, trestles, tail stand");
        assert!(text.iter().all(|line| line.width() <= 20), "{text:?}");
    }
}
