//! The hand-out: one document, many forms.
//!
//! [`facts`] gathers everything once from the record; the parts make blocks of it ([`model`]); each writer turns the same
//! blocks into one form. Nothing here reads a clock or a file: the same record gives the same bytes.

mod facts;
pub mod model;
mod parts;
mod pdf;
pub mod picture;
pub mod words;

pub use facts::{Facts, Material, SignatureFile, Status, facts};
pub use model::Document;
pub use parts::{document, document_of};
pub use pdf::{Paper, PdfError, pdf};
