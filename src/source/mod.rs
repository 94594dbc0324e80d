//! TOML text read with places kept, so that every fault of a file is found in one pass and pointed at.
//!
//! A caller asks a [`Table`] for the keys that it knows; [`Table::finish`] then reports the keys that nobody
//! asked for. A required key that is missing beside a misspelt twin is reported once, at the twin.

#[cfg(test)]
pub mod asked;
mod located;
mod outline;
mod recover;
mod table;

use std::cell::RefCell;
use std::sync::Arc;

use toml::de::DeTable;

use crate::diagnostic::{Diagnostic, Place, Source, in_file_order};

pub use located::Located;
pub use outline::{Entry, Node, Outline};
pub use recover::{Recovered, SyntaxError, Wound, recover};
pub use table::Table;

/// Collects the faults of one file while it is read.
pub struct Faults {
    pub source: Arc<Source>,
    found: RefCell<Vec<Diagnostic>>,
}

impl Faults {
    pub fn new(source: &Arc<Source>) -> Self {
        Faults { source: Arc::clone(source), found: RefCell::new(Vec::new()) }
    }

    pub fn place(&self, span: std::ops::Range<usize>) -> Place {
        Place::new(&self.source, span)
    }

    pub fn add(&self, diagnostic: Diagnostic) {
        self.found.borrow_mut().push(diagnostic);
    }

    pub fn is_empty(&self) -> bool {
        self.found.borrow().is_empty()
    }

    /// The faults in file order.
    pub fn into_sorted(self) -> Vec<Diagnostic> {
        let mut found = self.found.into_inner();
        in_file_order(&mut found);
        found
    }
}

/// Parses `source` and hands the root table to `read`. Returns what `read` made when nothing at all was
/// wrong, else every fault in file order, those of syntax and those of meaning.
pub fn read_toml<T>(
    source: &Arc<Source>,
    read: impl FnOnce(Table<'_>) -> Option<T>,
) -> Result<T, Vec<Diagnostic>> {
    match read_through(source, read) {
        (Some(made), faults) if faults.is_empty() => Ok(made),
        (_, faults) => Err(faults),
    }
}

/// As [`read_toml`], but hands over what was made in spite of faults, for a check that goes on from there.
///
/// Where the syntax is broken, the lines or blocks that hold the errors are left out (see [`recover`]) and the rest is read; that
/// something is missing from the file as a whole, or from a table that lacks a line, is then not told, because it may stand in
/// what was left out.
pub fn read_through<T>(
    source: &Arc<Source>,
    read: impl FnOnce(Table<'_>) -> Option<T>,
) -> (Option<T>, Vec<Diagnostic>) {
    let faults = Faults::new(source);
    let (root, errors) = DeTable::parse_recoverable(&source.text);
    if errors.is_empty() {
        let made = read(Table::new(root.get_ref(), root.span(), mark!("the file"), &faults));
        return (made, faults.into_sorted());
    }
    let recovered = recover(&source.text);
    let (root, _) = DeTable::parse_recoverable(&recovered.text);
    let made = read(Table::new(root.get_ref(), root.span(), mark!("the file"), &faults));
    let is_of_the_whole = |fault: &Diagnostic| fault.place.span == (0..0) || fault.place.span == root.span();
    let is_of_a_wound =
        |fault: &Diagnostic| recovered.wounds.iter().any(|wound| follows_from(wound, &source.text, fault));
    faults.found.borrow_mut().retain(|fault| !is_of_the_whole(fault) && !is_of_a_wound(fault));
    for error in recovered.errors {
        faults.add(
            Diagnostic::new("toml-syntax", faults.place(error.span), error.message)
                .hint(say!("repair the TOML here, then check the file again")),
        );
    }
    (made, faults.into_sorted())
}

/// Whether a table seems to lack something only because one of its lines could not be parsed.
fn follows_from(wound: &Wound, text: &str, fault: &Diagnostic) -> bool {
    let at = fault.place.span.start;
    let header_end =
        text[wound.block.clone()].find('\n').map_or(wound.block.end, |end| wound.block.start + end);
    let is_on_header = at < header_end;
    let is_by_code = match fault.code {
        "caution-missing" => wound.key == "caution",
        "limit-form" | "limit-source-missing" => true,
        _ => false,
    };
    wound.block.contains(&at) && (is_on_header || is_by_code)
}
