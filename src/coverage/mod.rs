//! Which steps answer which rule: lists of what an annual must look at, against the steps of a plan or a checklist.

mod lists;
mod matrix;

pub use lists::{Applies, Compared, RuleList, RuleRow, lists};
pub use matrix::{Answer, Coverage, LeftOut, RuleCoverage, Standing, Subject, cover};
