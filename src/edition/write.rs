//! Steps and modules as TOML text, as an author would write them.

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
    pub measures: Vec<NewMeasure>,
}

/// Keys of a `[[step.measure]]` with their values as typed.
pub type NewMeasure = Vec<(String, String)>;

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

/// Keys that a measurement may have, for a message about one that is not known.
pub const MEASURE_KEYS: [&str; 26] = [
    "id",
    "title",
    "kind",
    "unit",
    "min",
    "max",
    "nominal",
    "tolerance",
    "max_difference",
    "readings",
    "instrument",
    "demanded",
    "guard",
    "limit_source",
    "choices",
    "accept",
    "not_before",
    "not_before_today",
    "compute",
    "load_unit",
    "deflection_unit",
    "directions",
    "min_levels",
    "max_load",
    "min_stiffness",
    "unloading",
];

/// Reads `id=play; title=Play; kind=number; unit=mm; max=0.3; limit_source=…`.
///
/// # Errors
/// A part without "=", or an unknown key; the words say what was meant.
pub fn parse_measure(text: &str) -> Result<NewMeasure, String> {
    let mut found = NewMeasure::new();
    for part in text.split(';').map(str::trim).filter(|part| !part.is_empty()) {
        let (key, value) = match part.split_once('=') {
            Some((key, value)) => (key.trim(), value.trim()),
            None => (part, "true"),
        };
        if !MEASURE_KEYS.contains(&key) {
            let hint = crate::diagnostic::suggest(key, MEASURE_KEYS).unwrap_or_default();
            return Err(format!(
                "\"{key}\" is no key of a measurement; {hint} write it like \"id=play; title=Play; kind=number; unit=mm\""
            ));
        }
        found.push((key.to_string(), value.to_string()));
    }
    Ok(found)
}

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
To be written before this edition is issued.
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
