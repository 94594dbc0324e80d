//! TOML text read with places kept, so that every fault of a file is found in one pass and pointed at.
//!
//! A caller asks a [`Table`] for the keys that it knows; [`Table::finish`] then reports the keys that nobody
//! asked for. A required key that is missing beside a misspelt twin is reported once, at the twin.

#[cfg(test)]
pub mod asked;
mod located;
mod table;

use std::cell::RefCell;
use std::sync::Arc;

use toml::de::{DeTable, DeValue};

use crate::diagnostic::{Diagnostic, Place, Source, in_file_order};

pub use located::Located;
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
/// wrong, else every fault in file order.
///
/// After a syntax error the rest of the file is still read as far as it can be, but faults of meaning are
/// then left out: most of them would only follow from the broken syntax.
pub fn read_toml<T>(
    source: &Arc<Source>,
    read: impl FnOnce(Table<'_>) -> Option<T>,
) -> Result<T, Vec<Diagnostic>> {
    let (root, errors) = DeTable::parse_recoverable(&source.text);
    if !errors.is_empty() {
        let faults = Faults::new(source);
        for error in &errors {
            let span = error.span().unwrap_or(0..0);
            faults.add(
                Diagnostic::new("toml-syntax", faults.place(span), first_line(error.message()))
                    .hint("repair the TOML here, then check the file again"),
            );
        }
        return Err(faults.into_sorted());
    }
    let faults = Faults::new(source);
    let span = root.span();
    let value = DeValue::Table(root.into_inner());
    let made = match &value {
        DeValue::Table(table) => read(Table::new(table, span, "the file", &faults)),
        _ => None,
    };
    match made {
        Some(made) if faults.is_empty() => Ok(made),
        _ => Err(faults.into_sorted()),
    }
}

fn first_line(message: &str) -> String {
    message.lines().next().unwrap_or("the TOML cannot be read").to_string()
}
