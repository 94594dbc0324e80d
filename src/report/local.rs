//! Facts are the same in every language: days as ISO 8601 has them, figures with a point, codes. Here they become what paper
//! shows in the language that is spoken.

use super::facts::PaperFacts;
use crate::words::{figure, moment_of, said};

/// Hours and launches.
pub(super) fn totals(hours: &str, launches: u32) -> String {
    say!("{hours} h, {launches} launches", hours = figure(hours), launches)
}

/// Where it stood before it was entered.
pub(super) fn from_paper(paper: &PaperFacts) -> String {
    let (written, by, sheet) = (moment_of(&paper.written), &paper.written_by_name, &paper.sheet);
    match &paper.line {
        Some(line) => {
            say!("from paper, written {written} by {by}, sheet {sheet} line {line}", written, by, sheet, line)
        }
        None => say!("from paper, written {written} by {by}, sheet {sheet}", written, by, sheet),
    }
}

/// What a code means, `None` where there is none.
pub(super) fn code(word: &str) -> String {
    said(word).to_string()
}
