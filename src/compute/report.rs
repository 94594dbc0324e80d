//! A result in words and figures, once for people and once for programs.

use std::fmt::Write as _;

use chrono::NaiveDate;
use serde_json::{Map, Value, json};

use crate::measure::estimate::{Estimate, Interval};
use crate::plot::{Plot, TapCell, plot_text, tap_text};
use crate::quantity::shown_with_uncertainty;
use crate::words::{self, Language, figure, said, with_language};

/// What the result comes to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outcome {
    /// Computed; nothing was asked to be judged.
    Computed,
    Within,
    /// Outside a limit, softer than the references, overdue, or to be looked at again.
    Outside,
    /// The readings do not decide it.
    CannotDecide,
    /// A load above the ceiling: nothing was computed.
    Refused,
}

impl Outcome {
    /// The word in JSON.
    pub fn word(self) -> &'static str {
        match self {
            Self::Computed => "computed",
            Self::Within => "within",
            Self::Outside => "outside",
            Self::CannotDecide => "cannot-decide",
            Self::Refused => "refused",
        }
    }

    /// The graver of two: outside before undecided before within before computed.
    pub fn graver(self, other: Self) -> Self {
        let rank = |outcome: Self| match outcome {
            Self::Computed => 0,
            Self::Within => 1,
            Self::CannotDecide => 2,
            Self::Outside => 3,
            Self::Refused => 4,
        };
        if rank(other) > rank(self) { other } else { self }
    }
}

/// One line for people and its keys for programs.
struct Figure {
    label: String,
    shown: String,
    values: Vec<(String, Value)>,
}

/// Figures that belong together: of the whole result, or of one row.
#[derive(Default)]
pub struct Figures {
    figures: Vec<Figure>,
}

/// A list of rows of figures under one key.
struct Group {
    key: &'static str,
    rows: Vec<(String, Figures)>,
}

/// A picture of a result: of a plot's geometry, or a grid of tapped points.
pub enum Picture {
    Plot(Plot),
    Tap(Vec<Vec<TapCell>>),
}

/// A picture in a text fits a page and a plain terminal.
const PICTURE_WIDTH: usize = 78;
const PICTURE_HEIGHT: usize = 20;

impl Picture {
    pub fn text(&self, width: usize, height: usize, ascii: bool) -> String {
        match self {
            Picture::Plot(plot) => plot_text(plot, width, height, ascii),
            Picture::Tap(grid) => tap_text(grid, width, ascii),
        }
    }
}

/// The result of a computation.
pub struct Report {
    pub kind: &'static str,
    pub outcome: Outcome,
    /// The verdict in plain words, one statement a line.
    pub verdict: String,
    pub figures: Figures,
    groups: Vec<Group>,
    pub methods: Vec<&'static str>,
    pub cautions: Vec<String>,
    /// What can be seen at a glance; the figures say the same.
    pub pictures: Vec<Picture>,
    /// Stands beside results of a method that is not yet proved on real data.
    pub label: Option<&'static str>,
}

/// The ending of a key for a unit: `N/mm` gives `n_per_mm`.
pub fn suffix(unit: &str) -> String {
    let named = match unit {
        "°" => "deg",
        "°C" => "degc",
        "°F" => "degf",
        "%" => "percent",
        "Ω" => "ohm",
        _ => unit,
    };
    named.replace('/', "_per_").replace(['·', ' '].as_slice(), "_").to_lowercase()
}

/// Up to six significant digits, without trailing zeros, as the language writes them. For people: JSON has the number itself.
pub fn shown(value: f64) -> String {
    if !value.is_finite() {
        return if value.is_nan() {
            say!("undefined").into()
        } else if value > 0.0 {
            say!("no end").into()
        } else {
            say!("no end below").into()
        };
    }
    if value == 0.0 {
        return "0".to_string();
    }
    let exponent = value.abs().log10().floor() as i32;
    if !(-5..15).contains(&exponent) {
        return figure(format_args!("{value:.5e}"));
    }
    let decimals = usize::try_from(5 - exponent).unwrap_or(0);
    let text = format!("{value:.decimals$}");
    if text.contains('.') { figure(text.trim_end_matches('0').trim_end_matches('.')) } else { text }
}

fn with_unit(text: String, unit: &str) -> String {
    match unit.strip_suffix("/year") {
        _ if unit.is_empty() || unit == "count" => text,
        Some(of) => say!("{text} {of}/year", text, of),
        None => format!("{text} {unit}"),
    }
}

fn keyed(key: &str, unit: &str) -> String {
    if unit.is_empty() { key.to_string() } else { format!("{key}_{}", suffix(unit)) }
}

impl Figures {
    pub fn new() -> Self {
        Self::default()
    }

    fn add(&mut self, label: &str, shown: String, values: Vec<(String, Value)>) {
        self.figures.push(Figure { label: label.to_string(), shown, values });
    }

    /// A value; its key is `key` with the unit behind it.
    pub fn value(&mut self, key: &str, label: &str, value: f64, unit: &str) {
        self.add(label, with_unit(shown(value), unit), vec![(keyed(key, unit), json!(value))]);
    }

    /// A value with its standard uncertainty, under `key_unit` and `key_standard_uncertainty_unit`.
    pub fn estimate(&mut self, key: &str, label: &str, estimate: &Estimate, unit: &str) {
        let (value, u) = (estimate.value, estimate.standard_uncertainty);
        let text = if u > 0.0 { shown_with_uncertainty(value, u) } else { shown(value) };
        let note = if u > 0.0 { say!(" (standard uncertainty)") } else { "" };
        let values = vec![
            (keyed(key, unit), json!(value)),
            (keyed(&format!("{key}_standard_uncertainty"), unit), json!(u)),
            (format!("{key}_degrees_of_freedom"), json!(estimate.degrees_of_freedom)),
        ];
        self.add(label, with_unit(text, unit) + note, values);
    }

    /// An interval, under `key_lower_unit` and `key_upper_unit`.
    pub fn interval(&mut self, key: &str, label: &str, interval: &Interval, unit: &str) {
        let text = say!("{} to {}", shown(interval.lower), shown(interval.upper));
        let values = vec![
            (keyed(&format!("{key}_lower"), unit), json!(interval.lower)),
            (keyed(&format!("{key}_upper"), unit), json!(interval.upper)),
        ];
        self.add(label, with_unit(text, unit), values);
    }

    /// A share, shown and keyed in per cent.
    pub fn share(&mut self, key: &str, label: &str, share: f64) {
        self.value(key, label, 100.0 * share, "%");
    }

    /// A text that somebody wrote.
    pub fn text(&mut self, key: &str, label: &str, text: impl Into<String>) {
        let text = text.into();
        self.add(label, text.clone(), vec![(key.to_string(), json!(text))]);
    }

    /// A word of the program: as it is for programs, in the spoken language for people.
    pub fn word(&mut self, key: &str, label: &str, word: &str) {
        self.add(label, said(word).to_string(), vec![(key.to_string(), json!(word))]);
    }

    /// As [`Figures::word`], for a text that is put together.
    pub fn told(&mut self, key: &str, label: &str, text: impl Fn() -> String) {
        let neutral = with_language(Language::English, &text);
        self.add(label, text(), vec![(key.to_string(), json!(neutral))]);
    }

    /// A day: ISO 8601 for programs.
    pub fn date(&mut self, key: &str, label: &str, day: NaiveDate) {
        self.add(label, words::date(day), vec![(key.to_string(), json!(day.to_string()))]);
    }

    pub fn whole(&mut self, key: &str, label: &str, number: u64) {
        self.add(label, number.to_string(), vec![(key.to_string(), json!(number))]);
    }

    pub fn flag(&mut self, key: &str, label: &str, flag: bool) {
        self.add(
            label,
            if flag { say!("yes") } else { say!("no") }.to_string(),
            vec![(key.to_string(), json!(flag))],
        );
    }

    pub fn outcome(&mut self, outcome: Outcome, words: impl Into<String>) {
        self.add(say!("Verdict"), words.into(), vec![("outcome".to_string(), json!(outcome.word()))]);
    }

    fn to_json(&self) -> Map<String, Value> {
        self.figures.iter().flat_map(|figure| figure.values.iter().cloned()).collect()
    }

    fn write(&self, out: &mut String, indent: &str) {
        let width = self.figures.iter().map(|f| f.label.chars().count()).max().unwrap_or(0);
        for figure in &self.figures {
            let _ = writeln!(out, "{indent}{:<width$}  {}", figure.label, figure.shown);
        }
    }
}

impl Report {
    pub fn new(kind: &'static str, method: &'static str) -> Self {
        Report {
            kind,
            outcome: Outcome::Computed,
            verdict: String::new(),
            figures: Figures::new(),
            groups: Vec::new(),
            methods: vec![method],
            cautions: Vec::new(),
            pictures: Vec::new(),
            label: None,
        }
    }

    /// Adds a row with a heading under a key of the result.
    pub fn row(&mut self, key: &'static str, title: impl Into<String>, figures: Figures) {
        let row = (title.into(), figures);
        match self.groups.iter_mut().find(|group| group.key == key) {
            Some(group) => group.rows.push(row),
            None => self.groups.push(Group { key, rows: vec![row] }),
        }
    }

    /// Adds a line to the verdict.
    pub fn say(&mut self, line: impl AsRef<str>) {
        if !self.verdict.is_empty() {
            self.verdict.push('\n');
        }
        self.verdict.push_str(line.as_ref());
    }

    pub fn caution(&mut self, text: impl Into<String>) {
        self.cautions.push(text.into());
    }

    pub fn method(&mut self, method: &'static str) {
        if !self.methods.contains(&method) {
            self.methods.push(method);
        }
    }

    /// The verdict first, then the figures, the methods and the cautions.
    pub fn text(&self) -> String {
        let mut out = String::new();
        if let Some(label) = self.label {
            let label = said(label).to_uppercase();
            let _ =
                writeln!(out, "{}", say!("{label}: the method is not yet proved on real recordings.", label));
        }
        let _ = writeln!(out, "{}", self.verdict);
        if !self.figures.figures.is_empty() {
            out.push('\n');
            self.figures.write(&mut out, "  ");
        }
        for group in &self.groups {
            for (title, figures) in &group.rows {
                let _ = writeln!(out, "\n  {title}");
                figures.write(&mut out, "    ");
            }
        }
        for picture in &self.pictures {
            let _ = write!(out, "\n{}", picture.text(PICTURE_WIDTH, PICTURE_HEIGHT, false));
        }
        let _ = writeln!(out, "\n{}", say!("Method: {}", self.methods.join(", ")));
        for caution in &self.cautions {
            let _ = writeln!(out, "{}", say!("Caution: {caution}", caution));
        }
        out
    }

    /// One object; numbers are numbers (null where there is no finite one), units stand in the keys.
    pub fn json(&self, file: &str) -> Value {
        let mut figures = self.figures.to_json();
        for group in &self.groups {
            let rows = group.rows.iter().map(|(title, row)| {
                let mut object = Map::new();
                object.insert("name".to_string(), json!(title));
                object.extend(row.to_json());
                Value::Object(object)
            });
            figures.insert(group.key.to_string(), Value::Array(rows.collect()));
        }
        json!({
            "kind": self.kind,
            "file": file,
            "outcome": self.outcome.word(),
            "verdict": self.verdict,
            "experimental": self.label.is_some(),
            "figures": figures,
            "methods": self.methods,
            "cautions": self.cautions,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_shown_short_and_units_become_endings() {
        for (value, text) in
            [(21.33008, "21.3301"), (100.0, "100"), (-0.0396, "-0.0396"), (1e20, "1.00000e20")]
        {
            assert_eq!(shown(value), text);
        }
        assert_eq!(shown(f64::INFINITY), "no end");
        assert_eq!(
            (suffix("N/mm"), suffix("°"), suffix("km/h")),
            ("n_per_mm".into(), "deg".into(), "km_per_h".into())
        );
    }
}
