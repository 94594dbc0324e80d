//! The hand-out: one document, many forms.
//!
//! [`facts`] gathers everything once from the record; the parts make blocks of it ([`model`]); each writer turns the same
//! blocks into one form. Nothing here reads a clock or a file: the same record gives the same bytes.

pub mod csv;
mod facts;
mod html;
mod local;
pub mod model;
mod parts;
mod pdf;
pub mod picture;
mod sheet;
pub mod sheet_words;
mod text;
pub mod words;

pub use facts::{Facts, Material, SignatureFile, Status, facts};
pub use html::html;
pub use model::Document;
pub use parts::{document, document_of};
pub use pdf::{Paper, PdfError, pdf};
pub use sheet::{SheetMaterial, SheetSession, sheet};
pub use text::text;

/// JSON Schema of the JSON form.
pub const SCHEMA: &str = include_str!("schema/report.schema.json");

/// The facts as JSON, as [`SCHEMA`] describes it.
///
/// # Errors
/// What the JSON writer says; for these facts none is known.
pub fn json(facts: &Facts) -> Result<String, String> {
    let mut text = serde_json::to_string_pretty(facts)
        .map_err(|error| say!("the report cannot be written as JSON: {error}", error))?;
    text.push('\n');
    Ok(text)
}
