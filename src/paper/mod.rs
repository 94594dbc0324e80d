//! The printed worksheet after the work: what its lines mean, and what was written on them as requests to record.
//!
//! A sheet is known by the code printed on it. The code is made from the record at printing and from everything that its
//! lines say, so that line 17 of a sheet means one step for ever, however the plan has grown since.

mod code;
mod enter;
mod lines;
mod row;
mod sheet;
pub mod words;

pub use code::SheetCode;
pub use enter::{Checked, CheckedRow, Done, Fault, Passage, Typed, check, written};
pub use lines::{Line, LineOf, block_label, lines, lines_of_block, measure_label};
pub use row::label_of;
pub use sheet::{NoSheet, Sheet, code_at, code_before, find_sheet};
