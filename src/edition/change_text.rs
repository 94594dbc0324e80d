//! Changes of a checklist's text that leave every other byte as it is.

use toml_edit::{Document, Item};

/// Puts another value in the place of a top-level key's. `value` is TOML as it is to stand there.
///
/// # Errors
/// The text is no TOML, or has no such key.
pub fn with_value(text: &str, key: &str, value: &str) -> Result<String, String> {
    let document = Document::parse(text).map_err(|error| error.to_string())?;
    let span = document.get(key).and_then(Item::span).ok_or_else(|| say!("it has no \"{key}\"", key))?;
    let mut changed = text.to_string();
    changed.replace_range(span, value);
    Ok(changed)
}
