//! Steps and modules as TOML text, as an author would write them.

use crate::checklist::format::CHECKLIST;
use crate::words::said;

/// What a new step says; empty means that the key is left out.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct NewStep {
    pub id: String,
    pub section: String,
    pub title: String,
    pub instruction: String,
    pub caution: String,
    pub basis: Vec<String>,
    /// Aspect and setting.
    pub configuration: Vec<(String, String)>,
    pub after: Vec<String>,
    pub people: u32,
    pub minutes: u32,
    pub loads: bool,
    pub independent: bool,
    pub optional: bool,
    pub kit: Vec<String>,
    pub evidence: Vec<NewEvidence>,
    pub measures: Vec<NewMeasure>,
}

/// Keys of a `[[step.measure]]` with their values as typed.
pub type NewMeasure = Vec<(String, String)>;
/// Keys of a piece of evidence with their values as typed.
pub type NewEvidence = Vec<(String, String)>;

impl NewStep {
    /// The `[[step]]` table; whether it is a good one is for the checklist's reader to say.
    pub fn to_toml(&self) -> String {
        let mut out = String::from("[[step]]\n");
        let mut line = |key: &str, value: String| out.push_str(&format!("{key} = {value}\n"));
        line("id", quoted(&self.id));
        line("section", quoted(&self.section));
        line("title", quoted(&self.title));
        line("instruction", text(&self.instruction));
        if !self.caution.is_empty() {
            line("caution", text(&self.caution));
        }
        if self.optional {
            line("mandatory", "false".to_string());
        }
        if !self.basis.is_empty() {
            line("basis", list(&self.basis));
        }
        if !self.configuration.is_empty() {
            let pairs: Vec<String> = self
                .configuration
                .iter()
                .map(|(aspect, setting)| format!("{aspect} = {}", quoted(setting)))
                .collect();
            line("configuration", format!("{{ {} }}", pairs.join(", ")));
        }
        if !self.after.is_empty() {
            line("after", list(&self.after));
        }
        line("people", self.people.to_string());
        line("minutes", self.minutes.to_string());
        for (key, flag) in [("loads", self.loads), ("independent", self.independent)] {
            if flag {
                line(key, "true".to_string());
            }
        }
        if !self.kit.is_empty() {
            line("kit", list(&self.kit));
        }
        if !self.evidence.is_empty() {
            let pieces: Vec<String> = self.evidence.iter().map(evidence).collect();
            line("evidence", format!("[{}]", pieces.join(", ")));
        }
        for measure in &self.measures {
            out.push_str("\n[[step.measure]]\n");
            let is_count = measure.iter().any(|(key, value)| key == "kind" && value == "count");
            for (key, value) in measure {
                out.push_str(&format!("{key} = {}\n", measure_value(key, value, is_count)));
            }
        }
        out
    }
}

fn evidence(piece: &NewEvidence) -> String {
    let is_count = |key: &str, value: &str| {
        key == "count" && !value.is_empty() && value.bytes().all(|byte| byte.is_ascii_digit())
    };
    let pairs: Vec<String> = piece
        .iter()
        .map(|(key, value)| match is_count(key, value) {
            true => format!("{key} = {value}"),
            false => format!("{key} = {}", quoted(value)),
        })
        .collect();
    format!("{{ {} }}", pairs.join(", "))
}

/// Figures that people decide stand in quotes; counts, flags and dates do not.
fn measure_value(key: &str, value: &str, is_count: bool) -> String {
    let is_bare = match key {
        "readings" | "instrument" | "demanded" | "not_before" | "not_before_today" | "min_levels"
        | "unloading" => true,
        "min" | "max" => is_count,
        _ => false,
    };
    let is_word =
        !value.is_empty() && value.chars().all(|letter| letter.is_ascii_alphanumeric() || letter == '-');
    match key {
        "choices" | "accept" | "directions" => {
            list(&value.split('|').map(|item| item.trim().to_string()).collect::<Vec<_>>())
        }
        _ if is_bare && is_word => value.to_string(),
        _ => quoted(value),
    }
}

/// Reads `id=play; title=Play; kind=number; unit=mm; max=0.3; limit_source=…`.
///
/// # Errors
/// A part without "=", or an unknown key; the words say what was meant.
pub fn parse_measure(text: &str) -> Result<NewMeasure, String> {
    parse_pairs(text, "step.measure", mark!("a measurement"), "id=play; title=Play; kind=number; unit=mm")
}

/// Reads `id=film; kind=film; count=2; what=…`.
///
/// # Errors
/// As [`parse_measure`].
pub fn parse_evidence(text: &str) -> Result<NewEvidence, String> {
    parse_pairs(
        text,
        "step.evidence",
        mark!("evidence"),
        "id=film; kind=film; count=2; what=both sides of the rib",
    )
}

/// Keys and values with semicolons between them; a key alone is a flag that is set.
fn parse_pairs(text: &str, table: &str, what: &str, like: &str) -> Result<Vec<(String, String)>, String> {
    let known = keys_of(table);
    let mut found: Vec<(String, String)> = Vec::new();
    for part in text.split(';').map(str::trim).filter(|part| !part.is_empty()) {
        let (key, value) = match part.split_once('=') {
            Some((key, value)) => (key.trim(), value.trim()),
            None => (part, "true"),
        };
        if !known.contains(&key) {
            let hint = crate::diagnostic::suggest(key, known.iter().copied());
            let next = hint.unwrap_or_else(|| say!("write it like \"{like}\"", like));
            return Err(say!("\"{key}\" is no key of {what}; {next}", key, what = said(what), next));
        }
        if found.iter().any(|(other, _)| other == key) {
            return Err(say!("\"{key}\" stands twice; write it once", key));
        }
        found.push((key.to_string(), value.to_string()));
    }
    Ok(found)
}

/// The keys that the format has in a table below the step.
fn keys_of(table: &str) -> Vec<&'static str> {
    let heading = format!("`[[{table}]]`");
    let shape = CHECKLIST.all().into_iter().find(|shape| shape.heading == heading);
    shape.map(|shape| shape.keys.iter().map(|key| key.name).collect()).unwrap_or_default()
}

/// What [`new_module`] writes for `about`; nothing is issued with it.
pub const UNWRITTEN: &str = "To be written before this edition is issued.";

/// The skeleton of a targeted module: whole but for its steps.
pub fn new_module(
    id: &str,
    title: &str,
    author: &str,
    issued: chrono::NaiveDate,
    requires: &(String, String),
    reports: &[String],
    occurrences: &[String],
) -> String {
    let (programme, range) = requires;
    format!(
        "\
format = 1
kind = \"module\"
id = {id}
version = \"1.0.0\"
title = {title}
issued = {issued}
author = {author}
# Say what the module is for, what happens to the structure, and where its order and figures come from. What has no published
# source is marked \"common practice, no source\". The type's manual governs.
about = \"\"\"
{UNWRITTEN}
\"\"\"

[requires]
{programme} = {range}

# Reports and occurrences that select it.
[selected_by]
reports = {reports}
occurrences = {occurrences}

[[section]]
id = {id}
title = {title}
",
        id = quoted(id),
        title = quoted(title),
        author = quoted(author),
        range = quoted(range),
        reports = list(reports),
        occurrences = list(occurrences),
    )
}

fn quoted(text: &str) -> String {
    toml::Value::String(text.to_string()).to_string()
}

/// Several lines stand between three quotation marks where they can.
fn text(text: &str) -> String {
    if text.contains('\n') && !text.contains(['\\', '"', '\r']) {
        return format!("\"\"\"\n{}\n\"\"\"", text.trim_end());
    }
    // TOML's basic string, whatever the library would choose for many lines.
    serde_json::to_string(text).unwrap_or_else(|_| quoted(text))
}

fn list(items: &[String]) -> String {
    let items: Vec<String> = items.iter().map(|item| quoted(item)).collect();
    format!("[{}]", items.join(", "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_key_of_the_format_can_be_given() {
        for key in ["take_up", "max_side_difference_percent", "min_stiffness", "compute"] {
            let found = parse_measure(&format!("id=push; {key}=1")).expect("a key of the format");
            assert_eq!(found[1], (key.to_string(), "1".to_string()));
        }
    }

    #[test]
    fn a_misspelt_key_and_one_given_twice_are_told() {
        let why = parse_evidence("id=film; kin=film").expect_err("no such key");
        assert_eq!(why, "\"kin\" is no key of evidence; did you mean \"kind\"?");
        let why = parse_measure("id=play; unit=mm; unit=cm").expect_err("twice");
        assert!(why.contains("\"unit\" stands twice"), "{why}");
    }

    #[test]
    fn evidence_stands_in_one_line() {
        let evidence = vec![parse_evidence("id=film; kind=film; count=2; what=the \"fin\"").expect("good")];
        let text = NewStep { evidence, ..NewStep::default() }.to_toml();
        let line = "evidence = [{ id = \"film\", kind = \"film\", count = 2, what = 'the \"fin\"' }]";
        assert!(text.contains(line), "{text}");
    }
}
