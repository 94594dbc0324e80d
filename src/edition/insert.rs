//! A further step put into a checklist's text: nothing else of it changes.

use toml_edit::{ArrayOfTables, Document, Item, Table};

/// A text with one piece more.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Insertion {
    pub text: String,
    /// Byte offset of the piece.
    pub at: usize,
    pub length: usize,
}

/// Puts `block`, a whole `[[step]]` table, behind the last step of its section, else behind the last step, else at the end.
///
/// # Errors
/// The text is no TOML, or holds its steps as an inline list.
pub fn insert_step(text: &str, section: &str, block: &str) -> Result<Insertion, String> {
    let document = Document::parse(text).map_err(|error| error.to_string())?;
    let behind = match document.get("step") {
        None => text.len(),
        Some(Item::ArrayOfTables(steps)) => end_of(steps, section).unwrap_or(text.len()),
        Some(_) => return Err(say!("its steps are not written as [[step]] tables").to_string()),
    };
    // Whatever stands behind the last value on its line, such as a comment, belongs to it.
    let at = text
        .get(behind..)
        .and_then(|rest| rest.find('\n'))
        .map_or(text.len(), |newline| behind + newline + 1);
    // The file's own line ends, so that an editor does not see two kinds of them.
    let newline = if text.contains("\r\n") { "\r\n" } else { "\n" };
    let lead = if text[..at].is_empty() || text[..at].ends_with('\n') { "" } else { newline };
    let block = block.trim_end().replace("\r\n", "\n").replace('\n', newline);
    let piece = format!("{lead}{newline}{block}{newline}");
    let mut made = text.to_string();
    made.insert_str(at, &piece);
    Ok(Insertion { text: made, at, length: piece.len() })
}

fn end_of(steps: &ArrayOfTables, section: &str) -> Option<usize> {
    let of_section = |step: &&Table| step.get("section").and_then(Item::as_str) == Some(section);
    let step = steps.iter().filter(of_section).last().or(steps.iter().last())?;
    end_of_table(step)
}

/// Where the last value of a table ends, those of its own tables included.
fn end_of_table(table: &Table) -> Option<usize> {
    let ends = table.iter().filter_map(|(_, item)| match item {
        Item::Value(value) => value.span().map(|span| span.end),
        Item::Table(inner) => end_of_table(inner),
        Item::ArrayOfTables(inner) => inner.iter().filter_map(end_of_table).max(),
        Item::None => None,
    });
    ends.max()
}
