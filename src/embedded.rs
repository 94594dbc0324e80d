//! Files that are part of the program and that more than one module reads.

use include_dir::{Dir, include_dir};

/// The built-in checklists with their translations and the register of their editions.
pub static CHECKLISTS: Dir<'_> = include_dir!("$CARGO_MANIFEST_DIR/checklists");
