//! What falls due, in other languages.

use chrono::NaiveDate;
use rust_decimal::Decimal;
use spanwise::due::part_words;
use spanwise::measure::life::{Counter, Part};
use spanwise::words::{Language, with_language};

fn calendar(days_left: i64) -> Part {
    Part::Calendar { due: NaiveDate::from_ymd_opt(2028, 5, 31).expect("a day"), days_left }
}

fn counted(counter: Counter, due_at: &str, left: &str) -> Part {
    let figure = |text: &str| text.parse::<Decimal>().expect("a number");
    Part::Counted { counter, due_at: figure(due_at), left: figure(left) }
}

/// Day.month.year and decimal comma after DIN 5008 (from memory); German has one plural.
#[test]
fn limits_are_told_in_german_and_in_english() {
    let parts = [
        calendar(552),
        calendar(1),
        calendar(0),
        calendar(-1),
        counted(Counter::Hours, "6000", "2815.5"),
        counted(Counter::Launches, "5000", "-40"),
    ];
    let told = |language| with_language(language, || parts.each_ref().map(part_words));
    assert_eq!(
        told(Language::German),
        [
            "31.05.2028 (in 552 Tagen)",
            "31.05.2028 (in 1 Tag)",
            "31.05.2028 (heute)",
            "31.05.2028 (vor 1 Tag)",
            "6000 h (noch 2815,5 h)",
            "5000 Starts (40 Starts darüber)",
        ]
    );
    assert_eq!(
        told(Language::English),
        [
            "2028-05-31 (in 552 days)",
            "2028-05-31 (in 1 day)",
            "2028-05-31 (today)",
            "2028-05-31 (1 day ago)",
            "6000 h (2815.5 h left)",
            "5000 launches (40 launches over)",
        ]
    );
}
