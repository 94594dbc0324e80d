//! Example fragments completed into whole files, so that an example shows what it is about and nothing else.
//!
//! - `# file: NAME` begins a further file.
//! - A piece that gives `format` is a whole file already.
//! - A piece with `[type]`, `[[tighten]]`, `[[withdraw]]`, `[[hidden_item]]` or `[[mapped_area]]` gets the head of a
//!   supplement, any other the head of a module.
//! - A step gets the id, section, title, instruction and basis that it does not give itself.

use std::sync::Arc;

use crate::diagnostic::Source;

pub struct ExampleFile {
    pub source: Arc<Source>,
}

const MODULE: &str = r#"format = 1
kind = "module"
id = "example-module"
version = "1.0.0"
title = "An invented example"
issued = 2026-03-01
"#;

const SUPPLEMENT: &str = r#"format = 1
kind = "supplement"
id = "example-supplement"
version = "1.0.0"
title = "An invented type"
issued = 2026-03-01
"#;

const REQUIRES: &str = "[requires]\ncomposite-sailplane = \"^1.0\"\n";
const SELECTED_BY: &str = "[selected_by]\nreports = [\"odd-yaw\"]\n";
const TYPE: &str = r#"[type]
id = "example-1"
name = "Example 1"
seats = 1
datum = "wing root leading edge, positive aft"
height_datum = "upper edge of the tail boom"
build_standards = [ { id = "A", title = "first" } ]
"#;
const SECTION: &str = "[[section]]\nid = \"example\"\ntitle = \"Example\"\n";

const STEP: &[(&str, &str)] = &[
    ("section", "\"example\""),
    ("title", "\"An invented step\""),
    (
        "instruction",
        "\"How: look at the part with a torch from both sides. Good: even and dry. Bad: a line or a stain. Record: where.\"",
    ),
    ("basis", "[\"common practice\"]"),
];

const OF_SUPPLEMENT: &[&str] =
    &["[type]", "[[tighten]]", "[[withdraw]]", "[[hidden_item]]", "[[mapped_area]]"];

/// The files of an example, completed.
pub fn files_of(fragment: &str) -> Vec<ExampleFile> {
    let mut pieces: Vec<(Option<&str>, String)> = vec![(None, String::new())];
    for line in fragment.lines() {
        match (line.strip_prefix("# file: "), pieces.last_mut()) {
            (Some(name), _) => pieces.push((Some(name.trim()), String::new())),
            (None, Some((_, text))) => {
                text.push_str(line);
                text.push('\n');
            }
            (None, None) => {}
        }
    }
    pieces.retain(|(_, text)| !text.trim().is_empty());
    pieces.into_iter().map(|(name, text)| whole(name, &text)).collect()
}

fn whole(name: Option<&str>, piece: &str) -> ExampleFile {
    let gives = |key: &str| piece.lines().any(|line| line.trim_start().starts_with(key));
    let is_record = name.is_some_and(|name| !name.contains("1."));
    if is_record || gives("format =") {
        let name = name.map_or_else(|| own_name(piece), str::to_string);
        return ExampleFile { source: Source::new(name, piece) };
    }
    let is_supplement = OF_SUPPLEMENT.iter().any(|table| gives(table));
    let mut text = String::from(if is_supplement { SUPPLEMENT } else { MODULE });
    for (table, content) in [("[requires]", REQUIRES), ("[[section]]", SECTION)] {
        if !gives(table) {
            text.push_str(content);
        }
    }
    match is_supplement {
        true if !gives("[type]") => text.push_str(TYPE),
        false if !gives("[selected_by]") => text.push_str(SELECTED_BY),
        _ => {}
    }
    text.push_str(&steps_completed(
        piece,
        if is_supplement { "example-supplement" } else { "example-module" },
    ));
    let name = name.map_or_else(|| own_name(&text), str::to_string);
    ExampleFile { source: Source::new(name, text) }
}

/// `<id>/<version>.toml`, as the file says of itself.
fn own_name(text: &str) -> String {
    let value = |key: &str| {
        let line = text.lines().find_map(|line| line.strip_prefix(key)?.trim_start().strip_prefix('='));
        line.map(|value| value.trim().trim_matches('"').to_string()).unwrap_or_default()
    };
    format!("{}/{}.toml", value("id"), value("version"))
}

fn steps_completed(piece: &str, id: &str) -> String {
    let first =
        piece.lines().find(|line| !line.trim().is_empty() && !line.starts_with('#')).unwrap_or_default();
    let piece = if first.starts_with('[') { piece.to_string() } else { format!("[[step]]\n{piece}") };
    let lines: Vec<&str> = piece.lines().collect();
    let mut text = String::new();
    let mut count = 0;
    for (index, line) in lines.iter().enumerate() {
        text.push_str(line);
        text.push('\n');
        if line.trim() != "[[step]]" {
            continue;
        }
        count += 1;
        let own: Vec<&str> =
            lines[index + 1..].iter().take_while(|line| !line.starts_with('[')).copied().collect();
        let gives = |key: &str| {
            own.iter()
                .any(|line| line.strip_prefix(key).is_some_and(|rest| rest.trim_start().starts_with('=')))
        };
        if !gives("id") {
            text.push_str(&format!("id = \"{id}.step-{count}\"\n"));
        }
        for (key, value) in STEP.iter().filter(|(key, _)| !gives(key)) {
            text.push_str(&format!("{key} = {value}\n"));
        }
    }
    text
}
