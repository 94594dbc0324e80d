//! The hash-chained journal: bytes only, no files.
