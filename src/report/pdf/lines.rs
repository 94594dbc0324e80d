//! Text broken into lines of a width. A word wider than the line is broken, at a sign of its own if it has one.

use super::fonts::{Face, Fonts};
use crate::report::model::{Style, Text};

/// A stretch of one style on one line.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Span {
    pub text: String,
    pub style: Style,
    pub link: Option<String>,
    pub width: f32,
}

#[derive(Debug, Clone, Default, PartialEq)]
pub(super) struct Line {
    pub spans: Vec<Span>,
    pub width: f32,
}

/// After these a long word may be broken.
const SEAMS: &[char] = &['/', '-', '_', '.', ',', ';', ':', '=', '&', '@'];

/// The text in lines of at most `width` points; at least one line.
pub(super) fn break_lines(fonts: &Fonts, text: &Text, size: f32, width: f32) -> Vec<Line> {
    let mut breaker =
        Breaker { fonts, size, width: width.max(size), lines: Vec::new(), line: Line::default() };
    for word in words(fonts, text, size) {
        breaker.word(word);
    }
    if !breaker.line.spans.is_empty() || breaker.lines.is_empty() {
        breaker.end_line();
    }
    breaker.lines
}

/// Letters that belong together, and the blank after them.
struct Word {
    spans: Vec<Span>,
    blank: Option<Span>,
}

impl Word {
    fn width(&self) -> f32 {
        self.spans.iter().map(|span| span.width).sum()
    }
}

fn words(fonts: &Fonts, text: &Text, size: f32) -> Vec<Word> {
    let mut words: Vec<Word> = Vec::new();
    let mut open: Vec<Span> = Vec::new();
    for run in &text.0 {
        let span = |piece: &str| Span {
            text: piece.to_string(),
            style: run.style,
            link: run.link.clone(),
            width: fonts.width(Face::of(run.style), piece, size),
        };
        for piece in run.text.split_inclusive(' ') {
            let letters = piece.trim_end_matches(' ');
            if !letters.is_empty() {
                open.push(span(letters));
            }
            if piece.len() > letters.len() {
                words.push(Word { spans: std::mem::take(&mut open), blank: Some(span(" ")) });
            }
        }
    }
    if !open.is_empty() {
        words.push(Word { spans: open, blank: None });
    }
    words
}

struct Breaker<'f> {
    fonts: &'f Fonts,
    size: f32,
    width: f32,
    lines: Vec<Line>,
    line: Line,
}

impl Breaker<'_> {
    fn word(&mut self, word: Word) {
        let wide = word.width();
        if self.line.width + wide > self.width && !self.line.spans.is_empty() && wide <= self.width {
            self.end_line();
        }
        if wide <= self.width {
            word.spans.into_iter().for_each(|span| self.push(span));
        } else {
            for span in word.spans {
                self.long(span);
            }
        }
        if let Some(blank) = word.blank
            && !self.line.spans.is_empty()
        {
            self.push(blank);
        }
    }

    fn push(&mut self, span: Span) {
        self.line.width += span.width;
        match self.line.spans.last_mut() {
            Some(last) if last.style == span.style && last.link == span.link => {
                last.text.push_str(&span.text);
                last.width += span.width;
            }
            _ => self.line.spans.push(span),
        }
    }

    /// Puts as many letters on each line as have room there, at least one.
    fn long(&mut self, span: Span) {
        let face = Face::of(span.style);
        let mut rest = span.text.as_str();
        while !rest.is_empty() {
            let room = self.width - self.line.width;
            let end = self.fitting(face, rest, room);
            if end == 0 {
                self.end_line();
                continue;
            }
            let (piece, after) = rest.split_at(end);
            let width = self.fonts.width(face, piece, self.size);
            self.push(Span { text: piece.to_string(), style: span.style, link: span.link.clone(), width });
            rest = after;
            if !rest.is_empty() {
                self.end_line();
            }
        }
    }

    /// Where to cut: behind the last seam of the second half that fits, else behind the last letter that does. 0 where
    /// nothing fits and the line holds something already.
    fn fitting(&self, face: Face, text: &str, room: f32) -> usize {
        let (mut used, mut end, mut seam) = (0.0, 0, 0);
        for (at, c) in text.char_indices() {
            used += self.fonts.width(face, c.encode_utf8(&mut [0; 4]), self.size);
            if used > room {
                let least = if self.line.spans.is_empty() {
                    text.chars().next().map_or(0, char::len_utf8)
                } else {
                    0
                };
                return if seam * 2 > end { seam } else { end.max(least) };
            }
            end = at + c.len_utf8();
            if SEAMS.contains(&c) {
                seam = end;
            }
        }
        end
    }

    fn end_line(&mut self) {
        let mut line = std::mem::take(&mut self.line);
        if let Some(last) = line.spans.last_mut() {
            let kept = last.text.trim_end_matches(' ').len();
            if kept < last.text.len() {
                last.text.truncate(kept);
                let width = self.fonts.width(Face::of(last.style), &last.text, self.size);
                line.width += width - last.width;
                last.width = width;
            }
        }
        line.spans.retain(|span| !span.text.is_empty());
        self.lines.push(line);
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn letters(lines: &[Line]) -> String {
        lines
            .iter()
            .flat_map(|line| &line.spans)
            .flat_map(|span| span.text.chars())
            .filter(|c| *c != ' ')
            .collect()
    }

    #[test]
    fn words_stay_whole_and_long_ones_break_at_their_seams() {
        let fonts = Fonts::load().expect("the fonts");
        let lines = break_lines(&fonts, &Text::plain("one two three"), 10.0, 40.0);
        assert_eq!(lines.len(), 2, "{lines:?}");
        let long = Text::plain("fin-root.flex-tailplane-off");
        let lines = break_lines(&fonts, &long, 10.0, 60.0);
        assert!(
            lines.iter().take(lines.len() - 1).all(|line| line.spans[0].text.ends_with(['-', '.'])),
            "{lines:?}"
        );
    }

    proptest! {
        #[test]
        fn no_line_is_wider_than_its_room_and_no_letter_is_lost(
            parts in proptest::collection::vec(("\\PC{0,40}", any::<bool>(), any::<bool>()), 0..6),
            width in 30.0_f32..300.0,
        ) {
            let fonts = Fonts::load().expect("the fonts");
            let text = parts.iter().fold(Text::default(), |text, (part, strong, mono)| {
                text.with(part, Style { strong: *strong, mono: *mono, ..Style::PLAIN })
            });
            let lines = break_lines(&fonts, &text, 8.0, width);
            prop_assert!(lines.iter().all(|line| line.width <= width + 0.1));
            let whole: String = text.letters().chars().filter(|c| *c != ' ').collect();
            prop_assert_eq!(letters(&lines), whole);
        }
    }
}
