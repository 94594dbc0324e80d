//! Whatever the record holds: time and use never give anything back.

use chrono::{Days, NaiveDate};
use proptest::prelude::*;
use rust_decimal::Decimal;
use spanwise::airframe::Airframe;
use spanwise::due::{Horizon, Standing, due_list, is_exhausted};
use spanwise::measure::life::{Counter, Part, Usage};

use crate::record::{day, record_with};

/// Counters are those of [`record_with`] or more, and days lie after everything that is written down.
const FIRST_DAY: &str = "2026-01-01";

fn item(at: usize, (days, hours, launches): (Option<u32>, Option<u32>, Option<u32>)) -> String {
    let mut text = format!("[[life_item]]\nid = \"i{at}\"\ntitle = \"Item\"\ninstalled = 2025-06-15\n");
    if let Some(days) = days {
        text.push_str(&format!("days = {days}\n"));
    }
    if let Some(hours) = hours {
        text.push_str(&format!("hours = \"{hours}\"\nairframe_hours_then = \"950\"\n"));
    }
    if let Some(launches) = launches {
        text.push_str(&format!("launches = {launches}\nairframe_launches_then = 450\n"));
    }
    text
}

fn any_record() -> impl Strategy<Value = Airframe> {
    let some = |most: u32| proptest::option::of(1..most);
    let limits = proptest::collection::vec((some(1200), some(300), some(400)), 1..5);
    (limits, any::<bool>()).prop_map(|(limits, with_hours)| {
        let mut text: String = limits.into_iter().enumerate().map(|(at, limits)| item(at, limits)).collect();
        text.push_str("[[directive]]\nid = \"A\"\ntitle = \"A\"\nmonths = 9\nhours = \"60\"\n");
        text.push_str("[[compliance]]\ndirective = \"A\"\non = 2025-10-31\n");
        if with_hours {
            text.push_str("hours = \"990\"\n");
        }
        record_with("last_annual = 2025-11-29", &text)
    })
}

fn usage(after_days: u64, more_hours: u32, more_launches: u32) -> Usage {
    Usage {
        date: day(FIRST_DAY) + Days::new(after_days),
        hours: Decimal::from(1000 + more_hours),
        launches: u64::from(500 + more_launches),
        cycles: 0,
    }
}

/// How grave: later, before the next annual, due, overdue. What cannot be told stays so until it is certainly due.
fn grave(standing: Standing) -> u8 {
    match standing {
        Standing::Later => 0,
        Standing::BeforeNextAnnual => 1,
        Standing::Unclear => 2,
        Standing::Due => 3,
        Standing::Overdue => 4,
    }
}

fn standing(airframe: &Airframe, now: Usage, next: Usage) -> Vec<(String, u8, usize)> {
    let mut found: Vec<_> = due_list(airframe, &Horizon { now, next })
        .into_iter()
        .map(|line| {
            let exhausted = line.parts.iter().filter(|part| is_exhausted(part)).count();
            (line.id, grave(line.standing), exhausted)
        })
        .collect();
    found.sort();
    found
}

proptest! {
    #[test]
    fn a_later_day_or_more_use_makes_nothing_less_due(
        airframe in any_record(),
        (days, hours, launches) in (0..800u64, 0..200u32, 0..300u32),
        (more_days, more_hours, more_launches) in (0..400u64, 0..100u32, 0..100u32),
    ) {
        let next = usage(2000, 600, 700);
        let before = standing(&airframe, usage(days, hours, launches), next);
        let later = usage(days + more_days, hours + more_hours, launches + more_launches);
        let after = standing(&airframe, later, next);
        prop_assert_eq!(before.len(), after.len());
        for (then, now) in before.iter().zip(&after) {
            prop_assert_eq!(&then.0, &now.0);
            prop_assert!(now.1 >= then.1 && now.2 >= then.2, "{:?} became {:?}", then, now);
        }
    }

    /// Walked day by day at an even use: no limit is overrun before the day that is told, and one is on the day after it.
    #[test]
    fn the_first_part_is_really_first(
        airframe in any_record(),
        (hours, launches) in (0..300u32, 0..500u32),
    ) {
        let (now, next) = (usage(0, 0, 0), usage(365, hours, launches));
        for line in due_list(&airframe, &Horizon { now, next }) {
            let overrun = |on: NaiveDate| line.parts.iter().filter(|part| is_overrun(part, on, (hours, launches))).count();
            let Some((first, on)) = line.first else {
                let has_day = line.parts.iter().any(|part| matches!(part, Part::Calendar { .. }));
                prop_assert!(!has_day);
                continue;
            };
            let already = line.parts.iter().any(is_exhausted);
            if !already {
                prop_assert_eq!(overrun(on), 0, "{} is told for {}", line.id, on);
            }
            prop_assert!(is_overrun(&first, on + Days::new(1), (hours, launches)) || already);
        }
    }
}

/// At an even use of so many hours and launches in 365 days from the first day.
fn is_overrun(part: &Part, on: NaiveDate, (hours, launches): (u32, u32)) -> bool {
    let days = Decimal::from((on - day(FIRST_DAY)).num_days());
    match part {
        Part::Calendar { due, .. } => on > *due,
        Part::Counted { counter, left, .. } => {
            let a_year = Decimal::from(if *counter == Counter::Hours { hours } else { launches });
            a_year * days > *left * Decimal::from(365)
        }
    }
}
