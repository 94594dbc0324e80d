//! Facts are the same in every language: days as ISO 8601 has them, figures with a point, codes. Here they become what paper
//! shows in the language that is spoken.

use chrono::NaiveDate;

use super::facts::PaperFacts;
use crate::words::{self, number, said};

/// `2026-11-25`, as the language writes it; what is no day stays as it is.
pub(super) fn day(neutral: &str) -> String {
    NaiveDate::parse_from_str(neutral, "%Y-%m-%d").map_or_else(|_| neutral.to_string(), words::date)
}

/// `2026-11-25 09:14`, as the language writes it; what is no moment stays as it is.
pub(super) fn moment(neutral: &str) -> String {
    match neutral.split_once(' ') {
        Some((on, clock)) => format!("{} {clock}", day(on)),
        None => day(neutral),
    }
}

/// A decimal number, perhaps with its unit.
pub(super) fn figure(neutral: &str) -> String {
    number(neutral).into_owned()
}

/// Hours and launches.
pub(super) fn totals(hours: &str, launches: u32) -> String {
    say!("{hours} h, {launches} launches", hours = figure(hours), launches)
}

/// Where it stood before it was entered.
pub(super) fn from_paper(paper: &PaperFacts) -> String {
    let (written, by, sheet) = (moment(&paper.written), &paper.written_by_name, &paper.sheet);
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::words::{Language, with_language};

    /// DIN 5008 (from memory): day.month.year, decimal comma.
    #[test]
    fn days_moments_and_figures_are_written_as_the_language_has_them_and_anything_else_stays() {
        with_language(Language::German, || {
            assert_eq!(day("2026-03-09"), "09.03.2026");
            assert_eq!(moment("2026-03-09 14:05"), "09.03.2026 14:05");
            assert_eq!(moment("no moment"), "no moment");
            assert_eq!(figure("-12.50 mm"), "-12,50 mm");
        });
        with_language(Language::English, || {
            assert_eq!(moment("2026-03-09 14:05"), "2026-03-09 14:05");
            assert_eq!(figure("-12.50 mm"), "-12.50 mm");
        });
    }
}
