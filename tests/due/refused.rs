//! Refusal 11 by counted limits, and the record as it will be after the annual.

use spanwise::completion::Subject;
use spanwise::completion::answered::after_this_annual;
use spanwise::due::{Kind, Standing, due_list};
use spanwise::event::{DirectiveAnswer, LifeAnswer, Outcome};
use spanwise::session::Request;

use crate::record::{counted, due_day};
use crate::support::{self, Bench, day};

/// The bench's airframe (1200.5 h, 900 launches, the day 2026-11-25) with other papers.
fn bench(papers: &str) -> Bench {
    let head =
        "registration = \"ZZ-01\"\ntype = \"ostrel\"\nserial = \"7\"\nhours = \"1200.5\"\nlaunches = 900\n";
    Bench::with(support::MODULE, &format!("{head}{papers}"))
}

fn directive(answer: DirectiveAnswer, note: &str, next_due: Option<&str>) -> Request {
    let next_due = next_due.map(day);
    Request::AnswerDirective { directive: "A".into(), answer, note: note.into(), next_due }
}

fn item(answer: LifeAnswer, note: &str, next_due: Option<&str>) -> Request {
    Request::AnswerLifeItem { item: "x".into(), answer, note: note.into(), next_due: next_due.map(day) }
}

/// What stands against it: why, and whether only a release is refused.
fn against(bench: &Bench) -> Option<(String, bool)> {
    let about = [Subject::Directive("A".into()), Subject::LifeItem("x".into())];
    let verdict = bench.verdict_for(Some("ada"));
    let found = verdict.refusals().iter().find(|refusal| about.contains(&refusal.subject));
    assert!(found.is_none_or(|refusal| refusal.number == 11));
    found.map(|refusal| (refusal.why.clone(), refusal.release_only))
}

fn refused_with(bench: &Bench, words: &str, release_only: bool) {
    let (why, only) = against(bench).unwrap_or_else(|| panic!("nothing refuses; expected \"{words}\""));
    assert!(why.contains(words) && only == release_only, "{why} ({only})");
}

/// 400 h from 800.5 h: nothing is left at 1200.5 h.
#[test]
fn a_counted_life_that_is_used_up_refuses_the_release() {
    let life = |then: &str| {
        bench(&format!(
            "[[life_item]]\nid = \"x\"\ntitle = \"Fitting\"\ninstalled = 2020-05-01\nhours = \"400\"\nairframe_hours_then = \"{then}\""
        ))
    };
    let mut used_up = life("800.5");
    used_up.done("ada", item(LifeAnswer::WithinLife, "looks good", None));
    refused_with(&used_up, "fell due at 1200.5 h; the airframe has 1200.5 h", true);
    let listed = used_up.verdict_for(Some("ada"));
    assert!(listed.discrepancies().iter().any(|one| one.from == "x"), "it can stand on the list");
    used_up.done("ada", item(LifeAnswer::Replaced, "new, S/N 12 (invented)", None));
    assert_eq!(against(&used_up), None);
    let mut left = life("800.6");
    left.done("ada", item(LifeAnswer::WithinLife, "", None));
    assert_eq!(against(&left), None);
}

const REPEATING: &str = "[[directive]]\nid = \"A\"\ntitle = \"Hook\"\nmonths = 24\nhours = \"100\"\n";

#[test]
fn not_yet_due_on_one_that_is_due_is_refused_and_a_compliance_clears_it() {
    let done = "[[compliance]]\ndirective = \"A\"\non = 2025-11-25\nhours = \"1100\"\n";
    let mut over = bench(&format!("{REPEATING}{done}"));
    over.done("ada", directive(DirectiveAnswer::NotYetDue, "", Some("2099-01-01")));
    refused_with(&over, "fell due at 1200 h", true);
    over.done("ada", directive(DirectiveAnswer::Complied, "", None));
    assert_eq!(against(&over), None);
    let answered = over.state.directives.get("A").map(|told| told.what.next_due);
    assert_eq!(answered, Some(Some(day("2028-11-25"))), "24 months from the bench's day");
}

/// The record's date was for the compliance that is in it: the answer's date is the one to come.
#[test]
fn a_date_of_the_record_that_was_complied_with_is_history() {
    let stale = "[[directive]]\nid = \"A\"\ntitle = \"Hook\"\nrepeating = true\ndue = 2026-03-31\ncomplied = 2026-04-02\n";
    let mut bench = bench(stale);
    bench.done("ada", directive(DirectiveAnswer::NotYetDue, "", Some("2027-03-31")));
    assert_eq!(against(&bench), None);
    bench.done("ada", directive(DirectiveAnswer::NotYetDue, "a note", Some("2026-03-31")));
    refused_with(&bench, "fell due on 2026-03-31", true);
}

#[test]
fn what_cannot_be_counted_needs_a_written_note() {
    let done = "[[compliance]]\ndirective = \"A\"\non = 2025-11-25\n";
    let mut blind = bench(&format!("{REPEATING}{done}"));
    blind.done("ada", directive(DirectiveAnswer::NotYetDue, "", None));
    refused_with(&blind, "its hours cannot be counted", false);
    assert!(blind.verdict_for(Some("ada")).prove(Outcome::NotAirworthy).is_err());
    blind.done("ada", directive(DirectiveAnswer::NotYetDue, "log: 1150 h at the compliance", None));
    assert_eq!(against(&blind), None);
    let mut unlimited = bench("[[life_item]]\nid = \"x\"\ntitle = \"Fitting\"\n");
    unlimited.done("ada", item(LifeAnswer::WithinLife, "", None));
    refused_with(&unlimited, "states no limit", false);
    unlimited.done("ada", item(LifeAnswer::WithinLife, "on condition by the manual", None));
    assert_eq!(against(&unlimited), None);
}

#[test]
fn one_that_does_not_apply_is_answered_with_the_records_reason() {
    let mut other =
        bench("[[directive]]\nid = \"A\"\ntitle = \"Hook\"\nserials = [\"0201..\"]\ndue = 2020-01-01\n");
    refused_with(&other, "serial number 7 is not among 0201..", false);
    let bare = other.ask("ada", directive(DirectiveAnswer::NotApplicable, "", None));
    let declined = bare.expect_err("a reason is demanded");
    assert!(format!("{declined:?}").contains("serial number 7 is not among 0201.."), "{declined:?}");
    other.done("ada", directive(DirectiveAnswer::NotApplicable, "other serial numbers", None));
    assert_eq!(against(&other), None);
}

#[test]
fn one_that_falls_due_before_the_next_annual_is_shown_and_not_refused() {
    let mut soon = bench("[[life_item]]\nid = \"x\"\ntitle = \"Fitting\"\ndue = 2027-03-31\n");
    soon.done("ada", item(LifeAnswer::WithinLife, "", None));
    assert_eq!(against(&soon), None);
    let (after, horizon) = after_this_annual(&soon.plan, &soon.state, soon.today, None).unwrap();
    let lines = due_list(&after, &horizon);
    let found = lines.iter().find(|line| line.kind == Kind::LifeItem).expect("the item");
    assert_eq!(found.standing, Standing::BeforeNextAnnual);
    let annual = lines.iter().find(|line| line.kind == Kind::Annual).expect("the annual");
    assert_eq!(due_day(annual), Some(day("2027-11-30")), "12 calendar months from this one");
}

/// The calendar of a new item counts from a manufacture that nobody has told: its date is demanded.
#[test]
fn a_replacement_counts_anew() {
    let life = |from: &str| {
        bench(&format!(
            "[[life_item]]\nid = \"x\"\ntitle = \"Harness\"\nmanufactured = 2014-01-10\ninstalled = 2014-05-01\nfrom = \"{from}\"\n\
             months = 144\nhours = \"3000\"\nairframe_hours_then = \"100\""
        ))
    };
    let due_after = |bench: &Bench| {
        let (after, horizon) = after_this_annual(&bench.plan, &bench.state, bench.today, None).unwrap();
        let line = due_list(&after, &horizon).into_iter().find(|line| line.kind == Kind::LifeItem);
        let line = line.expect("the item");
        (due_day(&line), counted(&line))
    };
    let mut installed = life("installation");
    installed.done("ada", item(LifeAnswer::Replaced, "new", None));
    assert_eq!(due_after(&installed), (Some(day("2038-11-25")), vec!["hours 4200.5".to_string()]));
    let mut made = life("manufacture");
    assert!(made.ask("ada", item(LifeAnswer::Replaced, "new", None)).is_err());
    made.done("ada", item(LifeAnswer::Replaced, "new, made in June", Some("2038-06-30")));
    assert_eq!(due_after(&made), (Some(day("2038-06-30")), vec!["hours 4200.5".to_string()]));
}
