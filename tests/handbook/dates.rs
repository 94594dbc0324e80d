//! Due dates.

use crate::values::handbook;
use spanwise::measure::life::{Renewal, add_months, calendar_months_valid_through, renew_certificate};

/// Printed outputs of month-delta libraries, and the same clip rule computed.
#[test]
fn months_are_clipped_to_the_last_day() {
    for row in handbook("add_months") {
        let moved = add_months(row.date("start"), row.number("months") as i32).unwrap();
        assert_eq!(moved, row.date("expected"), "{}", row.text("name"));
        if row.has("two_single_steps_give") {
            let twice = add_months(add_months(row.date("start"), 1).unwrap(), 1).unwrap();
            assert_eq!(twice, row.date("two_single_steps_give"));
        }
    }
}

/// 14 CFR 91.409(a), "within the preceding 12 calendar months", as read in secondary texts.
#[test]
fn calendar_months_run_to_the_end_of_the_month() {
    for row in handbook("calendar_month_due") {
        let through =
            calendar_months_valid_through(row.date("done"), row.number("calendar_months") as u32).unwrap();
        assert_eq!(through, row.date("expected_valid_through"), "{}", row.text("name"));
        assert_eq!(through.succ_opt().unwrap(), row.date("expected_overdue_from"));
    }
}

/// ML.A.901 and ML.A.903(d) as answered by authorities; what is assumed outside the window is noted in the values.
#[test]
fn review_certificates_keep_or_lose_their_pattern() {
    for row in handbook("arc_renewal") {
        let kind = if row.text("kind") == "review" { Renewal::Review } else { Renewal::Extension };
        let renewal = renew_certificate(row.date("current_expiry"), row.date("done"), kind).unwrap();
        let name = row.text("name");
        assert_eq!(renewal.days_early as f64, row.number("expected_days_early"), "{name}");
        assert_eq!(renewal.pattern_kept, row.flag("expected_pattern_kept"), "{name}");
        assert_eq!(renewal.new_expiry, row.date("expected_new_expiry"), "{name}");
    }
}
