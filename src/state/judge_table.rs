//! A table of readings, judged by one of the computations.

use super::{Judgement, ReadingVerdict};
use crate::compute::{Outcome, Report, Request, kind};

/// Computes the table anew, as at every fold.
///
/// # Errors
/// The first fault of the table with its line and column, or the name of an unknown computation.
pub fn compute_table(compute: &str, text: &str) -> Result<Report, String> {
    let Some(kind) = kind(compute) else {
        return Err(say!("this program knows no computation \"{compute}\"", compute = compute));
    };
    let request = Request {
        file: "table",
        bytes: text.as_bytes(),
        set: &[],
        // The record holds text: what it does not hold itself cannot be judged from it.
        fetch: &|name| {
            Err(say!("\"{name}\" is another file; a table in the record stands by itself", name = name))
        },
    };
    kind.compute(&request).map_err(|faults| {
        faults.first().map_or(say!("the table cannot be read").to_string(), ToString::to_string)
    })
}

pub(super) fn judge_table(compute: &str, text: &str) -> Judgement {
    match compute_table(compute, text) {
        Ok(report) => {
            let verdict = match report.outcome {
                Outcome::Computed => ReadingVerdict::Recorded,
                Outcome::Within => ReadingVerdict::Within,
                Outcome::Outside | Outcome::Refused => ReadingVerdict::Outside,
                Outcome::CannotDecide => ReadingVerdict::CannotDecide,
            };
            Judgement::new(verdict, report.verdict.replace('\n', " "))
        }
        Err(why) => Judgement::new(ReadingVerdict::CannotDecide, why),
    }
}
