//! Whichever comes first, on an invented tow release and harness.

use super::*;
use proptest::prelude::*;

fn date(y: i32, m: u32, d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(y, m, d).unwrap()
}

fn usage(date: NaiveDate, hours: &str, launches: u64) -> Usage {
    Usage { date, hours: hours.parse().unwrap(), launches, cycles: 0 }
}

fn release() -> Installed {
    Installed {
        manufactured: Some(date(2021, 11, 5)),
        airframe_then: usage(date(2022, 3, 31), "1000.5", 4000),
        item_then: usage(date(2022, 3, 31), "0", 200),
    }
}

fn limit() -> LifeLimit {
    LifeLimit {
        calendar: Some(CalendarLife { length: CalendarLength::Months(48), from: CountsFrom::Installation }),
        launches: Some(2000),
        hours: Some("500".parse().unwrap()),
        cycles: None,
    }
}

#[test]
fn the_worst_part_decides_and_the_last_day_is_still_valid() {
    let status = |now: Usage| limit().due(&release(), &now).unwrap().status;
    assert_eq!(status(usage(date(2024, 1, 1), "1200", 5000)), DueStatus::Running);
    assert_eq!(status(usage(date(2026, 3, 30), "1200", 5000)), DueStatus::Running);
    assert_eq!(status(usage(date(2026, 3, 31), "1200", 5000)), DueStatus::Due);
    assert_eq!(status(usage(date(2026, 4, 1), "1200", 5000)), DueStatus::Overdue);
    assert_eq!(status(usage(date(2024, 1, 1), "1200", 5800)), DueStatus::Due);
    assert_eq!(status(usage(date(2024, 1, 1), "1200", 5801)), DueStatus::Overdue);
    assert_eq!(status(usage(date(2024, 1, 1), "1500.5", 5000)), DueStatus::Due);
    assert_eq!(status(usage(date(2024, 1, 1), "1500.6", 5000)), DueStatus::Overdue);
}

#[test]
fn what_the_item_had_used_before_counts() {
    let due = limit().due(&release(), &usage(date(2024, 1, 1), "1200", 5000)).unwrap();
    let launches = Part::Counted { counter: Counter::Launches, due_at: 5800.into(), left: 800.into() };
    assert!(due.parts.contains(&launches), "{due:?}");
}

#[test]
fn a_life_from_manufacture_needs_that_date() {
    let from = CountsFrom::Manufacture;
    let limit = LifeLimit {
        calendar: Some(CalendarLife { length: CalendarLength::CalendarMonths(144), from }),
        ..LifeLimit::default()
    };
    let now = usage(date(2025, 1, 1), "1200", 5000);
    let due = limit.due(&release(), &now).unwrap();
    assert!(matches!(due.parts[..], [Part::Calendar { due, .. }] if due == date(2033, 11, 30)));
    let unknown = Installed { manufactured: None, ..release() };
    assert_eq!(limit.due(&unknown, &now), Err(LifeError::ManufactureDateMissing));
}

#[test]
fn what_runs_backwards_or_names_nothing_is_refused() {
    let early = usage(date(2022, 3, 30), "1200", 5000);
    assert!(matches!(limit().due(&release(), &early), Err(LifeError::Backwards { .. })));
    let fewer = usage(date(2024, 1, 1), "1200", 3999);
    assert_eq!(
        limit().due(&release(), &fewer),
        Err(LifeError::CounterBackwards { counter: Counter::Launches })
    );
    let nothing = LifeLimit::default();
    assert_eq!(nothing.due(&release(), &usage(date(2024, 1, 1), "1200", 5000)), Err(LifeError::NoInterval));
    let endless = LifeLimit {
        calendar: Some(CalendarLife {
            length: CalendarLength::Months(u32::MAX),
            from: CountsFrom::Installation,
        }),
        ..nothing
    };
    assert_eq!(endless.due(&release(), &early_enough()), Err(LifeError::OutOfCalendar));
}

fn early_enough() -> Usage {
    usage(date(2024, 1, 1), "1200", 5000)
}

#[test]
fn the_next_annual_is_looked_ahead_to() {
    let now = usage(date(2025, 2, 28), "1200", 5000);
    let planned = |launches| usage_at_next_annual(&now, 12, 60.into(), launches, 0).unwrap();
    let falls = |launches| falls_due_before(&limit(), &release(), &now, &planned(launches)).unwrap();
    assert_eq!(planned(300).date, date(2026, 2, 28));
    assert!(!falls(300));
    assert!(falls(800));
    let overdue = usage(date(2025, 2, 28), "1600", 5000);
    assert!(!falls_due_before(&limit(), &release(), &overdue, &planned(300)).unwrap());
}

#[test]
fn the_part_that_ends_first_depends_on_the_use() {
    let now = usage(date(2025, 2, 28), "1200", 5000);
    let due = limit().due(&release(), &now).unwrap();
    let first = |hours: u32, launches| {
        let later = usage_at_next_annual(&now, 12, hours.into(), launches, 0).unwrap();
        due.expected_first(&now, &later).unwrap()
    };
    // 800 launches and 300.5 hours are left, the calendar ends on 31 March 2026.
    assert!(matches!(first(60, 300), (Part::Calendar { .. }, end) if end == date(2026, 3, 31)));
    let half_way = now.date + Days::new(182);
    assert!(
        matches!(first(60, 1600), (Part::Counted { counter: Counter::Launches, .. }, end) if end == half_way)
    );
    assert!(
        matches!(first(601, 300), (Part::Counted { counter: Counter::Hours, .. }, end) if end == half_way)
    );
    assert_eq!(due.expected_first(&now, &now), None);
}

proptest! {
    #[test]
    fn months_keep_the_day_or_clip_to_the_last(day in 0i64..40_000, months in -600i32..600) {
        let start = date(1990, 1, 1) + chrono::TimeDelta::days(day);
        let moved = add_months(start, months).unwrap();
        let last = last_of_month(moved).unwrap();
        prop_assert!(moved.day() == start.day() || (moved == last && moved.day() < start.day()));
        let count = |d: NaiveDate| d.year() * 12 + d.month0() as i32;
        prop_assert_eq!(count(moved) - count(start), months);
    }

    #[test]
    fn calendar_months_end_on_a_month_end(day in 0i64..40_000, months in 0u32..240) {
        let start = date(1990, 1, 1) + chrono::TimeDelta::days(day);
        let through = calendar_months_valid_through(start, months).unwrap();
        prop_assert_eq!(through, last_of_month(through).unwrap());
        prop_assert!(through >= start);
    }
}
