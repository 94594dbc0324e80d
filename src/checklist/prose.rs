//! What of a checklist is prose, and so is shown in the reader's language: the texts that a translation file holds.

use toml_edit::{DocumentMut, Item, Value};

use crate::diagnostic::Source;

/// Keys of the format whose text a person reads, wherever they stand; `format::tests` holds the list to the table of keys.
pub const PROSE: &[&str] = &[
    "about",
    "caution",
    "choices",
    "component",
    "datum",
    "directions",
    "height_datum",
    "hint",
    "instruction",
    "kit",
    "limit_source",
    "name",
    "note",
    "reason",
    "source",
    "title",
    "what",
];

/// One text with the place where it stands first: `fin-root.flex › play title`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Prose {
    pub place: String,
    pub text: String,
}

/// Every text of the file that is prose, each once, in the order of the file. A file that is no TOML has none; the checklist's
/// own reader tells why.
pub fn prose(source: &Source) -> Vec<Prose> {
    let mut found = Vec::new();
    if let Ok(document) = source.text.parse::<DocumentMut>() {
        in_item("", document.as_item(), "", &mut found);
    }
    found
}

fn in_item(key: &str, item: &Item, place: &str, found: &mut Vec<Prose>) {
    match item {
        Item::None => {}
        Item::Value(value) => in_value(key, value, place, found),
        Item::Table(table) => {
            let place = placed(place, table.get("id").or_else(|| table.get("step")).and_then(Item::as_str));
            for (key, item) in table {
                in_item(key, item, &place, found);
            }
        }
        Item::ArrayOfTables(tables) => {
            for table in tables {
                in_item(key, &Item::Table(table.clone()), place, found);
            }
        }
    }
}

fn in_value(key: &str, value: &Value, place: &str, found: &mut Vec<Prose>) {
    match value {
        Value::String(text) if PROSE.contains(&key) => add(key, text.value(), place, found),
        Value::Array(values) => values.iter().for_each(|value| in_value(key, value, place, found)),
        Value::InlineTable(table) => {
            let place = placed(place, table.get("id").and_then(Value::as_str));
            table.iter().for_each(|(key, value)| in_value(key, value, &place, found));
        }
        _ => {}
    }
}

fn add(key: &str, text: &str, place: &str, found: &mut Vec<Prose>) {
    let is_said = text.chars().any(char::is_alphabetic);
    if is_said && !found.iter().any(|known| known.text == text) {
        found.push(Prose { place: format!("{place} {key}").trim().to_string(), text: text.to_string() });
    }
}

fn placed(above: &str, id: Option<&str>) -> String {
    match id {
        None => above.to_string(),
        Some(id) if above.is_empty() => id.to_string(),
        Some(id) => format!("{above} › {id}"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn prose_is_found_in_every_kind_of_table_and_ids_and_figures_are_none() {
        let text = "id = \"small\"\ntitle = \"Small\"\nabout = \"\"\n[[step]]\nid = \"fin.look\"\ntitle = \"Look\"\nkit = [\"torch\", \"24\"]\n\
            basis = [\"43D(a)\"]\non_failure = { severity = \"major\", hint = \"Look again.\" }\n[[step.measure]]\nid = \"play\"\n\
            title = \"Look\"\nkind = \"choice\"\nchoices = [\"none\", \"felt\"]\n";
        let found: Vec<(String, String)> =
            prose(&Source::new("small.toml", text)).into_iter().map(|one| (one.place, one.text)).collect();
        let wanted = [
            ("small title", "Small"),
            ("small › fin.look title", "Look"),
            ("small › fin.look kit", "torch"),
            ("small › fin.look hint", "Look again."),
            ("small › fin.look › play choices", "none"),
            ("small › fin.look › play choices", "felt"),
        ];
        assert_eq!(found, wanted.map(|(place, text)| (place.to_string(), text.to_string())));
        assert!(prose(&Source::new("broken.toml", "= 3")).is_empty());
    }
}
