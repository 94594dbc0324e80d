//! Is a session whole, unaltered and signed? In words, with the first bad entry and byte.
