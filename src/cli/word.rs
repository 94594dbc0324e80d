//! A word of a fixed table on the command line: the tables of the record's own language serve clap, too.

use clap::builder::{PossibleValuesParser, TypedValueParser};

/// A day as it is typed on the command line.
pub(super) fn day(typed: &str) -> Result<chrono::NaiveDate, String> {
    crate::words::day(typed)
        .ok_or_else(|| say!("a day is written year, month, day, such as 2027-03-31").to_string())
}

/// With spaces behind it up to so many columns, one at least.
pub(super) fn padded(text: &str, columns: usize) -> String {
    crate::columns::padded(&format!("{text} "), columns)
}

/// Accepts the table's words and gives what they stand for.
pub(super) fn word_of<T>(table: &'static [(&'static str, T)]) -> impl TypedValueParser<Value = T>
where
    T: Copy + Send + Sync + 'static,
{
    PossibleValuesParser::new(table.iter().map(|(word, _)| *word)).try_map(|typed| {
        let found = table.iter().find(|(word, _)| *word == typed);
        found.map(|(_, meaning)| *meaning).ok_or_else(|| say!("\"{typed}\" is no known word", typed = typed))
    })
}
