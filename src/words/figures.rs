//! Numbers and days as the chosen language writes them. The signs come from the C library's locale data
//! (`pure-rust-locales`); English days are written as ISO 8601 has them, because the English-speaking authorities disagree on
//! the order of day and month.

use std::borrow::Cow;

use chrono::format::{Item, StrftimeItems};
use chrono::{DateTime, Datelike, NaiveDate, NaiveTime, TimeZone};

use super::language::{Language, current};

/// The sign between whole and fraction.
fn decimal_sign() -> &'static str {
    match current() {
        Language::English | Language::Proof => ".",
        Language::German => pure_rust_locales::de_DE::LC_NUMERIC::DECIMAL_POINT,
        Language::SwissGerman => pure_rust_locales::de_CH::LC_NUMERIC::DECIMAL_POINT,
    }
}

fn day_format() -> &'static str {
    match current() {
        Language::English | Language::Proof => "%Y-%m-%d",
        Language::German => pure_rust_locales::de_DE::LC_TIME::D_FMT,
        Language::SwissGerman => pure_rust_locales::de_CH::LC_TIME::D_FMT,
    }
}

/// A decimal number, written with a point (`-1234.50`, also within a text such as `0.5..1.2 mm`), as this language writes it.
/// A point that is not between two digits stays: `43.` and `CS-22` are no decimal numbers. Version numbers, rule numbers and
/// clock times do not belong here.
pub fn number(neutral: &str) -> Cow<'_, str> {
    let sign = decimal_sign();
    if sign == "." { Cow::Borrowed(neutral) } else { Cow::Owned(exchanged(neutral, '.', sign)) }
}

/// As [`number`], of anything that shows itself with a point.
pub fn figure(value: impl std::fmt::Display) -> String {
    number(&value.to_string()).into_owned()
}

/// Whether whole and fraction are parted by a comma.
pub fn has_decimal_comma() -> bool {
    decimal_sign() == ","
}

/// What somebody typed in this language, as the record writes it: a decimal comma becomes a point.
pub fn neutral(typed: &str) -> Cow<'_, str> {
    match decimal_sign() {
        "," if typed.contains(',') => Cow::Owned(exchanged(typed, ',', ".")),
        _ => Cow::Borrowed(typed),
    }
}

/// Exchanges a sign wherever it stands alone between two digits.
fn exchanged(text: &str, from: char, to: &str) -> String {
    let letters: Vec<char> = text.chars().collect();
    let digit = |at: Option<usize>| at.and_then(|at| letters.get(at)).is_some_and(char::is_ascii_digit);
    let mut done = String::with_capacity(text.len() + 4);
    for (at, letter) in letters.iter().enumerate() {
        if *letter == from && digit(at.checked_sub(1)) && digit(Some(at + 1)) {
            done.push_str(to);
        } else {
            done.push(*letter);
        }
    }
    done
}

/// A day.
pub fn date(day: NaiveDate) -> String {
    day.format_with_items(items(day_format())).to_string()
}

/// A moment to the minute, in its own time zone, which is not shown.
pub fn date_and_time<Zone: TimeZone>(moment: &DateTime<Zone>) -> String {
    let local = moment.naive_local();
    format!("{} {}", date(local.date()), clock(local.time()))
}

/// A day as records and facts have it (`2026-11-25`), as the language writes it; what is no day stays as it is.
pub fn day_of(neutral: &str) -> String {
    NaiveDate::parse_from_str(neutral, "%Y-%m-%d").map_or_else(|_| neutral.to_string(), date)
}

/// A moment to the minute as records and facts have it (`2026-11-25 09:14`), as the language writes it; what is no moment stays.
pub fn moment_of(neutral: &str) -> String {
    match neutral.split_once(' ') {
        Some((on, clock)) => format!("{} {clock}", day_of(on)),
        None => day_of(neutral),
    }
}

/// A day as somebody typed it: ISO 8601 in every language, else with the order of this one. The year has its four digits,
/// since 26 could be any century's.
pub fn day(typed: &str) -> Option<NaiveDate> {
    let typed = typed.trim();
    let read = |format: &str| NaiveDate::parse_from_str(typed, format).ok();
    read("%Y-%m-%d").or_else(|| read(day_format())).filter(|day| (1000..10_000).contains(&day.year()))
}

fn clock(time: NaiveTime) -> String {
    time.format("%H:%M").to_string()
}

fn items(format: &'static str) -> impl Iterator<Item = Item<'static>> + Clone {
    StrftimeItems::new(format)
}

#[cfg(test)]
mod tests {
    use super::super::with_language;
    use super::*;

    /// DIN 5008 (from memory): decimal comma, day.month.year with two digits each; glibc's de_CH: decimal point.
    #[test]
    fn figures_are_written_as_the_language_has_them_and_read_back() {
        let day = NaiveDate::from_ymd_opt(2026, 3, 9).expect("a day");
        with_language(Language::German, || {
            assert_eq!(number("-12.50 mm"), "-12,50 mm");
            assert_eq!(number("0.5..1.2 mm"), "0,5..1,2 mm");
            assert_eq!(number("43."), "43.");
            assert_eq!(neutral("-12,50"), "-12.50");
            assert_eq!(neutral("-12.50"), "-12.50");
            assert_eq!(neutral("1, 2, 3"), "1, 2, 3");
            assert_eq!(date(day), "09.03.2026");
            assert_eq!(super::day("09.03.2026"), Some(day));
            assert_eq!(super::day(" 9.3.2026 "), Some(day));
            assert_eq!(super::day("2026-03-09"), Some(day));
            for wrong in ["09.03.26", "31.02.2026", "03/09/2026", "26-03-09", ""] {
                assert_eq!(super::day(wrong), None, "{wrong}");
            }
            assert_eq!(figure(format_args!("{:.2}", 1.5)), "1,50");
        });
        with_language(Language::SwissGerman, || {
            assert_eq!(number("-12.50"), "-12.50");
            assert_eq!(date(day), "09.03.2026");
        });
        with_language(Language::English, || {
            assert_eq!(number("-12.50"), "-12.50");
            assert_eq!(neutral("3,5"), "3,5");
            assert_eq!(date(day), "2026-03-09");
            assert_eq!(super::day("2026-03-09"), Some(day));
            assert_eq!(super::day("09.03.2026"), None);
        });
    }
    /// DIN 5008 (from memory): day.month.year, decimal comma.
    #[test]
    fn days_moments_and_figures_of_records_are_written_as_the_language_has_them_and_anything_else_stays() {
        with_language(Language::German, || {
            assert_eq!(day_of("2026-03-09"), "09.03.2026");
            assert_eq!(moment_of("2026-03-09 14:05"), "09.03.2026 14:05");
            assert_eq!(moment_of("no moment"), "no moment");
            assert_eq!(figure("-12.50 mm"), "-12,50 mm");
        });
        with_language(Language::English, || {
            assert_eq!(moment_of("2026-03-09 14:05"), "2026-03-09 14:05");
            assert_eq!(figure("-12.50 mm"), "-12.50 mm");
        });
    }
}
