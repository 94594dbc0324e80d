//! The document as PDF: fonts inside and cut to the letters used, text that can be taken out again, bookmarks, tags.
//!
//! No date and no random number goes in: the same document gives the same bytes.

mod blocks;
mod fonts;
mod frame;
mod lines;
mod sheet;
mod table;
mod tags;
mod write;

use super::model::Document;
use fonts::Fonts;
use sheet::Sheets;

/// Size of the paper.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Paper {
    A4,
    Letter,
}

impl Paper {
    /// Width and height in points (ISO 216; ANSI/ASME Y14.1 size A).
    pub fn size(self) -> (f32, f32) {
        match self {
            Paper::A4 => (595.28, 841.89),
            Paper::Letter => (612.0, 792.0),
        }
    }
}

/// Why no PDF could be made. None of it depends on the session: it is a fault of this program.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PdfError(String);

impl std::fmt::Display for PdfError {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str(&say!("the PDF cannot be made: {}; the forms html and text hold the same", self.0))
    }
}

impl std::error::Error for PdfError {}

/// The document on this paper.
///
/// # Errors
/// A fault of a font or of the writer.
pub fn pdf(document: &Document, paper: Paper) -> Result<Vec<u8>, PdfError> {
    let fonts = Fonts::load()?;
    let mut sheets = Sheets::new(&fonts, paper, document);
    blocks::lay_out(&mut sheets, document);
    let laid = sheets.finish();
    write::write(document, &fonts, paper, &laid)
}
