//! The list of what falls due.

use spanwise::airframe::{read_instruments, read_people};
use spanwise::diagnostic::Source;
use spanwise::due::{Kind, Standing, annual_holds_through, due_list, part_words, registers_due};
use spanwise::measure::life::{Counter, Part};

use crate::record::{counted, day, due_day, horizon, record, record_with, the};
use crate::values::handbook;

/// Printed outputs of month-delta libraries and the clip rule; no airframe is older than its item, so only forward.
#[test]
fn months_of_a_life_are_clipped_to_the_months_end() {
    for row in handbook("add_months").into_iter().filter(|row| row.number("months") > 0.0) {
        let (start, months) = (row.date("start"), row.number("months"));
        let item =
            format!("[[life_item]]\nid = \"x\"\ntitle = \"X\"\ninstalled = {start}\nmonths = {months}");
        let found = the(&record(&item), &start.to_string(), Kind::LifeItem);
        assert_eq!(due_day(&found), Some(row.date("expected")), "{}", row.text("name"));
    }
}

/// 14 CFR 91.409(a), "within the preceding 12 calendar months", as read in secondary texts: to the end of the month.
#[test]
fn calendar_months_hold_to_the_end_of_the_month_and_are_over_the_day_after() {
    for row in handbook("calendar_month_due") {
        let (done, months) = (row.date("done"), row.number("calendar_months"));
        let (through, over) = (row.date("expected_valid_through"), row.date("expected_overdue_from"));
        let item = format!(
            "[[life_item]]\nid = \"x\"\ntitle = \"X\"\ninstalled = {done}\ncalendar_months = {months}"
        );
        let airframe = record(&item);
        let last = the(&airframe, &through.to_string(), Kind::LifeItem);
        assert_eq!((due_day(&last), last.standing), (Some(through), Standing::Due), "{}", row.text("name"));
        assert!(!last.is_exhausted(), "the last day still counts");
        let after = the(&airframe, &over.to_string(), Kind::LifeItem);
        assert_eq!((after.standing, after.is_exhausted()), (Standing::Overdue, true));
        if months == 12.0 {
            assert_eq!(annual_holds_through(done), Ok(through));
            let airframe = record_with(&format!("last_annual = {done}"), "");
            assert_eq!(the(&airframe, &through.to_string(), Kind::Annual).standing, Standing::Due);
            assert_eq!(the(&airframe, &over.to_string(), Kind::Annual).standing, Standing::Overdue);
        }
    }
}

/// The renewals of the check values (ML.A.901, ML.A.903(d) as answered by authorities): the renewed paper alone counts.
#[test]
fn a_renewed_certificate_leaves_the_old_one_behind() {
    let paper = |expiry| format!("[[certificate]]\ntitle = \"Airworthiness review\"\nexpiry = {expiry}\n");
    for row in handbook("arc_renewal") {
        let (old, new) = (row.date("current_expiry"), row.date("expected_new_expiry"));
        let both = [paper(new), paper(old)].concat();
        let found = the(&record(&both), &row.date("done").to_string(), Kind::Certificate);
        assert_eq!(due_day(&found), Some(new), "{}", row.text("name"));
    }
    let expired = the(&record(&paper(day("2026-06-15"))), "2026-06-16", Kind::Certificate);
    assert_eq!(expired.standing, Standing::Overdue);
    assert_eq!(
        the(&record(&paper(day("2026-06-15"))), "2026-06-15", Kind::Certificate).standing,
        Standing::Due,
        "valid through its last day"
    );
}

/// 90 days from 2025-11-29: 1 of November, 31 of December, 31 of January and 27 of February.
#[test]
fn days_are_counted_as_days() {
    let item = "[[life_item]]\nid = \"x\"\ntitle = \"X\"\ninstalled = 2025-11-29\ndays = 90";
    assert_eq!(due_day(&the(&record(item), "2025-12-01", Kind::LifeItem)), Some(day("2026-02-27")));
}

#[test]
fn a_life_counts_from_manufacture_or_from_installation() {
    let item = |from: &str| {
        let item = "[[life_item]]\nid = \"x\"\ntitle = \"X\"\nmanufactured = 2014-02-28\ninstalled = 2016-09-03\nmonths = 144";
        record(&format!("{item}\nfrom = \"{from}\""))
    };
    let due = |from: &str| due_day(&the(&item(from), "2020-01-01", Kind::LifeItem));
    assert_eq!(due("manufacture"), Some(day("2026-02-28")));
    assert_eq!(due("installation"), Some(day("2028-09-03")));
}

/// An item built in used: what it had before is taken off. 1200 h of life, 300 used, built in at 800 h: 1700 h.
#[test]
fn an_item_that_was_used_before_has_less_left() {
    let item = "[[life_item]]\nid = \"x\"\ntitle = \"X\"\ninstalled = 2024-01-10\nhours = \"1200\"\nlaunches = 900\n\
                airframe_hours_then = \"800\"\nitem_hours_then = \"300\"\nairframe_launches_then = 400";
    let found = the(&record(item), "2026-01-10", Kind::LifeItem);
    assert_eq!(counted(&found), ["hours 1700", "launches 1300"]);
}

#[test]
fn whichever_comes_first_is_marked_at_the_expected_use() {
    let item = "[[life_item]]\nid = \"x\"\ntitle = \"X\"\ndue = 2029-01-31\ndue_hours = \"1050\"\ndue_launches = 5000";
    // 73 h a year are 0.2 h a day: 50 h last 250 days.
    let used = record_with("expected_hours = \"73\"\nexpected_launches = 10", item);
    let found = the(&used, "2026-01-01", Kind::LifeItem);
    let (first, on) = found.first.expect("one comes first");
    assert!(matches!(first, Part::Counted { counter: Counter::Hours, .. }));
    assert_eq!((on, found.standing), (day("2026-09-08"), Standing::BeforeNextAnnual));
    // Without any use the calendar is left.
    let idle = the(&record(item), "2026-01-01", Kind::LifeItem);
    assert!(matches!(idle.first, Some((Part::Calendar { .. }, on)) if on == day("2029-01-31")));
    assert_eq!(idle.standing, Standing::Later);
}

#[test]
fn nothing_left_of_a_counter_is_exhausted_and_the_last_day_is_not() {
    let at = |key: &str| {
        the(
            &record(&format!("[[life_item]]\nid = \"x\"\ntitle = \"X\"\n{key}")),
            "2026-01-01",
            Kind::LifeItem,
        )
    };
    let due = |key: &str| (at(key).standing, at(key).is_exhausted());
    assert_eq!(due("due_hours = \"1000\""), (Standing::Due, true));
    assert!(!due("due_hours = \"1000.1\"").1);
    assert_eq!(due("due_launches = 499"), (Standing::Overdue, true));
    assert_eq!(due("due = 2026-01-01"), (Standing::Due, false));
    assert_eq!(due("due = 2025-12-31"), (Standing::Overdue, true));
}

const REPEATING: &str =
    "[[directive]]\nid = \"A\"\ntitle = \"Hook\"\nmonths = 12\nhours = \"100\"\nlaunches = 300\n";

#[test]
fn a_repeating_directive_counts_from_its_last_compliance() {
    let done = "[[compliance]]\ndirective = \"A\"\non = 2024-02-29\nhours = \"850\"\nlaunches = 350\n\
                [[compliance]]\ndirective = \"A\"\non = 2025-02-28\nhours = \"930\"\nlaunches = 420\n";
    let found = the(&record(&format!("{REPEATING}{done}")), "2025-06-01", Kind::Directive);
    assert_eq!(due_day(&found), Some(day("2026-02-28")), "12 months from the newest, not its month's end");
    assert_eq!(counted(&found), ["hours 1030", "launches 720"]);
    assert_eq!(found.trouble, None);
}

#[test]
fn counters_that_were_not_written_down_with_the_compliance_are_told() {
    let done = "[[compliance]]\ndirective = \"A\"\non = 2025-02-28\nlaunches = 420\n";
    let found = the(&record(&format!("{REPEATING}{done}")), "2025-06-01", Kind::Directive);
    assert_eq!(found.standing, Standing::Unclear, "the hours may be over");
    let told = found.trouble.clone().unwrap_or_default();
    assert!(told.contains("hours cannot be counted") && !told.contains("launches cannot"), "{told}");
    assert_eq!(counted(&found), ["launches 720"]);
    let over = the(&record(&format!("{REPEATING}{done}")), "2026-03-01", Kind::Directive);
    assert_eq!(over.standing, Standing::Overdue, "what can be counted is over, whatever the hours are");
}

#[test]
fn cycles_need_cycles_in_the_record() {
    let item = "[[life_item]]\nid = \"x\"\ntitle = \"X\"\ndue_cycles = 600";
    let blind = the(&record(item), "2026-01-01", Kind::LifeItem);
    assert!(blind.trouble.unwrap_or_default().contains("no cycles") && blind.parts.is_empty());
    let counted_item = the(&record_with("cycles = 600", item), "2026-01-01", Kind::LifeItem);
    assert_eq!((counted_item.standing, counted_item.is_exhausted()), (Standing::Due, true));
}

#[test]
fn a_one_off_directive_is_done_once() {
    let stated = |more: &str| record(&format!("[[directive]]\nid = \"A\"\ntitle = \"Hook\"\n{more}"));
    let line = |more: &str| crate::record::line(&stated(more), "2026-01-01", Kind::Directive);
    assert!(line("complied = 2015-11-21").is_none());
    assert!(line("applies = false").is_none());
    assert!(line("serials = [\"0201..\"]").is_none(), "this airframe is 0107");
    let never = line("").expect("an open one is told");
    assert_eq!(never.standing, Standing::Unclear);
    let window = line("due = 2026-05-01\ndue_hours = \"1100\"").expect("the first window");
    assert_eq!(
        (due_day(&window), counted(&window)),
        (Some(day("2026-05-01")), vec!["hours 1100".to_string()])
    );
    let ahead = line("complied = 2026-02-01").expect("a contradiction is told");
    assert!(ahead.trouble.unwrap_or_default().contains("lies after"));
}

#[test]
fn a_repeating_directive_without_interval_or_compliance_is_unclear_and_not_gone() {
    let stated = |more: &str| record(&format!("[[directive]]\nid = \"A\"\ntitle = \"Hook\"\n{more}"));
    for (more, words) in [
        ("repeating = true\ncomplied = 2025-03-01", "neither an interval"),
        ("repeating = true\ndue = 2025-01-31\ncomplied = 2025-03-01", "neither an interval"),
        ("months = 12", "no compliance is recorded"),
    ] {
        let found = the(&stated(more), "2026-01-01", Kind::Directive);
        assert_eq!(found.standing, Standing::Unclear, "{more}");
        assert!(found.trouble.unwrap_or_default().contains(words), "{more}");
    }
    let stated_again = stated("repeating = true\ndue = 2026-03-31\ncomplied = 2025-03-01");
    assert_eq!(due_day(&the(&stated_again, "2026-01-01", Kind::Directive)), Some(day("2026-03-31")));
}

#[test]
fn deferred_defects_weighings_and_a_missing_annual() {
    let defect = |more: &str| {
        format!(
            "[[defect]]\nid = \"d\"\nwhat = \"Chip\"\nseverity = \"minor\"\nstanding = \"deferred\"\nfound = 2025-06-01\nuntil = 2026-01-31\n{more}"
        )
    };
    assert_eq!(the(&record(&defect("")), "2026-02-01", Kind::DeferredDefect).standing, Standing::Overdue);
    let closed = record(&defect("closed = 2025-12-01"));
    assert!(crate::record::line(&closed, "2026-02-01", Kind::DeferredDefect).is_none());
    let weighings = "[[weighing]]\ndate = 2014-03-01\nempty_mass_kg = \"240\"\nnext_due = 2024-03-01\n\
                     [[weighing]]\ndate = 2024-02-10\nempty_mass_kg = \"241\"\nnext_due = 2034-02-10\n";
    let found = the(&record(weighings), "2026-02-01", Kind::Weighing);
    assert_eq!((due_day(&found), found.standing), (Some(day("2034-02-10")), Standing::Later));
    assert_eq!(the(&record(""), "2026-02-01", Kind::Annual).standing, Standing::Unclear);
    let ahead = record_with("last_annual = 2026-03-01", "");
    assert_eq!(the(&ahead, "2026-02-01", Kind::Annual).standing, Standing::Unclear, "it lies ahead");
}

#[test]
fn the_gravest_stands_first() {
    let airframe = record_with(
        "last_annual = 2025-11-29",
        "[[life_item]]\nid = \"a\"\ntitle = \"A\"\ndue = 2026-06-30\n[[life_item]]\nid = \"b\"\ntitle = \"B\"\n\
         [[life_item]]\nid = \"c\"\ntitle = \"C\"\ndue = 2025-12-31\n[[life_item]]\nid = \"d\"\ntitle = \"D\"\ndue = 2031-01-31\n\
         [[life_item]]\nid = \"e\"\ntitle = \"E\"\ndue = 2026-02-28\n",
    );
    let ids: Vec<String> =
        due_list(&airframe, &horizon(&airframe, "2026-01-10")).into_iter().map(|line| line.id).collect();
    assert_eq!(ids, ["c", "b", "e", "a", "annual", "d"]);
}

#[test]
fn parts_in_words() {
    let words = |days_left: i64| part_words(&Part::Calendar { due: day("2026-05-31"), days_left });
    assert_eq!(words(1), "2026-05-31 (in 1 day)");
    assert_eq!(words(0), "2026-05-31 (today)");
    assert_eq!(words(-2), "2026-05-31 (2 days ago)");
}

/// Numbers of the largest size that a record takes: told or counted, never a panic.
#[test]
fn huge_numbers_do_no_harm() {
    let huge = "9999999999999999999999999999";
    let item = format!(
        "[[life_item]]\nid = \"x\"\ntitle = \"X\"\ninstalled = 2024-01-10\nhours = \"{huge}\"\nairframe_hours_then = \"{huge}\"\nmonths = 4294967295"
    );
    let airframe =
        record_with(&format!("expected_hours = \"{huge}\"\nexpected_launches = 4294967295"), &item);
    assert!(spanwise::due::Horizon::of_record(&airframe, day("2026-01-01")).is_err());
    assert_eq!(the(&record(&item), "2026-01-01", Kind::LifeItem).standing, Standing::Unclear);
}

#[test]
fn registers_tell_calibrations_and_authorisations() {
    let instruments = "[[instrument]]\nid = \"a\"\ntitle = \"Old\"\nquantity = \"force\"\nunit = \"N\"\ncalibration_due = 2026-01-31\n\
                       [[instrument]]\nid = \"b\"\ntitle = \"None\"\nquantity = \"force\"\nunit = \"N\"\n";
    let held = |until: &str, types: &str| {
        format!(
            "[[person.authorisation]]\nkind = \"annual-release\"\nnumber = \"1\"\ncertificate = \"c\"\ntypes = [\"{types}\"]\nvalid_until = {until}\n"
        )
    };
    let people = format!(
        "[[person]]\nid = \"ada\"\nname = \"Ada\"\nrole = \"inspector\"\n{}{}",
        held("2025-12-31", "ostrel"),
        held("2027-12-31", "*")
    );
    let instruments = read_instruments(&Source::new("instruments.toml", instruments)).unwrap();
    let people = read_people(&Source::new("people.toml", people.as_str())).unwrap();
    let nothing = record("");
    let found = registers_due(&instruments, &people, &horizon(&nothing, "2026-02-01"));
    let told: Vec<_> = found.iter().map(|line| (line.kind, line.id.as_str(), line.standing)).collect();
    assert_eq!(
        told,
        [
            (Kind::Calibration, "a", Standing::Overdue),
            (Kind::Calibration, "b", Standing::Unclear),
            (Kind::Authorisation, "ada", Standing::Later),
        ],
        "the shorter authorisation is covered by the longer one"
    );
}
