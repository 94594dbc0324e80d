//! The record entry by entry: the state at any moment, jumps, search, and all that happened to one step.
