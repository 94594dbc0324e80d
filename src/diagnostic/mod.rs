//! A message for a person: a stable code, the place in a source text, plain words and what to do next.
//!
//! Every fault found in a file that a person writes (checklist, airframe record, register) becomes a
//! [`Diagnostic`]. All of them are collected in one pass and shown in file order.

mod render;

use std::borrow::Cow;
use std::fmt;
use std::ops::Range;
use std::sync::Arc;

pub use render::render;

/// One text with the name under which a person knows it (a path, or `built in: …`).
#[derive(Debug, PartialEq, Eq)]
pub struct Source {
    pub name: String,
    pub text: String,
}

impl Source {
    pub fn new(name: impl Into<String>, text: impl Into<String>) -> Arc<Source> {
        Arc::new(Source { name: name.into(), text: text.into() })
    }

    /// 1-based line and column (in characters) of a byte offset; an offset past the end means the end.
    pub fn line_column(&self, offset: usize) -> (usize, usize) {
        let before = match self.text.get(..offset.min(self.text.len())) {
            Some(before) => before,
            None => &self.text,
        };
        let line = before.matches('\n').count() + 1;
        let line_start = before.rfind('\n').map_or(0, |newline| newline + 1);
        (line, before[line_start..].chars().count() + 1)
    }
}

/// A source's name as it is shown: the words of `built in: …` in the language that is spoken, a path as it is.
pub fn shown_name(name: &str) -> Cow<'_, str> {
    match name.strip_prefix("built in: ") {
        Some(path) => Cow::Owned(say!("built in: {path}", path)),
        None => Cow::Borrowed(name),
    }
}

/// A place in a source text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    pub source: Arc<Source>,
    pub span: Range<usize>,
}

impl Place {
    pub fn new(source: &Arc<Source>, span: Range<usize>) -> Self {
        Place { source: Arc::clone(source), span }
    }

    pub fn line(&self) -> usize {
        self.source.line_column(self.span.start).0
    }
}

impl fmt::Display for Place {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        let (line, column) = self.source.line_column(self.span.start);
        write!(f, "{}:{line}:{column}", shown_name(&self.source.name))
    }
}

/// A second place that belongs to the message: the other definition, the step that closes the circle.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Related {
    pub place: Place,
    pub label: String,
}

/// How much a message weighs.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord)]
pub enum Weight {
    /// The file cannot be used like this.
    #[default]
    Error,
    /// It can be used; a person should look at it once more.
    Advice,
}

impl Weight {
    pub fn word(self) -> &'static str {
        match self {
            Weight::Error => "error",
            Weight::Advice => "advice",
        }
    }
}

/// What is wrong, where, and what to do next.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Diagnostic {
    /// Stable: never reused for another fault.
    pub code: &'static str,
    pub weight: Weight,
    pub place: Place,
    pub message: String,
    /// Words beside the caret; may be empty.
    pub label: String,
    pub hint: Option<String>,
    pub related: Vec<Related>,
}

impl Diagnostic {
    pub fn new(code: &'static str, place: Place, message: impl Into<String>) -> Self {
        Diagnostic {
            code,
            weight: Weight::Error,
            place,
            message: message.into(),
            label: String::new(),
            hint: None,
            related: Vec::new(),
        }
    }

    /// Says that this is advice and no error.
    pub fn advice(mut self) -> Self {
        self.weight = Weight::Advice;
        self
    }

    pub fn is_error(&self) -> bool {
        self.weight == Weight::Error
    }

    pub fn label(mut self, label: impl Into<String>) -> Self {
        self.label = label.into();
        self
    }

    pub fn hint(mut self, hint: impl Into<String>) -> Self {
        self.hint = Some(hint.into());
        self
    }

    /// Adds the hint only where there is one, as with a suggestion for a misspelt word.
    pub fn maybe_hint(mut self, hint: Option<String>) -> Self {
        self.hint = hint.or(self.hint);
        self
    }

    pub fn related(mut self, place: Place, label: impl Into<String>) -> Self {
        self.related.push(Related { place, label: label.into() });
        self
    }
}

impl fmt::Display for Diagnostic {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}: {} [{}]", self.place, self.message, self.code)?;
        if let Some(hint) = &self.hint {
            write!(f, "; {hint}")?;
        }
        Ok(())
    }
}

/// Sorts by file, then place, so that the reader meets the faults in the order of the text.
pub fn in_file_order(diagnostics: &mut [Diagnostic]) {
    diagnostics.sort_by(|a, b| {
        (a.place.source.name.as_str(), a.place.span.start, a.code).cmp(&(
            b.place.source.name.as_str(),
            b.place.span.start,
            b.code,
        ))
    });
}

/// The nearest known word, when it is near enough to have been meant.
pub fn nearest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    let length = word.chars().count();
    known
        .into_iter()
        .map(|candidate| (candidate, candidate.chars().count()))
        .map(|(candidate, letters)| (candidate, letters, 1 + letters / 5))
        // At least the surplus letters are wrong. A whole page in place of a word is told apart by that alone:
        // comparing it letter by letter took seconds.
        .filter(|(_, letters, allowance)| letters.abs_diff(length) <= *allowance)
        .map(|(candidate, _, allowance)| (strsim::damerau_levenshtein(word, candidate), candidate, allowance))
        .filter(|(distance, _, allowance)| distance <= allowance)
        .map(|(distance, candidate, _)| (distance, candidate))
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, candidate)| candidate)
}

/// `did you mean …?`, or the list of what is known when that list is short.
pub fn suggest<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    let known: Vec<&str> = known.into_iter().collect();
    match nearest(word, known.iter().copied()) {
        Some(candidate) => Some(say!("did you mean \"{candidate}\"?", candidate = candidate)),
        None if known.is_empty() => None,
        None if known.len() <= 24 => Some(say!("known here: {}", known.join(", "))),
        None => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn columns_count_characters_not_bytes() {
        let source = Source::new("a.toml", "eins\nzwö = 3\n");
        let offset = source.text.find('=').unwrap_or_default();
        assert_eq!(source.line_column(offset), (2, 5));
        assert_eq!(source.line_column(9_999), (3, 1));
    }

    #[test]
    fn a_misspelt_word_is_suggested_and_a_strange_one_is_not() {
        assert_eq!(nearest("titel", ["title", "text"]), Some("title"));
        assert_eq!(nearest("propeller", ["title", "text"]), None);
    }
}
